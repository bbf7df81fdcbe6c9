using CsCheck;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Surveys;

public sealed class ShimPlanTests
{
    private static readonly BoltPattern[] _patterns =
    [
        BoltPattern.Rectangle(28.6, 28.6),
        BoltPattern.Rectangle(30, 22),
        BoltPattern.Cross(28.6, 28.6),
        BoltPattern.Pairs(16, 19, 45),
        BoltPattern.Pairs(19, 25, 30),
        BoltPattern.Circle(3, 30, 0),
        BoltPattern.At([(10, 12), (-9, 11), (-10, -12), (11, -10)]),
    ];

    private static readonly ShimKit[] _kits =
    [
        new([0.1, 0.2, 0.3], 2),
        new([0.1], 3),
        new([0.05, 0.1], 2),
        new([0.2], 1),
        new([0.0254, 0.0508, 0.127], 2),
    ];

    private static readonly Gen<(double Across, double Along, BoltPattern Pattern, ShimKit Kit)> _mounts = Gen.Select(
        Gen.Double[-1.2, 1.2],
        Gen.Double[-1.2, 1.2],
        Gen.Int[0, 6].Select(i => _patterns[i]),
        Gen.Int[0, 4].Select(i => _kits[i])
    );

    private static Airframe One(BoltPattern? bolts, ShimKit? kit, MotorLevel level = MotorLevel.Single) =>
        new()
        {
            Name = "one",
            Bolts = bolts,
            ShimKit = kit,
            Motors = [new("M1", 30, 0.4, Spin.Clockwise, level, 2, null)],
        };

    private static Survey Sure(params ReadOnlySpan<(string Id, double Across, double Along)> tilts)
    {
        var list = new List<MotorTilt>();
        foreach ((string id, double across, double along) in tilts)
        {
            list.Add(new(id, Estimate.Around(across, 0.001), Estimate.Around(along, 0.001)));
        }

        return new(list, []);
    }

    private static MotorShims PlanOne(
        double across,
        double along,
        BoltPattern pattern,
        ShimKit kit,
        MotorLevel level = MotorLevel.Single
    ) => ShimPlan.Of(One(pattern, kit, level), Sure(("M1", across, along))).Motors[0];

    private static string Stacks(MotorShims m) =>
        string.Join(
            ' ',
            m.Stacks!.Bolts.Select(b =>
                $"{b.Bolt.Place}:{string.Join('+', b.StackMm.Select(t => t.ToString(System.Globalization.CultureInfo.InvariantCulture)))}"
            )
        );

    // Common practice: about 0.4° needs 0.2 mm near 28 mm (check G4: 28.6·tan 0.4° = 0.19967 mm), under both bolts of the low side.
    [Theory]
    [InlineData(0.4, 0, LowSide.Right, "right-out:0.2 right-in:0.2 left-in: left-out:")]
    [InlineData(-0.4, 0, LowSide.Left, "right-out: right-in: left-in:0.2 left-out:0.2")]
    [InlineData(0, 0.4, LowSide.Out, "right-out:0.2 right-in: left-in: left-out:0.2")]
    [InlineData(0, -0.4, LowSide.In, "right-out: right-in:0.2 left-in:0.2 left-out:")]
    [InlineData(0.4, 0.2, LowSide.Right, "right-out:0.3 right-in:0.2 left-in: left-out:0.1")]
    public void A_square_pattern_is_raised_on_its_low_side(double across, double along, LowSide side, string stacks)
    {
        MotorShims m = PlanOne(across, along, _patterns[0], _kits[0]);
        Assert.Equal((ShimAction.Shim, side), (m.Action, m.Side!.Value));
        Assert.Equal(stacks, Stacks(m));
        Assert.Equal(0.2, m.ThicknessMm!.Value, 1e-9);
        Assert.True(m.Stacks!.ResidualDeg < 0.002);
        Assert.Equal(0, m.Stacks.RockingMm);
    }

