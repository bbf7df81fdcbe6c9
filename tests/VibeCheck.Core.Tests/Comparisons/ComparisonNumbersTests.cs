using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Tracks;
using static VibeCheck.Core.Tests.Comparisons.MadeFlights;

namespace VibeCheck.Core.Tests.Comparisons;

/// <summary>Numbers of a comparison on simulated flights whose result can be calculated by hand. Variances add (JCGM 100:2008, GUM, 5.1.2);
/// allowances and limits are those of docs/methods.</summary>
public sealed class ComparisonNumbersTests
{
    private const VibrationPartKind Lines = VibrationPartKind.SteadyLines,
        Air = VibrationPartKind.Broadband;

    private static readonly MadeFlights s_usual = new();

    // Half the 95 % interval of a rise is 0.4 °C, so its standard uncertainty is 0.4/1.96.
    private const double RiseU = 0.4 / 1.96;

    /// <summary>Standard uncertainty of a level known to ± 2 %, dB.</summary>
    private static readonly double s_sizeU = 20 * Math.Log10(1.02 / 0.98) / 2 / 1.96;

    // Parts of 3 and 4 give 5 (squares add); 3 and 6 give √45. Mean shares of the mean square: 0.28 and 0.72.
    [Fact]
    public void The_scatter_of_all_vibration_is_that_of_its_parts_weighted_by_their_shares()
    {
        Comparison c = Compare(s_usual with { PartsMps2 = [3, 0, 0, 0, 4, 0] }, s_usual with { PartsMps2 = [3, 0, 0, 0, 6, 0] });
        double allowance = Math.Sqrt(Math.Pow(0.28 * 0.4, 2) + Math.Pow(0.72 * 1.5, 2));
        Assert.Equal(20 * Math.Log10(Math.Sqrt(45) / 5), c.AllVibration.Change.Value!.Value, tolerance: 1e-9);
        Assert.Equal(
            1.95996 * Math.Sqrt(2 * allowance * allowance + 2 * s_sizeU * s_sizeU),
            c.AllVibration.SmallestShown!.Value,
            tolerance: 1e-4
        );
        Assert.Equal(
            (5.0, Math.Round(Math.Sqrt(45), 9)),
            (Math.Round(c.AllVibration.Before!.Value, 9), Math.Round(c.AllVibration.After!.Value, 9))
        );

        // Only the rotors' share is proportional to the square of their speed.
        Comparison faster = Compare(
            s_usual with
            {
                PartsMps2 = [3, 0, 0, 0, 4, 0],
            },
            s_usual with
            {
                PartsMps2 = [3, 0, 0, 0, 4, 0],
                Rpm = 3400 * 1.04,
            }
        );
        Assert.Equal(-40 * Math.Log10(1.04) * 0.36, faster.AllVibration.Change.Value!.Value, tolerance: 1e-9);
    }

    // Both flights contain noise of 0.8 m/s² beside a broadband part of 1 m/s². The second has no time at rest, so its part is √(1² +
    // 0.8²); the third was at rest with idling motors, where 1 m/s² was subtracted: √(1² + 0.8² - 1²) remains. Mean squares add.
    [Theory]
    [InlineData(null, 1.2806248474865698)]
    [InlineData(1.0, 0.8)]
    public void Flights_are_compared_with_the_same_sensor_noise_subtracted(double? noise, double broadband)
    {
        Comparison c = Compare(
            s_usual with
            {
                PartsMps2 = [3, 0, 0, 0, 1, 0],
                NoiseMps2 = 0.8,
            },
            s_usual with
            {
                PartsMps2 = [3, 0, 0, 0, broadband, 0],
                NoiseMps2 = noise,
            }
        );
        Assert.Equal(0, Part(c, Air).ChangeDb.Value!.Value, tolerance: 1e-9);
        Assert.Equal(0, c.AllVibration.Change.Value!.Value, tolerance: 1e-9);
        Assert.Equal(1, Part(c, Air).AfterMps2.Value!.Value, tolerance: 1e-9);
    }

    // 1000 spikes in a flight of some minutes: smaller ones than those found remain, and are no vibration of the aircraft. The lines stay.
    [Fact]
    public void Spikes_in_one_log_leave_the_rotors_known_and_withhold_total_vibration_and_its_parts()
    {
        Comparison c = Compare(
            s_usual with
            {
                PartsMps2 = [3, 0, 0, 0, 0.5, 0],
            },
            s_usual with
            {
                PartsMps2 = [3, 0, 0, 0, 4, 2],
                Faults = [Repaired(new SpikesLeftOut(1000, 180))],
            }
        );
        Assert.Equal((CallKind.Unknown, CallKind.NoClearChange), (c.AllVibration.Kind, c.Vibration.Kind));
        KnownOnOneSide why = Assert.IsType<KnownOnOneSide>(c.AllVibration.Change.Why);
        Assert.Equal((false, new SpikesLeftOut(1000, 180)), (why.After, why.Cause));
        Assert.False(c.After[0].Accounting!.TotalMps2.IsKnown);
        Assert.Empty(c.Parts);
        Assert.NotEqual(Verdict.Mixed, c.Verdict);
    }

