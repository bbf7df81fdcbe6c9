using System.Collections;
using System.Reflection;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Flights;

/// <summary>Flights with little information: every possible result is calculated, the rest is unknown with its reason, and nothing is ever
/// NaN.</summary>
public sealed class PoorFlightTests
{
    private static readonly SimulatedFlight s_made = SimulatedFlight.Make(Trials.Hexa(61, hoverS: 20));

    [Fact]
    [Trait("Category", "Slow")]
    public void Samples_that_are_not_numbers_remove_only_their_windows()
    {
        double[] x = [.. s_made.Flight.Imu.AccXMps2];
        x[8000] = double.NaN;
        x[8001] = double.PositiveInfinity;
        FlightAnalysis analysis = Analyse(s_made.Flight with { Imu = s_made.Flight.Imu with { AccXMps2 = x } });
        FlightAnalysis whole = Analyse(s_made.Flight);
        Assert.Equal(whole.Levels[0].Rms.Value!.Value, analysis.Levels[0].Rms.Value!.Value, 0.1 * whole.Levels[0].Rms.Value!.Value);
        Assert.Contains(analysis.Warnings, w => w.Code == "unusable-samples" && w.Cause is SamplesNotNumbers { Count: 2 });
    }

    [Fact]
    public void A_channel_without_any_number_is_left_out()
    {
        double[] x = Array.ConvertAll(s_made.Flight.Imu.AccXMps2, _ => double.NaN);
        FlightAnalysis analysis = Analyse(s_made.Flight with { Imu = s_made.Flight.Imu with { AccXMps2 = x } });
        Assert.DoesNotContain(analysis.Levels, l => l.Channel == "acc_x");
        Assert.Contains(analysis.Levels, l => l.Channel == "acc_y");
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void One_motor_without_telemetry_is_unknown_and_the_others_are_not()
    {
        FlightAnalysis analysis = Analyse(s_made.Flight with { Motors = [.. s_made.Flight.Motors.Where(m => m.MotorId != "M2")] });
        MotorAnalysis silent = analysis.Motors[1];
        Assert.All(
            [
                silent.RpmMean,
                silent.LoadShare,
                silent.CurrentA,
                silent.UnbalanceGmm,
                silent.Orders[0].RmsMps2,
                silent.MotorTemp.RiseSteadyC,
            ],
            IsUnknown
        );
        Assert.All(
            analysis.Motors.Where(m => m.Id != "M2"),
            m => Assert.True(m.RpmMean.IsKnown && m.LoadShare.IsKnown && m.Orders[1].RmsMps2.IsKnown)
        );
        Assert.True(analysis.YawTrim.Split.IsKnown);
        IsUnknown(analysis.GravityOffset!.ForwardM);
        Assert.Contains(analysis.Warnings, w => w.Code == "missing-telemetry" && w.Cause is SpeedsMissing { Motors: ["M2"] });
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void A_motor_with_a_dead_speed_sensor_is_unknown_and_does_not_shift_the_others()
    {
        FlightAnalysis whole = Analyse(s_made.Flight);
        FlightAnalysis analysis = Analyse(
            s_made.Flight with
            {
                Motors =
                [
                    .. s_made.Flight.Motors.Select(m =>
                        m.MotorId == "M1" ? m with { Rpm = new(m.Rpm!.TimeS, new double[m.Rpm.Count]) } : m
                    ),
                ],
            }
        );
        IsUnknown(analysis.Motors[0].RpmMean);
        IsUnknown(analysis.Motors[0].LoadShare);
        Assert.Equal(whole.YawTrim.Split.Value!.Value, analysis.YawTrim.Split.Value!.Value, 0.01);
        Assert.Contains(analysis.Warnings, w => w.Code == "missing-telemetry" && w.Cause is SpeedsMissing { Motors: ["M1"] });
    }

    [Fact]
    public void Motors_at_rest_in_the_given_time_have_no_share_and_no_trim()
    {
        // The first six seconds are on the ground.
        FlightAnalysis analysis = Analyse(s_made.Flight, new() { HoverSegments = [new(0.5, 5.5)] });
        Assert.All(analysis.Motors, m => IsUnknown(m.LoadShare));
        Assert.All(analysis.Motors, m => Assert.All(m.Orders, o => IsUnknown(o.RmsMps2)));
        IsUnknown(analysis.YawTrim.Split);
        Assert.Empty(analysis.Findings);
    }

    [Fact]
    public void A_time_too_short_for_a_spectrum_gives_none()
    {
        FlightAnalysis analysis = Analyse(s_made.Flight, new() { HoverSegments = [new(15, 15.05)] });
        Assert.Empty(analysis.Levels);
        Assert.Empty(analysis.Spectra);
        Assert.Contains(analysis.Warnings, w => w.Code == "short-hover");
    }

    [Fact]
    public void A_second_of_hover_has_levels_without_false_certainty()
    {
        FlightAnalysis analysis = Analyse(s_made.Flight, new() { HoverSegments = [new(15, 16)] });
        Assert.NotEmpty(analysis.Levels);
        Assert.All(analysis.Levels, l => Assert.True(l.Rms.Ci95 is null || l.Rms.Ci95.Value.Width > 0.02 * l.Rms.Value));
        Assert.All(analysis.Motors, m => Assert.True(m.RpmMean.IsKnown));
    }

    [Fact]
    public void Without_any_telemetry_the_spectra_remain()
    {
        FlightAnalysis analysis = Analyse(s_made.Flight with { Motors = [] });
        Assert.Equal(6, analysis.Spectra.Count);
        Assert.NotEmpty(analysis.Peaks);
        IsUnknown(analysis.YawTrim.Split);
        Assert.Null(analysis.SpeedMap);
        Assert.Contains(analysis.Warnings, w => w.Code == "no-speeds");
    }

    [Fact]
    public void A_flight_without_hover_is_reported_and_nothing_is_calculated()
    {
        FlightAnalysis analysis = Analyse(s_made.Flight with { Imu = First(s_made.Flight.Imu, 2000) });
        Assert.Empty(analysis.Hover.Segments);
        Assert.Equal(0, analysis.Hover.SecondsUsed);
        Assert.Empty(analysis.Levels);
        Assert.Contains(analysis.Warnings, w => w.Code == "no-hover");
    }

    [Fact]
    public void A_dozen_samples_are_no_flight() =>
        Assert.Empty(Analyse(s_made.Flight with { Imu = First(s_made.Flight.Imu, 12) }).Hover.Segments);

    [Fact]
    public void No_speeds_at_a_slow_rate_invent_no_orders()
    {
        FlightAnalysis analysis = FlightCheck.Of(RealFlights.Read("normal-2"), RealFlights.Airframe);
        Assert.All(analysis.Motors, m => Assert.All(m.Orders, o => IsUnknown(o.RmsMps2)));
        Assert.All(analysis.Peaks, p => Assert.Empty(p.Assigned));
        IsUnknown(analysis.RotorVibrationMps2);
        Assert.IsType<RateTooLowForRotors>(analysis.RotorVibrationMps2.Why);
        Holds(analysis);
    }

    private static FlightAnalysis Analyse(Flight flight, AnalysisOptions? options = null)
    {
        FlightAnalysis analysis = FlightCheck.Of(flight, s_made.Recipe.Airframe, options);
        Holds(analysis);
        return analysis;
    }

    private static void IsUnknown(Estimate estimate)
    {
        Assert.Null(estimate.Value);
        Assert.NotNull(estimate.Why);
    }

    private static ImuTrack First(ImuTrack imu, int count) =>
        imu with
        {
            Blocks = [imu.Blocks[0] with { SampleCount = count }],
            AccXMps2 = imu.AccXMps2[..count],
            AccYMps2 = imu.AccYMps2[..count],
            AccZMps2 = imu.AccZMps2[..count],
            RateXRadps = imu.RateXRadps![..count],
            RateYRadps = imu.RateYRadps![..count],
            RateZRadps = imu.RateZRadps![..count],
        };

    /// <summary>Checks all members of the analysis: each number is finite, and no rms or density is below 0.</summary>
    private static void Holds(FlightAnalysis analysis)
    {
        Walk(analysis, "analysis");
        Assert.All(analysis.Levels, l => Assert.True(l.Rms.Value >= 0));
        Assert.All(analysis.Spectra, s => Assert.All(s.Density, d => Assert.True(d >= 0)));
        Assert.All(analysis.Motors.SelectMany(m => m.Orders), o => Assert.True(o.RmsMps2.Value is null or >= 0));
    }

    private static void Walk(object? value, string path)
    {
        switch (value)
        {
            case null or string or bool or Enum or int or Airframe or Window:
                return;
            case double number:
                Assert.True(double.IsFinite(number), $"{path} is {number}");
                return;
            case float number:
                Assert.True(float.IsFinite(number), $"{path} is {number}");
                return;
            case IEnumerable list:
                foreach (object? item in list)
                {
                    Walk(item, path + "[]");
                }

                return;
            default:
                foreach (PropertyInfo property in value.GetType().GetProperties(BindingFlags.Public | BindingFlags.Instance))
                {
                    // Members calculated from others may throw (factors for zero degrees of freedom).
                    if (property.GetIndexParameters().Length == 0 && property.Name != "Ci95Factors")
                    {
                        Walk(property.GetValue(value), $"{path}.{property.Name}");
                    }
                }

                return;
        }
    }
}
