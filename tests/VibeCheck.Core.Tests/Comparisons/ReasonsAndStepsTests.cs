using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using static VibeCheck.Core.Tests.Comparisons.MadeFlights;

namespace VibeCheck.Core.Tests.Comparisons;

/// <summary>Reasons and next steps of a comparison and their order: each is present where it applies and absent where it does
/// not.</summary>
public sealed class ReasonsAndStepsTests
{
    private static readonly MadeFlights s_usual = new();

    private static readonly MadeFlights s_even = s_usual with { Order1 = [0.5, 0.5, 0.5, 0.5, 0.5, 0.5] };

    [Fact]
    public void Flights_without_a_change_are_kept_as_the_reference() =>
        Assert.Equal([new KeepAsReference()], Compare(s_usual, s_usual).NextSteps);

    // The power in order 1 is the square of its level: M2 changes by 2² - 0.5², M5 by 1.2² - 0.5², M3 by 0.9² - 0.5²; in dB the order is
    // the same except for M6, whose order 2 grows tenfold from almost nothing.
    [Fact]
    public void Orders_are_named_by_the_power_they_move()
    {
        MadeFlights before = s_even with { Order2 = [0.5, 0.5, 0.5, 0.5, 0.5, 0.05] };
        Comparison c = Compare(before, before with { Order1 = [0.5, 2, 0.9, 0.5, 1.2, 0.5], Order2 = [0.5, 0.5, 0.5, 0.5, 0.5, 0.5] });
        OrdersChanged changed = Assert.Single(c.Reasons.OfType<OrdersChanged>());
        Assert.False(changed.Fell);
        Assert.Equal([("M2", 1), ("M5", 1), ("M3", 1), ("M6", 2)], changed.Orders.Select(o => (o.Motor, o.Order)));
        Assert.Equal([new LookAtWhatGotWorse([])], c.NextSteps, Same);
    }

    [Fact]
    public void Motors_that_got_worse_are_named_where_they_are_three_at_most()
    {
        Comparison two = Compare(s_even, s_even with { Order1 = [0.5, 2, 0.5, 0.5, 1.2, 0.5] });
        Assert.Equal([new LookAtWhatGotWorse(["M2", "M5"])], two.NextSteps, Same);
        Comparison three = Compare(s_even, s_even with { Order1 = [0.5, 2, 1.2, 0.5, 1.2, 0.5] });
        Assert.Equal([new LookAtWhatGotWorse(["M2", "M3", "M5"])], three.NextSteps, Same);

        // A unit that is warmer at the same load counts as much as a rough rotor; one that only carries more does not.
        Comparison esc = Compare(s_usual, s_usual with { EscRiseC = [18, 17, 18, 26, 18, 17] });
        Assert.Equal([new LookAtWhatGotWorse(["M4"])], esc.NextSteps, Same);
        Comparison loaded = Compare(
            s_usual,
            s_usual with
            {
                MotorRiseC = [27, 26, 28 * 1.331, 26, 27, 34],
                EscRiseC = [18, 17, 18 * 1.331, 17, 18, 17],
                RpmShare = [1, 1, 1.1, 1, 1, 1],
            }
        );
        Assert.Equal([new LookAtWhatGotWorse(["M6"])], loaded.NextSteps, Same);
        Assert.Equal(
            [(false, false, "M6"), (false, true, "M3"), (true, true, "M3")],
            loaded.Reasons.OfType<UnitsChanged>().Select(u => (u.Esc, u.ByLoad, Assert.Single(u.Units).Motor))
        );
    }

    [Fact]
    public void The_worse_part_comes_first_where_the_result_is_mixed()
    {
        Comparison c = Compare(
            s_even with
            {
                Order1 = [2, 0.5, 0.5, 0.5, 0.5, 0.5],
            },
            s_even with
            {
                Order1 = [0.5, 0.5, 2, 0.5, 0.5, 0.5],
            }
        );
        Assert.Equal(Verdict.Mixed, c.Verdict);
        Assert.Equal([false, true], c.Reasons.OfType<OrdersChanged>().Select(o => o.Fell));

        Comparison better = Compare(
            s_even with
            {
                Order1 = [2, 0.5, 0.5, 0.5, 0.5, 0.5],
                Order2 = [0.5, 0.5, 0.1, 0.5, 0.5, 0.5],
            },
            s_even with
            {
                Order2 = [0.5, 0.5, 0.15, 0.5, 0.5, 0.5],
            }
        );
        Assert.Equal(Verdict.Improved, better.Verdict);
        Assert.Equal([true, false], better.Reasons.OfType<OrdersChanged>().Select(o => o.Fell));
    }