    [Fact]
    public void A_few_spikes_in_minutes_are_chance_and_leave_total_vibration_known()
    {
        MadeFlights few = s_usual with { PartsMps2 = [3, 0, 0, 0, 0.5, 0], Faults = [Repaired(new SpikesLeftOut(3, 180))] };
        Assert.True(Compare(few, few).AllVibration.Change.IsKnown);
    }

    public static TheoryData<Reason> CausesOfMisplacedSamples =>
        [new SamplesFilled(0.02, 0.01), new SamplesHeld(0.03), new PhaseBroken(0.8), new SamplesTakenUnevenly(1e-4, 0.05)];

    [Theory]
    [MemberData(nameof(CausesOfMisplacedSamples), DisableDiscoveryEnumeration = true)]
    public void Filled_or_misplaced_samples_in_one_log_withhold_broadband_vibration_and_knocks_alone(Reason cause)
    {
        Comparison c = Compare(
            s_usual with
            {
                PartsMps2 = [3, 0, 0, 1, 0.5, 0],
            },
            s_usual with
            {
                PartsMps2 = [3, 0, 0, 1, 1.5, 0],
                Faults = [Repaired(cause)],
            }
        );
        Assert.Equal(new KnownOnOneSide(After: false, cause), Part(c, Air).ChangeDb.Why);
        Assert.Equal(cause, c.After[0].Accounting!.Part(Air).Mps2.Why);
        Assert.Equal(CallKind.Unknown, Part(c, Air).Call);
        Assert.Equal(CallKind.Unknown, Part(c, VibrationPartKind.Knocks).Call);
        Assert.Equal(CallKind.NoClearChange, Part(c, VibrationPartKind.SteadyLines).Call);
        Assert.True(c.AllVibration.Change.IsKnown);
    }

    // A share is relative to the mean of all motors: without one speed none is known.
    [Fact]
    public void A_motor_whose_speed_is_withheld_withholds_all_load_shares()
    {
        MadeFlights wrong = s_usual with
        {
            Faults =
            [
                new()
                {
                    Cause = new RotorNotDetected("M2", 1, 100),
                    Track = "telemetry",
                    Motor = "M2",
                    Effect = QualityEffect.Withheld,
                    Affects = Answers.Speeds,
                },
            ],
        };
        Comparison c = Compare(s_usual, wrong);
        Assert.All(c.Motors, m => Assert.Equal(LoadShareCall.Unknown, m.LoadShare.Call));
        Assert.All(c.After[0].Motors, m => Assert.IsType<RotorNotDetected>(m.LoadShare.Why));
    }

    private static QualityIssue Repaired(Reason cause) =>
        new()
        {
            Cause = cause,
            Track = "imu",
            Effect = QualityEffect.Repaired,
            Affects = Answers.Vibration,
        };

    // Mean square 1.64 ± 0.2 from the interval, minus 0.64 for the noise measured in another flight with a standard uncertainty of 5 %:
    // variances of independent contributions add (JCGM 100, 5.1.2).
    [Fact]
    public void A_flight_without_rest_takes_over_the_uncertainty_of_the_noise_that_another_shows()
    {
        double air = Math.Sqrt(1.64),
            high = Math.Sqrt(1.84);
        MadeFlights rested = s_usual with { PartsMps2 = [3, 0, 0, 0, 1, 0], NoiseMps2 = 0.8 },
            flying = s_usual with { PartsMps2 = [3, 0, 0, 0, air, 0], NoiseMps2 = null, PartHalfMps2 = high - air };
        Interval ci95 = Part(Compare(rested, flying), Air).AfterMps2.Ci95!.Value;
        Assert.Equal(1 + Math.Sqrt(0.2 * 0.2 + Math.Pow(1.95996 * 0.05 * 0.64, 2)), ci95.High * ci95.High, tolerance: 1e-4);
    }

