using VibeCheck.Core.Airframes;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Comparisons;

/// <summary>Jobs whose logs lack rotor speeds.</summary>
public sealed class GroupComparisonTests
{
    private static readonly Airframe s_hexa = DemoAirframes.Ring(6, "Hexa", 6.8, 0.42, 2);

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Shims_that_reduce_the_vibration_show_without_rotor_speeds(bool commands)
    {
        Comparison c = Compare(Made(1, 1, commands), Made(2, 0.6, commands));
        Assert.True(c.VibrationIsOfGroup);
        Assert.Equal(CallKind.Improved, c.Vibration.Kind);
        Assert.InRange(c.Vibration.Change.Value!.Value, 20 * Math.Log10(0.6) - 0.5, 20 * Math.Log10(0.6) + 0.5);
        Assert.Equal(Verdict.Improved, c.Verdict);
    }

    [Fact]
    public void Nothing_changed_is_no_clear_change_without_rotor_speeds() =>
        Assert.Equal(CallKind.NoClearChange, Compare(Made(3, 1, false), Made(4, 1, false)).Vibration.Kind);

    [Fact]
    public void A_log_with_speeds_and_one_without_are_compared_by_the_group()
    {
        Flight before = Simulated(5, 1).Flight,
            after = Made(6, 1.8, false);
        Comparison c = Compare(before, after);
        Assert.True(c.VibrationIsOfGroup);
        Assert.Equal(CallKind.Worse, c.Vibration.Kind);
        Assert.Equal(3400, c.Before[0].Group!.Rpm.Value!.Value, 3400 * 0.03);
    }

    [Fact]
    public void Rotors_that_turn_a_quarter_faster_after_are_not_the_same_aircraft()
    {
        Comparison c = Compare(Made(7, 1, false), Made(8, 1, false, rpm: 4250));
        Assert.Equal(Verdict.NotComparable, c.Verdict);
        Assert.Contains(c.Conditions, x => x is { Kind: ConditionKind.GroupSpeed, Matched: false });
    }

    [Fact]
    public void A_log_whose_scale_of_acceleration_is_wrong_withholds_the_group_too()
    {
        Flight after = Made(10, 1, false);
        double[] Half(double[] axis) => Array.ConvertAll(axis, v => v / 2);
        after = after with
        {
            Imu = after.Imu with
            {
                AccXMps2 = Half(after.Imu.AccXMps2),
                AccYMps2 = Half(after.Imu.AccYMps2),
                AccZMps2 = Half(after.Imu.AccZMps2),
            },
        };
        Comparison c = Compare(Made(9, 1, false), after);
        Assert.Equal(CallKind.Unknown, c.Vibration.Kind);
        Assert.False(c.After[0].Group!.TotalMps2.IsKnown);
        Assert.Contains(c.After[0].Quality, q => q.Affects.HasFlag(Answers.Vibration));
    }

    [Fact]
    public void With_logged_speeds_of_all_motors_there_is_no_group() =>
        Assert.Null(Compare(Simulated(11, 1).Flight, Simulated(12, 1).Flight).Before[0].Group);

    private static Comparison Compare(Flight before, Flight after) =>
        JobComparison.Run(
            new()
            {
                Title = "Job",
                Airframe = s_hexa,
                Before = [before],
                After = [after],
            }
        );

    private static Flight Made(int seed, double size, bool commands, double rpm = 3400)
    {
        Flight flight = Simulated(seed, size, rpm).Flight;
        return flight with
        {
            Motors = commands ? [.. flight.Motors.Select(m => new MotorTrack { MotorId = m.MotorId, Command = m.Command })] : [],
        };
    }

    private static SimulatedFlight Simulated(int seed, double size, double rpm = 3400) =>
        SimulatedFlight.Make(
            new()
            {
                Airframe = s_hexa,
                Seed = seed,
                HoverRpm = rpm,
                HoverS = 45,
                ImuRateHz = 500,
                TiltAcrossDeg = [0.1, 0.1, 0.1, 0.1, 0.1, 0.1],
                Rotors =
                [
                    .. Enumerable
                        .Range(0, 6)
                        .Select(m => new RotorSource([new(1, size * (0.5 + 0.1 * m)), new(2, 0.5 * size), new(3, 0.1 * size)])),
                ],
            }
        );
}