    [Fact] // Common practice: the lower motor of a coaxial pair hangs, so the same tilt needs its shims on the other side.
    public void A_lower_coaxial_motor_is_shimmed_on_the_other_side()
    {
        MotorShims m = PlanOne(0.4, 0, _patterns[0], _kits[0], MotorLevel.Lower);
        Assert.Equal(LowSide.Left, m.Side);
        Assert.Equal("right-out: right-in: left-in:0.2 left-out:0.2", Stacks(m));
        Assert.Equal(0.4 - 0.40067, m.TiltAfter!.AcrossDeg.Value!.Value, 1e-4);
    }

    [Fact] // A cross needs half the thickness at the two bolts on the arm's axis.
    public void A_cross_takes_half_thickness_on_the_axis()
    {
        MotorShims m = PlanOne(0.4, 0, BoltPattern.Cross(28.6, 28.6), _kits[0]);
        Assert.Equal("out:0.1 right:0.2 in:0.1 left:", Stacks(m));
        Assert.Equal(0.2, m.ThicknessMm!.Value, 1e-9);
    }

    [Fact]
    public void Three_bolts_never_rock() =>
        _mounts.Sample(
            t => PlanOne(t.Across, t.Along, BoltPattern.Circle(3, 30, 15), t.Kit).Stacks is not { RockingMm: > 0 },
            seed: "0N0XIzNsQ0O2",
            iter: 50
        );

    [Fact]
    public void Two_bolts_correct_along_their_line_only_and_are_warned_about()
    {
        ShimPlan plan = ShimPlan.Of(One(BoltPattern.At([(14.3, 0), (-14.3, 0)]), _kits[0]), Sure(("M1", 0.4, 0.3)));
        Assert.Equal("right:0.2 left:", Stacks(plan.Motors[0]));
        Assert.Equal(0.3, plan.Motors[0].Stacks!.ResidualAlongDeg, 1e-9);
        Assert.Contains(plan.Cautions, c => c is BoltsInOneLine);
    }

    [Fact]
    public void A_plan_never_leaves_more_tilt_than_before() =>
        _mounts.Sample(
            t =>
            {
                MotorShims m = PlanOne(t.Across, t.Along, t.Pattern, t.Kit);
                Assert.True((m.TiltAfter!.MagnitudeDeg ?? 0) <= m.Tilt!.MagnitudeDeg + 1e-9);
            },
            seed: "0N0XIzNsQ0O2",
            iter: 300
        );

    [Fact]
    public void A_plan_is_the_best_of_all_combinations() =>
        _mounts.Sample(
            t =>
            {
                var options = new ShimOptions { ToleranceDeg = 0.0001 };
                MotorShims m = ShimPlan.Of(One(t.Pattern, t.Kit), Sure(("M1", t.Across, t.Along)), options).Motors[0];
                double least = BruteForce(t.Across, t.Along, t.Pattern, t.Kit, 0.02, out int fewest);
                Assert.InRange(m.TiltAfter!.MagnitudeDeg!.Value, least - 1e-9, least + ShimOptions.EqualDeg + 1e-9);
                if (m.Action == ShimAction.Shim)
                {
                    Assert.Equal(fewest, m.Stacks!.Pieces);
                }
            },
            seed: "0N0XIzNsQ0O2",
            iter: 60
        );

    [Fact]
    public void Mirrored_tilts_give_mirrored_shims() =>
        _mounts.Sample(
            t =>
            {
                BoltPattern mirror = new([.. t.Pattern.Bolts.Select(b => new Bolt(b.Place, -b.AcrossMm, b.AlongMm))]);
                MotorShims one = PlanOne(t.Across, t.Along, t.Pattern, t.Kit),
                    other = PlanOne(-t.Across, t.Along, mirror, t.Kit);
                Assert.Equal(one.Action, other.Action);
                Assert.Equal(one.Stacks?.Bolts.Select(b => b.HeightMm), other.Stacks?.Bolts.Select(b => b.HeightMm));
            },
            seed: "0N0XIzNsQ0O2",
            iter: 200
        );

