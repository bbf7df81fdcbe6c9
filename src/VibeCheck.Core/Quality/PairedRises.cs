using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Steady temperature rises of one motor or ESC, °C; NaN where not known.</summary>
/// <param name="BeforeC">Mean of the flights before.</param>
/// <param name="AfterC">Mean of the flights after.</param>
internal readonly record struct PairedRise(double BeforeC, double AfterC)
{
    internal double ChangeC => AfterC - BeforeC;

    internal bool IsKnown => double.IsFinite(ChangeC);

    /// <summary>Logarithm of the rise after divided by the rise before; NaN where the rise before is too small, 5 °C or less, or the rise
    /// after is not above 0.</summary>
    internal double LogRatio => BeforeC > 5 && AfterC > 0 ? Math.Log(AfterC / BeforeC) : double.NaN;
}

/// <summary>Temperature rises, loads and thermal time constants of every motor before and after.</summary>
internal sealed class PairedRises
{
    /// <param name="before">Flights before; one or more.</param>
    /// <param name="after">Flights after; one or more.</param>
    internal PairedRises(IReadOnlyList<FlightAnalysis> before, IReadOnlyList<FlightAnalysis> after)
    {
        Ids = [.. before[0].Airframe.Motors.Select(m => m.Id)];
        PairedRise Rise(string id, Func<MotorAnalysis, TemperatureRise> of) =>
            new(Mean(before, id, m => of(m).RiseSteadyC), Mean(after, id, m => of(m).RiseSteadyC));
        Motors = [.. Ids.Select(id => Rise(id, m => m.MotorTemp))];
        Escs = [.. Ids.Select(id => Rise(id, m => m.EscTemp))];
        TauLogs =
        [
            .. Ids.SelectMany(id => new[] { TauChange(before, after, id, m => m.MotorTemp), TauChange(before, after, id, m => m.EscTemp) })
                .Where(double.IsFinite),
        ];
        LoadLogs = [.. Ids.Select(id => LoadChange(before, after, id))];
        double[] loads = [.. LoadLogs.Where(double.IsFinite)];
        LoadLog = loads.Length == 0 ? 0 : Robust.Median(loads);
    }

    /// <summary>The motors; all lists by motor are in this order.</summary>
    internal string[] Ids { get; }

    internal PairedRise[] Motors { get; }

    internal PairedRise[] Escs { get; }

    /// <summary>For each motor the logarithm of power after divided by power before; NaN where not known.</summary>
    internal double[] LoadLogs { get; }

    /// <summary>Median of <see cref="LoadLogs"/>; 0 where none is known.</summary>
    internal double LoadLog { get; }

    /// <summary>Logarithm of the time constant after divided by that before, for each motor and ESC where it is known.</summary>
    internal double[] TauLogs { get; }

    /// <summary>One issue per motor, all with the same cause, that withholds some answers.</summary>
    internal IEnumerable<QualityIssue> Withheld(Reason cause, int[] motors, Answers answers) =>
        motors.Select(i => new QualityIssue
        {
            Cause = cause,
            Track = "telemetry",
            Motor = Ids[i],
            Effect = QualityEffect.Withheld,
            Affects = answers,
        });

    /// <summary>The names of motors, separated by commas.</summary>
    internal string Names(IEnumerable<int> motors) => string.Join(", ", motors.Select(i => Ids[i]));

    /// <summary>Root mean square about the median.</summary>
    internal static double Scatter(double[] values)
    {
        double median = Robust.Median(values);
        return Math.Sqrt(values.Average(v => (v - median) * (v - median)));
    }

    private static double Mean(IReadOnlyList<FlightAnalysis> side, string id, Func<MotorAnalysis, Estimate> of)
    {
        double[] known =
        [
            .. side.Select(f => f.Motors.FirstOrDefault(m => m.Id == id) is { } motor ? of(motor).Value : null).OfType<double>(),
        ];
        return known.Length == 0 ? double.NaN : known.Average();
    }

    /// <summary>Logarithm of the time constant after divided by that before; NaN where one is not known.</summary>
    private static double TauChange(
        IReadOnlyList<FlightAnalysis> before,
        IReadOnlyList<FlightAnalysis> after,
        string id,
        Func<MotorAnalysis, TemperatureRise> of
    )
    {
        double Tau(IReadOnlyList<FlightAnalysis> side)
        {
            double[] known =
            [
                .. side.Select(f =>
                        f.Motors.FirstOrDefault(m => m.Id == id) is { } motor && of(motor).RiseSteadyC.IsKnown
                            ? of(motor).OneBodyTauS
                            : null
                    )
                    .OfType<double>(),
            ];
            return known.Length == 0 ? double.NaN : known.Average();
        }

        return Math.Log(Tau(after) / Tau(before));
    }

    /// <summary>Logarithm of power after divided by power before: from speed cubed, else from current.</summary>
    private static double LoadChange(IReadOnlyList<FlightAnalysis> before, IReadOnlyList<FlightAnalysis> after, string id)
    {
        double rpm = Math.Log(Mean(after, id, m => m.RpmMean) / Mean(before, id, m => m.RpmMean));
        return double.IsFinite(rpm) ? 3 * rpm : Math.Log(Mean(after, id, m => m.CurrentA) / Mean(before, id, m => m.CurrentA));
    }
}