    // 0.2 ± 0.1 m/s² is 3.52 dB up and 6.02 dB down (R. Barlow, Asymmetric Errors, PHYSTAT 2003, from memory). The lower end of the change
    // combines the upper half width of before with the lower one of after, each with 1.5 dB from flight to flight.
    [Fact]
    public void A_part_that_is_nearly_zero_before_has_an_asymmetric_interval_in_decibels()
    {
        MadeFlights made = s_usual with { PartHalfMps2 = 0.1 };
        PartChange part = Part(Compare(made with { PartsMps2 = [1, 0, 0, 0, 0.2, 0] }, made with { PartsMps2 = [1, 0, 0, 0, 1, 0] }), Air);
        double Half(double before, double after) =>
            Math.Sqrt(Math.Pow(20 * Math.Log10(before / 0.2), 2) + Math.Pow(20 * Math.Log10(after), 2) + 2 * Math.Pow(1.95996 * 1.5, 2));
        double change = 20 * Math.Log10(5);
        Assert.Equal(change, part.ChangeDb.Value!.Value, tolerance: 1e-9);
        Assert.Equal(change - Half(0.3, 0.9), part.ChangeDb.Ci95!.Value.Low, tolerance: 1e-3);
        Assert.Equal(change + Half(0.1, 1.1), part.ChangeDb.Ci95.Value.High, tolerance: 1e-3);
        Assert.Equal(CallKind.Worse, part.Call);
    }

    // The rotors fell from 5 m/s² to 2; broadband rose from 0.1 to 0.5, which is 6 % of the total after but 1 % of the total before.
    [Fact]
    public void A_part_that_got_worse_is_compared_with_the_total_of_the_worse_flight()
    {
        Comparison c = Compare(s_usual with { PartsMps2 = [5, 0, 0, 0, 0.1, 0] }, s_usual with { PartsMps2 = [2, 0, 0, 0, 0.5, 0] });
        Assert.Equal(CallKind.Worse, Part(c, Air).Call);
    }

    [Theory]
    [InlineData(VibrationPartKind.HalfOrders, 1)]
    [InlineData(VibrationPartKind.RotorLocked, 1)]
    [InlineData(VibrationPartKind.SteadyLines, 1)]
    [InlineData(VibrationPartKind.Broadband, 1.5)]
    [InlineData(VibrationPartKind.Knocks, 3)]
    public void A_part_has_the_scatter_of_its_kind(VibrationPartKind kind, double scatterDb)
    {
        double[] parts = [3, 0, 0, 0, 0, 0];
        parts[(int)kind] = 2;
        PartChange part = Part(Compare(s_usual with { PartsMps2 = parts }, s_usual with { PartsMps2 = parts }), kind);
        Assert.Equal(
            1.95996 * Math.Sqrt(2 * scatterDb * scatterDb + 2 * s_sizeU * s_sizeU),
            part.ChangeDb.Ci95!.Value.Width / 2,
            tolerance: 1e-4
        );
        Assert.Equal((2.0, 2.0), (part.BeforeMps2.Value!.Value, part.AfterMps2.Value!.Value));
        Assert.Equal((1.96, 2.04), (Math.Round(part.BeforeMps2.Ci95!.Value.Low, 9), Math.Round(part.BeforeMps2.Ci95.Value.High, 9)));
    }

    // Nine flights per side resolve 1 dB. For lines beside rotors of 10 m/s² the limit of 2 % of at least 100 is 2 (m/s²)².
    [Theory]
    [InlineData(10, 1.5, 2.2, CallKind.Worse)]
    [InlineData(10, 2.2, 1.5, CallKind.Improved)]
    [InlineData(10, 1.3, 1.9, CallKind.NoClearChange)]
    [InlineData(3, 1.5, 2.1, CallKind.NoClearChange)]
    [InlineData(3, 2, 2.87, CallKind.Worse)]
    [InlineData(1, 0.1, 0.29, CallKind.NoClearChange)]
    [InlineData(1, 0.1, 0.34, CallKind.Worse)]
    public void A_part_is_called_where_it_changes_by_3_dB_and_changes_the_total(
        double rotors,
        double before,
        double after,
        CallKind expected
    )
    {
        Comparison c = Compare(Nine(rotors, before), Nine(rotors, after));
        Assert.Equal(expected, Part(c, Lines).Call);
        Assert.Equal(expected != CallKind.NoClearChange, c.Reasons.Any(r => r is PartChanged { Part: Lines }));
        Assert.Equal(
            expected switch
            {
                CallKind.Worse => Verdict.Worse,
                CallKind.Improved => Verdict.Improved,
                _ => Verdict.NoClearChange,
            },
            c.Verdict
        );

        static MadeFlights[] Nine(double rotors, double lines) =>
            [.. Enumerable.Repeat(s_usual with { PartsMps2 = [rotors, 0, 0, lines, 0, 0] }, 9)];
    }

