using System.Diagnostics;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Core.Tests.Surveys;

/// <summary>Plans for kits and mounts far larger than usual are good and take bounded time.</summary>
public sealed class LargeKitTests
{
    private static readonly double[] _fine = [.. Enumerable.Range(1, 100).Select(i => Math.Round(i * 0.01, 2))];
    private static readonly double[] _odd = [.. Enumerable.Range(1, 100).Select(i => 0.0137 * i + 0.0003 * (i * i % 17))];
    private static readonly double[] _usual = [0.1, 0.2, 0.3];

    /// <summary>Name, kit, bolts, and the tilt that the plan may leave, degrees: half a step of the kit over half the mount in each
    /// direction.</summary>
    public static TheoryData<string, string, int, int, int, double> Cases =>
        new()
        {
            { "a hundred thicknesses by five, four bolts", "fine", 5, 0, 4, 0.03 },
            { "a hundred odd thicknesses by five, four bolts", "odd", 5, 0, 4, 0.03 },
            { "a hundred single pieces, four bolts", "fine", 3, 1, 4, 0.06 },
            { "a hundred single pieces by five, four bolts", "odd", 5, 1, 4, 0.06 },
            { "the usual kit, 64 bolts", "usual", 2, 0, 64, double.PositiveInfinity },
            { "the usual kit counted, 64 bolts", "usual", 2, 50, 64, double.PositiveInfinity },
            { "a hundred thicknesses, 64 bolts", "fine", 2, 0, 64, 0.03 },
            { "a hundred thicknesses by five, 8 bolts", "odd", 5, 0, 8, 0.03 },
            { "a hundred single pieces, 8 bolts", "fine", 2, 1, 8, double.PositiveInfinity },
        };

    [Theory]
    [MemberData(nameof(Cases))]
    public void A_large_kit_or_mount_is_planned_in_bounded_time(
        string name,
        string kind,
        int maxStack,
        int count,
        int bolts,
        double mostLeftDeg
    )
    {
        double[] thicknesses = kind switch
        {
            "fine" => _fine,
            "odd" => _odd,
            _ => _usual,
        };
        var kit = new ShimKit(thicknesses, maxStack) { Counts = count == 0 ? null : [.. thicknesses.Select(_ => count)] };
        var airframe = new Airframe
        {
            Name = name,
            Bolts = BoltPattern.Circle(bolts, 60, 45),
            ShimKit = kit,
            Motors =
            [
                .. Enumerable
                    .Range(0, 8)
                    .Select(i => new Motor(
                        $"M{i}",
                        45 * i,
                        0.4,
                        i % 2 == 0 ? Spin.Clockwise : Spin.CounterClockwise,
                        MotorLevel.Single,
                        2,
                        null
                    )),
            ],
        };
        MotorTilt[] tilts =
        [
            .. airframe.Motors.Select(
                (m, i) => new MotorTilt(m.Id, Estimate.Around(0.31 + 0.017 * i, 0.01), Estimate.Around(-0.23 + 0.031 * i, 0.01))
            ),
        ];

        var clock = Stopwatch.StartNew();
        ShimPlan plan = ShimPlan.Of(airframe, new Survey(tilts, []));
        clock.Stop();

        // The slowest takes 0.7 s of processor time. The bound allows for a machine with thirty other jobs per core; an unbounded search
        // takes hours.
        Assert.True(clock.Elapsed.TotalSeconds < 40, $"{name} took {clock.Elapsed.TotalSeconds:F1} s");
        Assert.All(plan.Motors, m => Assert.True(m.TiltAfter!.MagnitudeDeg <= m.Tilt!.MagnitudeDeg + 1e-9));
        Assert.All(
            plan.Motors.Take(1),
            m => Assert.True(m.TiltAfter!.MagnitudeDeg <= mostLeftDeg, $"{name}: {m.Motor.Id} keeps {m.TiltAfter.MagnitudeDeg:F3}°")
        );
        if (count > 0)
        {
            Assert.All(plan.Pieces, p => Assert.True(p.Item2 <= count));
        }
    }

    [Fact]
    public void A_thickness_listed_twice_is_taken_from_where_pieces_are_left()
    {
        var airframe = new Airframe
        {
            Name = "twice",
            Bolts = BoltPattern.Rectangle(28.6, 28.6),
            ShimKit = new ShimKit([0.2, 0.2], 1) { Counts = [1, 3] },
            Motors =
            [
                new("M1", 0, 0.4, Spin.Clockwise, MotorLevel.Single, 2, null),
                new("M2", 180, 0.4, Spin.CounterClockwise, MotorLevel.Single, 2, null),
            ],
        };
        ShimPlan plan = ShimPlan.Of(
            airframe,
            new Survey([.. airframe.Motors.Select(m => new MotorTilt(m.Id, Estimate.Around(0.4, 0.01), Estimate.Around(0, 0.01)))], [])
        );
        Assert.All(plan.Motors, m => Assert.Equal(2, m.Stacks!.Pieces));
    }
}
