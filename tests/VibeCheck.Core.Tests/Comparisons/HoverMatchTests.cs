using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests.Comparisons;

/// <summary>Restricts hovers to a common operating point: speeds are linear ramps, so that the interval within 3 % can be calculated by
/// hand.</summary>
public sealed class HoverMatchTests
{
    private const double Seconds = 100;

    // From 4.5 % below 3400 rpm to 4.5 % above in 100 s: within 3 % from 16.7 to 83.3 s, two thirds of it; in steps of half a second.
    [Theory]
    [InlineData(HoverBasis.Rpm)]
    [InlineData(HoverBasis.Command)]
    public void Hover_is_kept_within_3_percent_of_the_shared_operating_point(HoverBasis by)
    {
        IReadOnlyList<MatchedHover> matched = HoverMatch.Of([Made(Ramp(0.045), by), Made(_ => 1, by)], out HoverBasis basis);
        Assert.Equal(by, basis);
        TimeInterval kept = Assert.Single(matched[0].Used.Segments);
        Assert.Equal(Seconds / 2 * (1 - 0.03 / 0.045), kept.FromS, tolerance: 0.8);
        Assert.Equal(Seconds / 2 * (1 + 0.03 / 0.045), kept.ToS, tolerance: 0.8);
        Assert.True(matched[0].Found.SecondsUsed > 95);
        Assert.Equal(By(by), matched[0].Level!.Value, tolerance: 0.001 * By(by));
        Assert.Equal(matched[1].Found.SecondsUsed, matched[1].Used.SecondsUsed, tolerance: 1e-9);
        Assert.Equal(By(by), matched[1].Level!.Value, tolerance: 1e-9 * By(by));
    }

    // The common operating point is the mean of both: 1 + 2.5 % / 2. The range of ± 3 % around it is from 15.3 to 100 s of the first
    // flight.
    [Fact]
    public void The_shared_operating_point_is_the_mean_over_the_flights()
    {
        IReadOnlyList<MatchedHover> matched = HoverMatch.Of([Made(Ramp(0.025)), Made(_ => 1.025)], out _);
        TimeInterval kept = Assert.Single(matched[0].Used.Segments);
        double from = (1.0125 * 0.97 - 0.975) / 0.05 * Seconds;
        Assert.Equal(from, kept.FromS, tolerance: 0.8);
        Assert.Equal(matched[0].Found.Segments[^1].ToS, kept.ToS, tolerance: 1e-9);

        // The mean of the remaining part of a linear ramp is the value at its middle.
        double middle = 3400 * (0.975 + 0.05 * (kept.FromS + kept.ToS) / 2 / Seconds);
        Assert.Equal(middle, matched[0].Level!.Value, tolerance: 0.5);
    }

    // From 6 % below to 6 % above only half would remain: less than 60 %.
    [Fact]
    public void Hover_that_would_lose_too_much_is_used_completely()
    {
        IReadOnlyList<MatchedHover> matched = HoverMatch.Of([Made(Ramp(0.06)), Made(_ => 1)], out _);
        Assert.All(matched, m => Assert.Equal(m.Found.Segments, m.Used.Segments));
        Assert.Equal(3400, matched[0].Level!.Value, tolerance: 4);
    }

    [Fact]
    public void Speeds_come_before_commands_and_only_of_motors_that_all_flights_know()
    {
        Flight both = Made(_ => 1) with { Motors = [.. Made(_ => 1).Motors.Select(m => m with { Command = m.Rpm })] },
            commands = both with { Motors = [.. both.Motors.Select(m => m with { Rpm = null })] },
            none = both with { Motors = [] };
        HoverMatch.Of([both, both], out HoverBasis basis);
        Assert.Equal(HoverBasis.Rpm, basis);
        HoverMatch.Of([both, commands], out basis);
        Assert.Equal(HoverBasis.Command, basis);
        Assert.All(HoverMatch.Of([both, none], out basis), m => Assert.Null(m.Level));
        Assert.Equal(HoverBasis.None, basis);

        // Two motors at 3400 and 3468 rpm in one flight; the other knows only the first.
        Flight uneven = both with { Motors = [both.Motors[0], Made(_ => 1.02).Motors[1]] },
            first = both with { Motors = [both.Motors[0]] };
        Assert.Equal(3434, HoverMatch.Of([uneven, uneven], out _)[0].Level!.Value, tolerance: 1e-6);
        Assert.Equal(3400, HoverMatch.Of([uneven, first], out _)[0].Level!.Value, tolerance: 1e-6);
    }

    [Fact]
    public void A_flight_whose_telemetry_ended_before_its_hover_has_no_operating_point_and_is_matched_with_none()
    {
        Series early = new([-2, -1], [3400, 3400]);
        Flight whole = Made(_ => 1),
            ended = whole with { Motors = [.. whole.Motors.Select(m => m with { Rpm = early })] };
        IReadOnlyList<MatchedHover> matched = HoverMatch.Of([whole, ended], out _);
        Assert.Null(matched[1].Level);
        Assert.Equal(3400, matched[0].Level!.Value, tolerance: 1e-6);
        Assert.All(matched, m => Assert.Equal(m.Found.Segments, m.Used.Segments));
    }

    [Fact]
    public void The_share_used_is_that_of_the_hover_found()
    {
        FlightUse use = new("before", false, new(0, 200), [new(10, 40), new(50, 60)], [new(15, 35)]);
        Assert.Equal(0.5, use.UsedShare, tolerance: 1e-12);
        Assert.Equal(0, (use with { Hover = [], Used = [] }).UsedShare);
    }

    private static double By(HoverBasis by) => by == HoverBasis.Rpm ? 3400 : 0.5;

    private static Func<double, double> Ramp(double share) => t => 1 - share + 2 * share * t / Seconds;

    private static Flight Made(Func<double, double> level, HoverBasis by = HoverBasis.Rpm)
    {
        double[] times = [.. Enumerable.Range(0, (int)(Seconds * 5) + 1).Select(i => i / 5.0)];
        Series series = new(times, Array.ConvertAll(times, t => By(by) * level(t)));
        int count = (int)(Seconds * 50);
        return new()
        {
            Imu = new ImuTrack
            {
                Blocks = [new ContiguousSegment(0, count, 0, 0.02)],
                AccXMps2 = new double[count],
                AccYMps2 = new double[count],
                AccZMps2 = [.. Enumerable.Repeat(-9.81, count)],
            },
            Motors =
            [
                .. ((string[])["M1", "M2"]).Select(id => new MotorTrack
                {
                    MotorId = id,
                    Rpm = by == HoverBasis.Rpm ? series : null,
                    Command = by == HoverBasis.Command ? series : null,
                }),
            ],
            Input = new FlightInput
            {
                Imu = new FileRecord
                {
                    Path = "made",
                    Rows = 1,
                    RowsUnusable = 0,
                    Columns = [],
                },
            },
        };
    }
}