    [Fact]
    public void Turning_the_whole_airframe_changes_nothing() =>
        Gen.Select(Gen.Double[0, 360], Gen.Double[-0.8, 0.8].Array[6], Gen.Double[-0.8, 0.8].Array[6])
            .Sample(
                (turn, across, along) =>
                {
                    Airframe hexa = DemoAirframes.Ring(6, "hexa", 6.8, 0.42, 2);
                    Airframe turned = hexa with { Motors = [.. hexa.Motors.Select(m => m with { AzimuthDeg = m.AzimuthDeg + turn })] };
                    Survey survey = Sure([.. Enumerable.Range(0, 6).Select(i => ($"M{i + 1}", across[i], along[i]))]);
                    ShimPlan a = ShimPlan.Of(hexa, survey),
                        b = ShimPlan.Of(turned, survey);
                    Assert.Equal(
                        a.Motors.Select(m => m.Stacks is null ? "" : Stacks(m)),
                        b.Motors.Select(m => m.Stacks is null ? "" : Stacks(m))
                    );
                    Assert.Equal(a.Forecast.SplitBefore.Value!.Value, b.Forecast.SplitBefore.Value!.Value, 1e-9);
                },
                seed: "0N0XIzNsQ0O2",
                iter: 40
            );

    [Fact]
    public void Pieces_left_in_the_kit_are_respected_and_the_largest_tilt_chooses_first()
    {
        Airframe hexa = DemoAirframes.Ring(6, "hexa", 6.8, 0.42, 2) with { ShimKit = new([0.1, 0.2], 2) { Counts = [2, 3] } };
        ShimPlan plan = ShimPlan.Of(hexa, Sure(("M1", 0.4, 0), ("M2", 0.41, 0)));

        // M2 has the larger tilt and uses two pieces of 0.2; one 0.2 is left, so M1 makes its 0.2 from that and two of 0.1.
        Assert.Equal("right-out:0.2 right-in:0.2 left-in: left-out:", Stacks(plan.Motors[1]));
        Assert.Equal(3, plan.Motors[0].Stacks!.Pieces);
        Assert.Equal([0.2, 0.2], plan.Motors[0].Stacks!.Bolts.Where(b => b.StackMm.Count > 0).Select(b => Math.Round(b.HeightMm, 6)));
        Assert.Equal([(0.1, 2), (0.2, 3)], plan.Pieces);
    }

    [Fact]
    public void A_large_kit_is_searched_near_the_ideal_plane_and_still_does_well()
    {
        var kit = new ShimKit([0.02, 0.03, 0.05, 0.075, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4], 3);
        MotorShims m = PlanOne(0.537, -0.283, BoltPattern.Rectangle(28.6, 28.6), kit);

        // The kit makes every hundredth of a millimetre from 0.02 upwards; half a hundredth over 28.6 mm is 0.010° in each direction.
        Assert.True(m.Stacks!.ResidualDeg < 0.015, $"leaves {m.Stacks.ResidualDeg}°");
    }

    [Theory]
    [InlineData(0.25, 0.1, ShimAction.Shim)]
    [InlineData(0.05, 0.04, ShimAction.Leave)]
    [InlineData(0.15, 0.08, ShimAction.MeasureAgain)]
    public void The_decision_compares_the_tilt_and_its_uncertainty_with_the_tolerance(double deg, double half, ShimAction expected)
    {
        var survey = new Survey([new("M1", Estimate.Around(deg, half), Estimate.Around(0, half))], []);
        Assert.Equal(expected, ShimPlan.Of(One(_patterns[0], _kits[0]), survey).Motors[0].Action);
    }