    [Fact]
    public void A_part_that_was_zero_counts_as_a_twentieth_of_the_total()
    {
        Comparison c = Compare(s_usual with { PartsMps2 = [4, 0, 0, 0, 0, 0] }, s_usual with { PartsMps2 = [4, 0, 0, 0, 3, 0] });
        Assert.Equal(20 * Math.Log10(3 / (0.05 * 4.5)), Part(c, Air).ChangeDb.Value!.Value, tolerance: 1e-9);
        Assert.Equal(
            (CallKind.Worse, 0.0, 3.0),
            (Part(c, Air).Call, Part(c, Air).BeforeMps2.Value!.Value, Part(c, Air).AfterMps2.Value!.Value)
        );
        Assert.Equal(CallKind.NoClearChange, Part(c, VibrationPartKind.Knocks).Call);
    }

    [Fact]
    public void Without_the_rotors_all_vibration_is_unknown_and_not_separated_into_parts()
    {
        MadeFlights silent = s_usual with { HasTelemetry = false, PartsMps2 = [1, 0, 0, 0, 1, 0] };
        Comparison c = Compare(silent, silent with { PartsMps2 = [1, 0, 0, 0, 9, 0] });
        Assert.Equal((CallKind.Unknown, 0, Verdict.NoClearChange), (c.AllVibration.Kind, c.Parts.Count, c.Verdict));
    }

    // One equal order on each of six motors: n = (Σ a²)²/Σ a⁴ = 6 orders of equal level, the rest negligible. With the twelve orders of the
    // usual flight set equal n is 12, and the scatter of the total is 0.4 √(½ + ½/12) dB.
    [Theory]
    [InlineData(0.5, 0.5, 12)]
    [InlineData(0.5, 1e-6, 6)]
    public void Half_of_the_scatter_of_the_total_shrinks_with_the_orders_that_carry_it(double order1, double order2, double count)
    {
        MadeFlights even = s_usual with { Order1 = Even(order1), Order2 = Even(order2) };
        double scatter = 0.4 * Math.Sqrt(0.5 + 0.5 / count);
        Assert.Equal(
            1.95996 * Math.Sqrt(2 * scatter * scatter + 2 * s_sizeU * s_sizeU),
            Compare(even, even).Vibration.SmallestShown!.Value,
            tolerance: 1e-4
        );
    }

    [Fact]
    public void An_order_has_the_mean_of_its_flights_and_the_interval_from_within_them()
    {
        Comparison c = Compare([s_usual, s_usual with { Order1 = Even(1) }], [s_usual]);
        OrderChange order = c.Motors[0].Orders[0];

        // Means are taken in dB: √(0.5 · 1). The mean of two flights has 1/√2 of the uncertainty of one.
        double half = 1.96 * s_sizeU / Math.Sqrt(2);
        Assert.Equal(Math.Sqrt(0.5), order.BeforeMps2.Value!.Value, tolerance: 1e-9);
        Assert.Equal(Math.Sqrt(0.5) * Math.Pow(10, half / 20), order.BeforeMps2.Ci95!.Value.High, tolerance: 1e-6);
        Assert.Equal(Math.Sqrt(0.5) * Math.Pow(10, -half / 20), order.BeforeMps2.Ci95!.Value.Low, tolerance: 1e-6);
        Assert.Equal(20 * Math.Log10(0.5 / Math.Sqrt(0.5)), order.ChangeDb.Value!.Value, tolerance: 1e-9);
        Assert.Equal((1, 2), (c.Motors[0].Orders[0].Order, c.Motors[0].Orders[1].Order));
    }

    [Fact]
    public void A_rough_small_order_does_not_make_the_verdict()
    {
        MadeFlights small = s_usual with { Order1 = [0.1, 0.5, 0.5, 0.5, 0.5, 0.5] };
        Comparison c = Compare(small, small with { Order1 = [0.4, 0.5, 0.5, 0.5, 0.5, 0.5] });
        Assert.Equal(CallKind.Worse, c.Motors[0].Orders[0].Call);
        Assert.Equal((CallKind.NoClearChange, Verdict.NoClearChange), (c.Vibration.Kind, c.Verdict));
    }

    // The difference of two units' rises has twice the variance of one, within the flight and from flight to flight (0.65 °C).
    [Fact]
    public void The_spread_of_rises_has_the_uncertainty_of_two_units()
    {
        TemperatureSpread spread = Compare(s_usual, s_usual with { MotorRiseC = [27, 26, 31, 26, 27, 26] }).MotorSpread!;
        double side = 2 * RiseU * RiseU + 2 * 0.65 * 0.65;
        Assert.Equal(3, spread.ChangeC.Value!.Value, tolerance: 1e-9);
        Assert.Equal(1.95996 * Math.Sqrt(2 * side), spread.ChangeC.Ci95!.Value.Width / 2, tolerance: 1e-4);
        Assert.Equal(1.95996 * Math.Sqrt(side), spread.AfterC.Ci95!.Value.Width / 2, tolerance: 1e-4);
        Assert.Equal(CallKind.Worse, spread.Call);
    }

