using System.Globalization;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;

namespace VibeCheck.Logs.Tests;

/// <summary>The same flight written in the formats of many recorders gives the same results: every figure of the analysis, every
/// finding.</summary>
public sealed class FormAnalysisTests : IDisposable
{
    private static readonly SimulatedFlight Flight = SimulatedFlight.Make(
        Flights.ShortHexa with
        {
            GroundS = 2,
            HoverS = 22,
            ImuGaps = [(9, 9.3)],
        }
    );
    private static readonly FlightAnalysis Told = FlightCheck.Of(Flight.Flight, Flight.Recipe.Airframe);

    private readonly string _folder = Directory.CreateTempSubdirectory("vibecheck-told-").FullName;

    private static readonly string[] s_alongAngles = [" order ", "unbalance", "rotor vibration"];

    public static TheoryData<string> Names => [.. LogForms.All.Select(f => f.Name)];

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [Trait("Category", "Slow")]
    [MemberData(nameof(Names))]
    public void Flight_gives_the_same_results_in_every_form(string name)
    {
        LogFormRecipe form = LogForms.All.Single(f => f.Name == name);
        (string imu, string? esc) = LogForms.Write(Flight, form, _folder);
        ReadOptions options = ReadOptions.Default with { ClockOffsetS = 0, AmbientC = Flight.Recipe.AmbientC };
        Flight read = FlightReader.Read(
            new([imu], esc is null ? [] : [esc]),
            options,
            Flight.Recipe.Airframe,
            TestContext.Current.CancellationToken
        );
        FlightAnalysis told = FlightCheck.Of(read, Flight.Recipe.Airframe);

        Dictionary<string, double> expected = Figures(Told),
            actual = Figures(told);
        Assert.Equal(expected.Keys.Order(), actual.Keys.Order());
        foreach ((string figure, double value) in expected)
        {
            // The rounding of cells alone causes 1e-6. A block after a gap may start some ns off, which shifts a window of the order fit by
            // one sample (0.1 %; its interval 2 to 3 %). A wide log stamps reports with IMU rows, up to 2 ms late: the rotor angles start
            // elsewhere and end within their uncertainty, so results that depend on them agree within a quarter of their interval.
            bool end = figure.EndsWith(" from", StringComparison.Ordinal) || figure.EndsWith(" to", StringComparison.Ordinal);
            double tolerance =
                (end ? 0.05 : 2e-3) * Math.Abs(value) + (figure.StartsWith("yaw split", StringComparison.Ordinal) ? 1e-4 : 0);
            if (s_alongAngles.Any(part => figure.Contains(part, StringComparison.Ordinal)))
            {
                string of = figure.Replace(" from", "", StringComparison.Ordinal).Replace(" to", "", StringComparison.Ordinal);
                tolerance = Math.Max(tolerance, (expected[of + " to"] - expected[of + " from"]) / 4);
            }

            Assert.True(
                Math.Abs(actual[figure] - value) <= tolerance,
                string.Create(CultureInfo.InvariantCulture, $"{figure}: {value} became {actual[figure]}")
            );
        }
    }

    [Fact]
    public void There_are_at_least_twenty_four_forms_and_many_figures()
    {
        Assert.InRange(LogForms.All.Select(f => f.Name).Distinct().Count(), 24, 1000);
        Assert.InRange(Figures(Told).Count, 140, 10_000);
    }

    /// <summary>All figures by name. Unknown ones are left out, so the set of names shows them.</summary>
    private static Dictionary<string, double> Figures(FlightAnalysis told)
    {
        var figures = new Dictionary<string, double>
        {
            ["hover s"] = told.Hover.SecondsUsed,
            ["hover stretches"] = told.Hover.Segments.Count,
        };
        void Add(string name, Estimate? estimate)
        {
            if (estimate?.Value is double value)
            {
                figures[name] = value;
            }

            if (estimate?.Ci95 is Interval interval)
            {
                (figures[name + " from"], figures[name + " to"]) = (interval.Low, interval.High);
            }
        }

        Add("rotor vibration", told.RotorVibrationMps2);
        Add("yaw split", told.YawTrim.Split);
        foreach (Level level in told.Levels)
        {
            Add("level " + level.Channel, level.Rms);
        }

        foreach (MotorAnalysis motor in told.Motors)
        {
            Add(motor.Id + " rpm", motor.RpmMean);
            Add(motor.Id + " load", motor.LoadShare);
            Add(motor.Id + " current", motor.CurrentA);
            Add(motor.Id + " motor rise", motor.MotorTemp.RiseSteadyC);
            Add(motor.Id + " esc rise", motor.EscTemp.RiseSteadyC);
            Add(motor.Id + " unbalance", motor.UnbalanceGmm);
            foreach (OrderLevel order in motor.Orders)
            {
                Add($"{motor.Id} order {order.Order}", order.Separable ? order.RmsMps2 : order.GroupMps2);
            }
        }

        for (int i = 0; i < told.Peaks.Count; i++)
        {
            SpectralPeak peak = told.Peaks[i];
            figures[$"peak {i} {peak.Channel} orders {string.Join('+', peak.Assigned.Select(a => a.Order).Distinct().Order())} Hz"] =
                peak.Hz;
            figures[$"peak {i} {peak.Channel} amplitude"] = peak.Amplitude;
        }

        foreach (string code in told.Findings.Select(f => $"finding {f.Code} {f.Motor}"))
        {
            figures[code] = 1;
        }

        return figures;
    }
}