    [Fact]
    public void Screws_that_lose_too_much_thread_or_reach_the_winding_are_reported_with_the_numbers()
    {
        Airframe one = One(_patterns[0], _kits[0]) with { Screws = new MountScrews(9, 3, 3, 5.5) };
        IReadOnlyList<Reason> cautions = ShimPlan.Of(one, Sure(("M1", 0.4, 0))).Cautions;

        // Check G7: an M3 screw in aluminium needs 6.07 mm. 9 - 3 - 0.2 = 5.8 mm; 9 - 3 = 6 mm without shims, more than 5.5 mm of thread.
        var tooShort = Assert.Single(cautions.OfType<MotorCaution>().Select(c => c.Cause).OfType<ScrewsTooShort>());
        Assert.Equal(
            (0.2, 5.8, 6.0, 3.0, 6.07),
            (tooShort.ShimsMm, tooShort.EngagementMm, tooShort.BareMm, tooShort.DiameterMm, Math.Round(tooShort.WantedMm, 2))
        );
        Assert.Contains(new MotorCaution("M1", new ScrewsTooLong(6, 5.5, InInch: false)), cautions);
    }

    [Fact]
    public void A_motor_without_readings_is_to_be_measured()
    {
        MotorShims m = ShimPlan.Of(One(_patterns[0], _kits[0]), new Survey([], [])).Motors[0];
        Assert.Equal((ShimAction.MeasureAgain, new NothingReadHere()), (m.Action, m.Why));
    }

    /// <summary>The best of all combinations of stacks, with the plane fitted by independently written normal equations.</summary>
    private static double BruteForce(double across, double along, BoltPattern pattern, ShimKit kit, double rockingMm, out int fewest)
    {
        List<(double Mm, int Pieces)> stacks = [(0, 0)];
        for (int round = 0; round < kit.MaxStack; round++)
        {
            stacks =
            [
                .. stacks
                    .Concat(stacks.SelectMany(s => kit.ThicknessesMm.Select(t => (s.Mm + t, s.Pieces + 1))))
                    .GroupBy(s => Math.Round(s.Item1, 6))
                    .Select(g => g.MinBy(s => s.Item2)),
            ];
        }

        stacks.RemoveAll(s => s.Pieces > kit.MaxStack);
        int n = pattern.Bolts.Count;
        var all = new List<(double Left, int Pieces)>();
        int[] at = new int[n];
        var matrix = MathNet.Numerics.LinearAlgebra.Matrix<double>.Build.DenseOfRows(
            pattern.Bolts.Select(b => new[] { 1, b.AcrossMm, b.AlongMm })
        );
        double[,] fit = matrix.PseudoInverse().ToArray();
        double ta = Math.Tan(across * Math.PI / 180),
            tb = Math.Tan(along * Math.PI / 180);
        while (true)
        {
            double c = 0,
                p = 0,
                q = 0,
                worst = 0;
            int pieces = 0;
            for (int i = 0; i < n; i++)
            {
                double h = stacks[at[i]].Mm;
                c += fit[0, i] * h;
                p += fit[1, i] * h;
                q += fit[2, i] * h;
                pieces += stacks[at[i]].Pieces;
            }

            for (int i = 0; i < n; i++)
            {
                worst = Math.Max(worst, Math.Abs(stacks[at[i]].Mm - c - p * pattern.Bolts[i].AcrossMm - q * pattern.Bolts[i].AlongMm));
            }

            if (worst <= rockingMm + 1e-9)
            {
                all.Add((180 / Math.PI * Math.Sqrt(Math.Pow(Math.Atan(ta - p), 2) + Math.Pow(Math.Atan(tb - q), 2)), pieces));
            }

            int digit = 0;
            while (digit < n && ++at[digit] == stacks.Count)
            {
                at[digit++] = 0;
            }

            if (digit == n)
            {
                break;
            }
        }

        double least = all.Min(a => a.Left);
        fewest = all.Where(a => a.Left <= least + ShimOptions.EqualDeg).Min(a => a.Pieces);
        return least;
    }
}