    [Fact]
    public void An_ambient_from_a_cold_start_adds_half_a_degree_in_squares()
    {
        Comparison c = Compare(s_usual, s_usual with { AmbientGiven = false });
        Assert.Equal(
            1.95996 * Math.Sqrt(2 * RiseU * RiseU + 0.5 * 0.5 + 2 * 0.65 * 0.65),
            c.MotorTemperature.SmallestShown!.Value,
            tolerance: 1e-4
        );
    }

    // M3 is the hottest before. Where its readings are missing after, the hottest of the other motors cannot replace it.
    [Fact]
    public void The_hottest_unit_is_unknown_where_the_one_that_may_be_it_is_not_read()
    {
        Comparison c = Compare(s_usual with { MotorRiseC = [27, 26, 36, 26, 27, 26] }, s_usual with { MissingMotorTemp = "M3" });
        Assert.Equal(CallKind.Unknown, c.MotorTemperature.Kind);
        Assert.Equal(new HottestUnitMissing("M3", true), c.MotorTemperature.Why);
        Assert.Equal(CallKind.NoClearChange, c.EscTemperature.Kind);

        Comparison back = Compare(s_usual with { MissingMotorTemp = "M3" }, s_usual with { MotorRiseC = [27, 26, 36, 26, 27, 26] });
        Assert.Equal(new HottestUnitMissing("M3", false), back.MotorTemperature.Why);
    }

    [Theory]
    [InlineData(22.9, true)]
    [InlineData(23.1, false)]
    public void A_unit_more_than_5_degrees_below_the_hottest_may_be_missing(double riseC, bool known)
    {
        MadeFlights before = s_usual with { MotorRiseC = [27, 26, riseC, 28, 27, 26] };
        Comparison c = Compare(before, before with { MissingMotorTemp = "M3" });
        Assert.Equal(known, c.MotorTemperature.Change.IsKnown);
    }

    [Fact]
    public void The_hottest_unit_is_that_of_each_side()
    {
        Comparison c = Compare(
            s_usual with
            {
                MotorRiseC = [40, 26, 28, 26, 27, 26],
            },
            s_usual with
            {
                MotorRiseC = [27, 26, 28, 26, 27, 33],
            }
        );
        var reason = Assert.IsType<HottestUnitChanged>(c.Reasons.First(r => r is HottestUnitChanged));
        Assert.Equal(("M1", "M6", 40.0, 33.0), (reason.HottestBefore, reason.HottestAfter, reason.BeforeC, reason.AfterC));
        Assert.Equal((false, -7.0), (reason.Esc, Math.Round(reason.ChangeC, 9)));
    }

    // Uncertainty falls with the square root of the number of flights (NIST e-Handbook 7.2.2.2, sample sizes): where one flight per side
    // can show 1.89 °C, showing 1 °C needs (1.89/1)² = 3.57, so four flights.
    [Fact]
    public void The_flights_to_fly_follow_from_what_one_can_show()
    {
        double half = 1.95996 * Math.Sqrt(2 * RiseU * RiseU + 2 * 0.65 * 0.65);
        Comparison c = Compare(s_usual, s_usual, options: new ComparisonOptions { MinChangeC = 1 });
        FlyMoreFlights step = Assert.Single(c.NextSteps.OfType<FlyMoreFlights>(), s => s.Quantity == Quantity.MotorTemperature);
        Assert.Equal(half, step.SmallestShown, tolerance: 1e-4);
        Assert.Equal(4, step.Flights);

        // A measured change of 1.5 °C would need (1.89/1.5)² = 1.6.
        step = Assert.Single(
            Compare(s_usual, s_usual with { MotorRiseC = [27, 26, 29.5, 26, 27, 26] }, options: new ComparisonOptions { MinChangeC = 1 })
                .NextSteps.OfType<FlyMoreFlights>(),
            s => s.Quantity == Quantity.MotorTemperature
        );
        Assert.Equal(2, step.Flights);

        // No further flight is needed where even the end of the interval is below the threshold: 1.89 against 2 °C.
        Assert.DoesNotContain(Compare(s_usual, s_usual).NextSteps, s => s is FlyMoreFlights { Quantity: Quantity.MotorTemperature });
    }

