using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests.Orders.Group;

/// <summary>Sums of sines of known power in noise of known density.</summary>
public sealed class GroupAnalysisTests
{
    private const double RateHz = 1000;
    private static readonly TimeInterval[] s_all = [new(0, 60)];

    // The mean square of a sine is half its squared amplitude, and those of different frequencies add up (Parseval).
    [Theory]
    [InlineData(0.0)]
    [InlineData(0.05)]
    [InlineData(0.10)]
    public void The_power_of_rotors_whose_speeds_are_split_adds_up_to_that_of_their_sines(double split)
    {
        Rotor[] rotors =
        [
            .. Enumerable.Range(0, 6).Select(m => new Rotor(70 * (1 + (m % 2 - 0.5) * split + 0.002 * m), [0.5 + 0.1 * m, 0.4, 0.1])),
        ];
        GroupResult group = Measure(Track(rotors, noise: 0.2), null);
        double truth = Math.Sqrt(rotors.Sum(r => r.Amplitudes.Sum(a => a * a / 2)));
        Assert.InRange(20 * Math.Log10(group.TotalMps2.Value!.Value / truth), -0.15, 0.15);
        Assert.True(group.TotalMps2.Ci95!.Value.Contains(truth));
        Assert.InRange(group.Rpm.Value!.Value / (60 * rotors.Average(r => r.Hz)), 0.985, 1.015);
        double order1 = Math.Sqrt(rotors.Sum(r => r.Amplitudes[0] * r.Amplitudes[0] / 2));
        Assert.InRange(group.Orders.Single(o => o.Order == 1).RmsMps2.Value!.Value / order1, 0.98, 1.02);
    }

    [Fact]
    public void A_common_wander_of_the_speed_does_not_smear_the_group_out_of_its_band()
    {
        Rotor[] rotors = [.. Enumerable.Range(0, 4).Select(m => new Rotor(55 * (1 + 0.01 * m), [0.6, 0.5, 0.15]))];
        GroupResult group = Measure(Track(rotors, noise: 0.1, t => 1 + 0.08 * Math.Sin(2 * Math.PI * t / 12)), null);
        double truth = Math.Sqrt(rotors.Sum(r => r.Amplitudes.Sum(a => a * a / 2)));
        Assert.InRange(20 * Math.Log10(group.TotalMps2.Value!.Value / truth), -0.25, 0.25);
    }

    [Fact]
    public void Noise_alone_is_no_group_of_rotors()
    {
        GroupResult group = Measure(Track([], noise: 0.5), null);
        Assert.IsType<NoRotorLines>(group.TotalMps2.Why);
        Assert.False(group.Rpm.IsKnown);
    }

    [Fact]
    public void A_hum_of_the_payload_is_no_rotor()
    {
        GroupResult group = Measure(Track([new(80, [0.5])], noise: 0.2), null);
        Assert.False(group.Rpm.IsKnown);
    }

    [Fact]
    public void Lines_that_blades_alone_could_make_give_a_total_but_no_speed()
    {
        GroupResult group = Measure(Track([new(90, [0.5, 0.4]), new(91, [0.5, 0.3])], noise: 0.05), null);
        Assert.IsType<GroupSpeedAmbiguous>(group.Rpm.Why);
        Assert.Empty(group.Orders);
        Assert.InRange(group.TotalMps2.Value!.Value / Math.Sqrt((0.25 + 0.16 + 0.25 + 0.09) / 2), 0.98, 1.02);
    }

    [Fact]
    public void Balancing_that_takes_away_order_1_does_not_double_the_speed_of_the_flight_after()
    {
        ImuTrack before = Track([.. Enumerable.Range(0, 4).Select(m => new Rotor(50 + m, [0.8, 0.5, 0.2, 0.2]))], noise: 0.1);
        ImuTrack after = Track([.. Enumerable.Range(0, 4).Select(m => new Rotor(50 + m, [0.001, 0.5, 0.001, 0.2]))], noise: 0.1);
        GroupSpeedChoice choice = GroupSpeedChoice.Of(
            [GroupAnalysis.Curve(before, s_all, [2])!, GroupAnalysis.Curve(after, s_all, [2])!],
            []
        );
        GroupResult one = Measure(before, choice),
            two = Measure(after, choice);
        Assert.InRange(two.BaseHz!.Value / one.BaseHz!.Value, 0.97, 1.03);
        Assert.InRange(one.BaseHz.Value, 50, 53);
    }

    [Fact]
    public void Too_few_samples_a_second_for_rotors_are_said_to_be_too_few()
    {
        ImuTrack slow = Track([new(30, [0.5])], 0.1) with { Blocks = [new ContiguousSegment(0, 60_000, 0, 0.01)] };
        GroupResult group = GroupAnalysis.Measure(slow, [new(0, 600)], null, [2], [1, 2], null);
        Assert.Equal(new TooSlowForRotors(100), Assert.IsType<TooSlowForRotors>(group.TotalMps2.Why));
    }

    [Fact]
    public void An_order_above_what_the_log_shows_is_unknown_with_its_frequency()
    {
        GroupResult group = Measure(
            Track([.. Enumerable.Range(0, 4).Select(m => new Rotor(130 + m, [0.5, 0.5, 0.3]))], 0.05),
            null,
            [1, 2, 3, 4]
        );
        Assert.True(group.Orders.Single(o => o.Order == 3).RmsMps2.IsKnown);
        Assert.IsType<OrderAboveLog>(group.Orders.Single(o => o.Order == 4).RmsMps2.Why);
        Assert.Equal([1, 2, 3], group.Counted);
    }

    private static GroupResult Measure(ImuTrack imu, GroupSpeedChoice? choice, IReadOnlyList<int>? orders = null) =>
        GroupAnalysis.Measure(imu, s_all, choice, [2], orders ?? [1, 2, 3, 4], null);

    /// <summary>Sines on x, and white noise of a known rms on every axis.</summary>
    private static ImuTrack Track(IReadOnlyList<Rotor> rotors, double noise, Func<double, double>? speed = null)
    {
        int count = (int)(60 * RateHz);
        var random = new Random(7);
        double[][] axes = [.. Enumerable.Range(0, 3).Select(_ => Enumerable.Range(0, count).Select(_ => noise * Gauss(random)).ToArray())];
        foreach (Rotor rotor in rotors)
        {
            double angle = 6.28 * random.NextDouble();
            for (int i = 0; i < count; i++)
            {
                angle += 2 * Math.PI * rotor.Hz * (speed?.Invoke(i / RateHz) ?? 1) / RateHz;
                for (int k = 0; k < rotor.Amplitudes.Length; k++)
                {
                    axes[0][i] += rotor.Amplitudes[k] * Math.Cos((k + 1) * angle + k);
                }
            }
        }

        return new()
        {
            Blocks = [new ContiguousSegment(0, count, 0, 1 / RateHz)],
            AccXMps2 = axes[0],
            AccYMps2 = axes[1],
            AccZMps2 = axes[2],
        };
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private sealed record Rotor(double Hz, double[] Amplitudes);
}
