using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>Ambient temperature from the readings of the units before they warmed up.</summary>
public static class Ambient
{
    /// <summary>Greatest spread of the first readings that counts as agreement, °C: two steps of whole-degree telemetry.</summary>
    public const double AgreeWithinC = 2;

    private const double FirstReadingsS = 2;

    /// <summary>
    /// The temperature on which all motors and ESCs agree at the start of the log, while no motor turns: cold units are at ambient
    /// temperature. Median of the units; unknown where motors already turn, units disagree, or fewer than three are logged.
    /// </summary>
    /// <param name="motors">Telemetry of all motors.</param>
    /// <returns>Ambient, °C. Its interval is the allowed spread, because an evenly heat-soaked aircraft looks the same.</returns>
    public static Estimate FromColdStart(IReadOnlyList<MotorTrack> motors)
    {
        ArgumentNullException.ThrowIfNull(motors);
        if (TurnsAtStart(motors))
        {
            return Estimate.Unknown(new AmbientMotorsTurning());
        }

        double[] first =
        [
            .. motors.SelectMany(m => new[] { m.MotorTempC, m.EscTempC }).Select(s => FirstReading(s, motors)).OfType<double>().Order(),
        ];
        first = WithoutOneApart(first);
        if (first.Length < 3)
        {
            return Estimate.Unknown(new AmbientTooFewTemperatures());
        }

        if (first[^1] - first[0] > AgreeWithinC)
        {
            return Estimate.Unknown(new AmbientUnitsNotCold(first[^1] - first[0]));
        }

        double median = first.Length % 2 == 1 ? first[first.Length / 2] : (first[first.Length / 2 - 1] + first[first.Length / 2]) / 2;
        return Estimate.Around(median, AgreeWithinC / 2);
    }

    /// <summary>Readings in rising order without a single one that is far from all others, which agree: a unit whose reading is
    /// wrong.</summary>
    private static double[] WithoutOneApart(double[] rising)
    {
        const double apartC = 8;
        return rising.Length < 5 ? rising
            : rising[^1] - rising[^2] > apartC && rising[^2] - rising[0] <= AgreeWithinC ? rising[..^1]
            : rising[1] - rising[0] > apartC && rising[^1] - rising[1] <= AgreeWithinC ? rising[1..]
            : rising;
    }

    /// <summary>Whether a motor turns when the log starts.</summary>
    internal static bool TurnsAtStart(IReadOnlyList<MotorTrack> motors) =>
        motors.Any(m => FirstReading(m.Rpm, motors) is > 60 || (m.Rpm is null && FirstReading(m.Command, motors) is > 0.05));

    /// <summary>Mean of the readings of the first two seconds; null where the quantity begins later than the rest of the telemetry by more
    /// than its own rate explains, because it may have warmed up by then.</summary>
    internal static double? FirstReading(Series? series, IReadOnlyList<MotorTrack> motors)
    {
        if (series is not { Count: > 0 })
        {
            return null;
        }

        double startS = motors
            .SelectMany(m => new[] { m.Rpm, m.Command, m.CurrentA, m.MotorTempC, m.EscTempC })
            .Where(s => s is { Count: > 0 })
            .Select(s => s!.TimeS[0])
            .Min();
        double everyS = (series.TimeS[^1] - series.TimeS[0]) / Math.Max(1, series.Count - 1);
        return series.TimeS[0] - startS > Math.Max(FirstReadingsS, 2 * everyS)
            ? null
            : series.MeanOver([new TimeInterval(series.TimeS[0], series.TimeS[0] + FirstReadingsS)]);
    }
}