    [Fact]
    public void Where_the_flights_themselves_are_unsure_a_longer_one_is_asked_for()
    {
        MadeFlights unsure = s_usual with { Doubt = 0.3, HoverS = 90 };
        FlyLonger step = Assert.Single(Compare(unsure, unsure).NextSteps.OfType<FlyLonger>());
        // Three times the shorter hover, in whole minutes, at most ten.
        Assert.Equal((Quantity.Vibration, 5.0), (step.Quantity, step.Minutes));
        Assert.Equal(
            10,
            Assert.Single(Compare(unsure with { HoverS = 900 }, unsure with { HoverS = 900 }).NextSteps.OfType<FlyLonger>()).Minutes
        );
    }

    [Theory]
    [InlineData(1.05, LoadShareCall.More, true)]
    [InlineData(0.95, LoadShareCall.Less, false)]
    [InlineData(1.02, LoadShareCall.NoClearChange, false)]
    public void A_share_of_the_load_is_called_from_3_percent_on(double after, LoadShareCall call, bool harder)
    {
        MadeFlights[] before = [.. Enumerable.Repeat(s_usual, 9)];
        Comparison c = Compare(before, [.. before.Select(f => f with { LoadShare = [1, after, 1, 1, 1, 1] })]);
        LoadShareChange share = c.Motors[1].LoadShare;
        Assert.Equal((call, harder), (share.Call, share.IsHarder));
        Assert.Equal(after - 1, share.Change.Value!.Value, tolerance: 1e-9);

        // Nine flights without scatter, combined with the allowance of 0.015: (8 · 0.015² + 16 · 0)/24, t of 24 degrees of freedom 2.064
        // (NIST e-Handbook 1.3.6.7.2).
        double variance = 8 * 0.015 * 0.015 / 24 + Math.Pow(0.01 / 1.96, 2);
        Assert.Equal(2.064 * Math.Sqrt(2 * variance / 9), share.Change.Ci95!.Value.Width / 2, tolerance: 1e-5);
        Assert.Equal(harder, c.Reasons.Any(r => r is LoadSharesMoved m && m.Motors.Single() == new MotorShare("M2", 1, after)));
        Assert.Equal(LoadShareCall.NoClearChange, c.Motors[0].LoadShare.Call);
    }

    [Fact]
    public void A_motor_that_comes_back_to_an_even_share_carries_more_but_is_no_harder_worked()
    {
        MadeFlights[] light = [.. Enumerable.Repeat(s_usual with { LoadShare = [1, 0.95, 1, 1, 1, 1] }, 9)];
        LoadShareChange share = Compare(light, [.. Enumerable.Repeat(s_usual, 9)]).Motors[1].LoadShare;
        Assert.Equal((LoadShareCall.More, false), (share.Call, share.IsHarder));
    }

    [Fact]
    public void Currents_and_speeds_of_a_side_are_the_means_of_its_flights()
    {
        MotorComparison motor = Compare([s_usual, s_usual with { Rpm = 3420 }], [s_usual]).Motors[0];
        Assert.Equal(3410, motor.RpmBefore.Value!.Value, tolerance: 1e-9);
        Assert.Equal(3400, motor.RpmAfter.Value!.Value, tolerance: 1e-9);
        Assert.Equal(2 / Math.Sqrt(2), motor.RpmBefore.Ci95!.Value.Width / 2, tolerance: 1e-9);
        Assert.Equal(6.5, motor.CurrentBeforeA.Value!.Value, tolerance: 1e-9);

        // Power is proportional to the third power of speed.
        Assert.Equal(Math.Pow(3400.0 / 3410, 3), motor.LoadRatio!.Value, tolerance: 1e-9);
    }

    [Fact]
    public void The_split_of_a_side_is_the_mean_of_its_flights()
    {
        YawTrimChange yaw = Compare([s_usual, s_usual with { Split = [0.03] }], [s_usual]).YawTrim;
        Assert.Equal((0.025, 0.02), (Math.Round(yaw.Before.Value!.Value, 9), Math.Round(yaw.After.Value!.Value, 9)));
        Assert.Equal(0.001 / Math.Sqrt(2), yaw.Before.Ci95!.Value.Width / 2, tolerance: 1e-9);
        Assert.Equal(0.001, yaw.After.Ci95!.Value.Width / 2, tolerance: 1e-9);
        Assert.Equal(new NoSurvey(), yaw.PredictedBefore.Why);
    }