    [Fact]
    public void Units_are_named_as_motors_or_as_ESCs_by_their_change()
    {
        Comparison c = Compare(s_usual, s_usual with { MotorRiseC = [27, 34, 28, 26, 27, 26], EscRiseC = [18, 17, 26, 17, 27, 17] });
        UnitsChanged[] units = [.. c.Reasons.OfType<UnitsChanged>()];
        Assert.Equal([(false, false), (true, false)], units.Select(u => (u.Esc, u.Cooler)));
        Assert.Equal([("M2", 8.0)], units[0].Units.Select(u => (u.Motor, Math.Round(u.ChangeC, 9))));
        Assert.Equal([("M5", 9.0), ("M3", 8.0)], units[1].Units.Select(u => (u.Motor, Math.Round(u.ChangeC, 9))));
        Assert.Equal([9.0, 8.0], units[1].Units.Select(u => Math.Round(u.AtEqualLoadC!.Value, 9)));
        var hottest = c.Reasons.OfType<HottestUnitChanged>().ToDictionary(h => h.Esc);
        Assert.Equal(
            (28.0, 34.0, "M3", "M2"),
            (hottest[false].BeforeC, hottest[false].AfterC, hottest[false].HottestBefore, hottest[false].HottestAfter)
        );
        Assert.Equal((18.0, 27.0, "M5"), (hottest[true].BeforeC, hottest[true].AfterC, hottest[true].HottestAfter));
    }

    // Each in units of its threshold: vibration 0.5 of 1 dB, ESCs 1 of 2 °C, which is the same, motors 1.6 of 2 °C, which is more.
    [Fact]
    public void Answers_without_a_change_are_ordered_by_how_close_they_are_to_one()
    {
        Comparison c = Compare(
            s_usual,
            s_usual with
            {
                MotorRiseC = [27, 26, 29.6, 26, 27, 26],
                EscRiseC = [18.2, 17, 18.2, 17, 18.2, 17],
                Order1 = [.. s_usual.Order1.Select(a => a * 1.06)],
                Order2 = [.. s_usual.Order2.Select(a => a * 1.06)],
            }
        );
        Assert.Equal(
            [Quantity.MotorTemperature, Quantity.Vibration, Quantity.EscTemperature],
            c.Reasons.OfType<NoClearChangeOf>().Select(r => r.Quantity)
        );
        Assert.DoesNotContain(c.Reasons, r => r is NothingToJudge or LoadSharesMoved or LevelsUnchanged or LevelsChanged);
    }

    [Fact]
    public void With_nothing_known_there_is_nothing_to_judge()
    {
        MadeFlights silent = s_usual with { HasTelemetry = false };
        Comparison c = Compare(silent, silent);
        Assert.IsType<NothingToJudge>(c.Reasons[0]);
        Assert.Equal([new LogTelemetry(GroupIsKnown: false)], c.NextSteps);
        Assert.Equal(
            [Quantity.Vibration, Quantity.MotorTemperature, Quantity.EscTemperature],
            c.Reasons.OfType<ChangeUnknown>().Select(r => r.Quantity)
        );
    }

    [Fact]
    public void A_missing_ambient_is_asked_for_and_nothing_else() =>
        Assert.Equal([new GiveAmbient()], Compare(s_usual, s_usual with { AmbientC = null }).NextSteps);

    [Fact]
    public void Flights_at_speeds_far_apart_are_to_be_flown_alike() =>
        Assert.Equal([new FlyBothAlike()], Compare(s_usual, s_usual with { Rpm = 4000 }).NextSteps);

    [Fact]
    public void Each_motor_has_its_own_change_at_equal_load()
    {
        double[] motors = [30, 20, 29, 26, 27, 31],
            escs = [20, 17, 25, 16, 18, 10];
        Comparison c = Compare(s_usual, s_usual with { MotorRiseC = motors, EscRiseC = escs });
        for (int m = 0; m < motors.Length; m++)
        {
            Assert.Equal(motors[m] - s_usual.MotorRiseC[m], c.Motors[m].MotorRiseAtEqualLoadC.Value!.Value, tolerance: 1e-9);
            Assert.Equal(escs[m] - s_usual.EscRiseC[m], c.Motors[m].EscRiseAtEqualLoadC.Value!.Value, tolerance: 1e-9);
            Assert.Equal((s_usual.MotorRiseC[m], motors[m]), (c.Motors[m].MotorTemp.Before!.Value, c.Motors[m].MotorTemp.After!.Value));
            Assert.Equal((s_usual.EscRiseC[m], escs[m]), (c.Motors[m].EscTemp.Before!.Value, c.Motors[m].EscTemp.After!.Value));
        }
    }

    private static bool Same(Reason a, Reason b) =>
        a is LookAtWhatGotWorse x && b is LookAtWhatGotWorse y ? x.Motors.SequenceEqual(y.Motors) : a == b;
}