    // A constant offset of the airframe cancels in both differences; the limit of the remaining difference is the root sum of squares of
    // the four half widths.
    [Fact]
    public void The_survey_explains_a_change_of_the_trim_that_is_as_large_as_predicted()
    {
        double[] found = [0.6, 0.1, 0.6, 0.1, 0.6, 0.1],
            left = [0.1, 0.1, 0.1, 0.1, 0.1, 0.1];
        YawTrimChange usual = Compare(s_usual, s_usual, Survey(found, left)).YawTrim;
        double predicted = usual.PredictedAfter.Value!.Value - usual.PredictedBefore.Value!.Value,
            half = Math.Sqrt(
                2 * 0.001 * 0.001
                    + Math.Pow(usual.PredictedBefore.Ci95!.Value.Width / 2, 2)
                    + Math.Pow(usual.PredictedAfter.Ci95!.Value.Width / 2, 2)
            );
        Assert.False(Math.Abs(predicted) < 1e-4);
        foreach (double off in (double[])[-1.01, -0.99, 0.99, 1.01])
        {
            Comparison c = Compare(s_usual, s_usual with { Split = [0.02 + predicted + off * half] }, Survey(found, left));
            Assert.Equal(Math.Abs(off) < 1, c.YawTrim.Meaning!.Explained);
            Assert.Contains(c.YawTrim.Meaning, c.Reasons);
        }

        Assert.Null(Compare(s_usual, s_usual, Survey(found, null)).YawTrim.Meaning!.Explained);
    }

    [Theory]
    [InlineData(0.35, 0.15, true)]
    [InlineData(0.35, 0.16, false)]
    public void A_tilt_that_came_down_by_a_fifth_of_a_degree_without_effect_is_named(double found, double left, bool named)
    {
        Survey survey = Survey([found + 1e-9, 0.1, 0.1, 0.1, 0.1, 0.1], [left, 0.1, 0.1, 0.1, 0.1, 0.1]);
        Assert.Equal(named ? ["M1"] : [], Compare(s_usual, s_usual, survey).Findings.Select(f => f.Motor));

        // A decrease of order 1 by more than 1 dB is an effect, whether it is called or not.
        Assert.Empty(Compare(s_usual, s_usual with { Order1 = [0.44, 0.45, 0.6, 0.48, 0.55, 0.42] }, survey).Findings);
    }

    [Fact]
    public void An_effect_of_tilt_needs_five_motors_whose_tilts_changed_differently()
    {
        Estimate Slope(double[] found, double[] left) => Compare(s_usual, s_usual, Survey(found, left)).TiltEffect.SlopePerDeg;
        Assert.Equal(new TooFewTiltsKnown(4, 5), Slope([0.5, 0.1, 0.3, 0.2], [0, 0, 0, 0]).Why);
        Assert.IsType<TiltEffectNotShown>(Slope([0.5, 0.1, 0.3, 0.2, 0.4], [0, 0, 0, 0, 0]).Why);
        Assert.Equal(new TiltsChangedAlike(), Slope([0.34, 0.31, 0.33, 0.32, 0.399, 0.3], [0, 0, 0, 0, 0, 0]).Why);
        Assert.IsType<TiltEffectNotShown>(Slope([0.34, 0.31, 0.33, 0.32, 0.401, 0.3], [0, 0, 0, 0, 0, 0]).Why);
        Assert.Equal(new NoSurvey(), Compare(s_usual, s_usual).TiltEffect.SlopePerDeg.Why);
    }

    // Sen 1968: the median of the pairwise slopes; by numpy 1.24.2 18.5 dB per degree over all 15 pairs, 19.375 over the 12 whose tilts
    // differ by more than the standard uncertainty of a difference of two changes, 2 · 0.06/1.96 = 0.061°.
    [Fact]
    public void The_effect_of_tilt_leaves_out_pairs_whose_tilts_do_not_differ_significantly()
    {
        double[] found = [0.5, 0.45, 0.3, 0.25, 0.1, 0.05],
            offDb = [0.6, -0.4, 0.1, -0.2, 0.2, -0.5];
        MadeFlights before = s_usual with { Order1 = Even(0.5) },
            after = s_usual with { Order1 = [.. found.Zip(offDb, (t, off) => 0.5 * Math.Pow(10, (off - 20 * t) / 20))] };
        TiltEffect effect = Compare(before, after, Survey(found, [0, 0, 0, 0, 0, 0])).TiltEffect;
        Assert.Equal(19.375, effect.SlopePerDeg.Value!.Value, tolerance: 1e-6);
        Assert.Equal((6, TiltMethod.TheilSen), (effect.MotorCount, effect.Method));
    }

    [Fact]
    public void Flights_that_cannot_be_compared_show_no_effect_of_tilt() =>
        Assert.IsType<FlightsNotComparable>(
            Compare(s_usual, s_usual with { Rpm = 4000 }, Survey([0.5, 0.1, 0.3, 0.2, 0.4], [0, 0, 0, 0, 0])).TiltEffect.SlopePerDeg.Why
        );

    // One rotor rises by 7.2 dB and raises the total by more than 1 dB; eleven orders that fell by 0.95 dB, none of them significant, mask
    // it.
    [Fact]
    public void One_rough_rotor_among_slightly_smoother_ones_makes_the_result_worse()
    {
        double smooth = 0.5 * Math.Pow(10, -0.95 / 20);
        Comparison c = Compare(
            s_usual with
            {
                Order1 = Even(0.5),
                Order2 = Even(0.5),
            },
            s_usual with
            {
                Order1 = [1.15, smooth, smooth, smooth, smooth, smooth],
                Order2 = Even(smooth),
            }
        );
        Assert.Equal((CallKind.NoClearChange, Verdict.Worse), (c.Vibration.Kind, c.Verdict));
    }

    [Fact]
    public void The_hottest_unit_of_a_side_is_the_hottest_in_the_mean_of_its_flights()
    {
        double[] cooler = [22, 22, 22, 22, 22, 22];
        Comparison c = Compare(
            [s_usual with { MotorRiseC = [40, 30, 20, 20, 20, 20] }, s_usual with { MotorRiseC = [26, 31, 20, 20, 20, 20] }],
            [s_usual with { MotorRiseC = cooler }, s_usual with { MotorRiseC = cooler }]
        );
        Assert.Equal("M1", Assert.Single(c.Reasons.OfType<HottestUnitChanged>()).HottestBefore);
        Assert.Equal(35.5, c.MotorTemperature.Before!.Value, tolerance: 1e-9);
    }

    // Air at the mean of 20 and 30 °C against 40 °C: √(313.15/298.15) explains a rotor speed 2.48 % higher of the 3 %; losses are corrected
    // with the power 2 as far as the air explains the speed, and with 3 beyond. Where one ambient is unknown the air explains nothing.
    [Fact]
    public void The_air_of_a_side_is_the_mean_of_its_flights_and_known_only_with_all()
    {
        MadeFlights after = s_usual with { AmbientC = 40, Rpm = 3400 * 1.03 };
        double air = Math.Log(313.15 / 298.15) / 2,
            factor = Math.Exp(-2 * air - 3 * (Math.Log(1.03) - air));
        Comparison known = Compare([s_usual, s_usual with { AmbientC = 30 }], [after]);
        Assert.Equal(27 * (factor - 1), known.Motors[0].MotorTemp.Change.Value!.Value, tolerance: 1e-9);
        Comparison open = Compare([s_usual, s_usual with { AmbientC = null }], [after]);
        Assert.Equal(27 * (Math.Pow(1.03, -3) - 1), open.Motors[0].MotorTemp.Change.Value!.Value, tolerance: 1e-9);
    }

    // One flight before, three after: 8 · 0.65² over 10 degrees of freedom, t 2.228 (NIST e-Handbook 1.3.6.7.2); to show 1.2 °C where three
    // flights show 1.58 °C takes (1.58/1.2)² · 3 = 5.2.
    [Fact]
    public void The_flights_to_fly_count_from_those_flown()
    {
        double variance = RiseU * RiseU * (1 + 1 / 3.0) + 8 * 0.65 * 0.65 / 10 * (1 + 1 / 3.0);
        FlyMoreFlights step = Assert.Single(
            Compare([s_usual], [s_usual, s_usual, s_usual], options: new ComparisonOptions { MinChangeC = 1.2 })
                .NextSteps.OfType<FlyMoreFlights>(),
            s => s.Quantity == Quantity.MotorTemperature
        );
        Assert.Equal(2.228 * Math.Sqrt(variance), step.SmallestShown, tolerance: 1e-3);
        Assert.Equal(6, step.Flights);
    }

    // Variance within flights 2 · 0.355², from flight to flight 2 · 0.4² (½ + ½/12): the first is the larger.
    [Fact]
    public void The_next_step_follows_the_larger_of_both_uncertainties()
    {
        MadeFlights even = s_usual with { Order1 = Even(0.5), Order2 = Even(0.5), Doubt = 0.08 };
        Assert.Equal([Quantity.Vibration], Compare(even, even).NextSteps.OfType<FlyLonger>().Select(s => s.Quantity));
    }

    private static double[] Even(double mps2) => [.. Enumerable.Repeat(mps2, 6)];

    private static PartChange Part(Comparison c, VibrationPartKind kind) => c.Parts.Single(p => p.Kind == kind);
}
