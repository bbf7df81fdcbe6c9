using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Core.Uncertainty;

namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>Ambient temperature from what the units showed before they warmed up.</summary>
public static class Ambient
{
    /// <summary>Greatest spread of the first readings that still counts as "all agree", °C: two steps of whole-degree telemetry.</summary>
    public const double AgreeWithinC = 2;

    private const double FirstReadingsS = 2;

    /// <summary>
    /// The temperature that all motors and ESCs agree on at the start of the log, while no motor turns: cold units stand at
    /// ambient. Median of the units; unknown where motors already turn, units disagree, or fewer than three are logged.
    /// </summary>
    /// <param name="motors">Telemetry of all motors.</param>
    /// <returns>Ambient, °C. Its interval is the spread that was allowed, since an evenly soaked aircraft looks the same.</returns>
    public static Estimate FromColdStart(IReadOnlyList<MotorTrack> motors)
    {
        ArgumentNullException.ThrowIfNull(motors);
        if (motors.Any(TurnsAtStart))
        {
            return Estimate.Unknown("ambient was not given, and the log starts with motors already turning");
        }

        double[] first = [.. motors.SelectMany(m => new[] { m.MotorTempC, m.EscTempC }).Select(FirstReading).OfType<double>().Order()];
        if (first.Length < 3)
        {
            return Estimate.Unknown("ambient was not given, and too few temperatures are logged to tell it from a cold start");
        }

        if (first[^1] - first[0] > AgreeWithinC)
        {
            return Estimate.Unknown(string.Create(CultureInfo.InvariantCulture,
                $"ambient was not given, and the units did not start cold: they differ by {first[^1] - first[0]:0.#} °C at the start"));
        }

        double median = first.Length % 2 == 1 ? first[first.Length / 2] : (first[first.Length / 2 - 1] + first[first.Length / 2]) / 2;
        return Estimate.Around(median, AgreeWithinC / 2);
    }

    private static bool TurnsAtStart(MotorTrack track) =>
        FirstReading(track.Rpm) is > 60 || (track.Rpm is null && FirstReading(track.Command) is > 0.05);

    /// <summary>Mean of the readings of the first two seconds.</summary>
    private static double? FirstReading(Series? series) =>
        series is { Count: > 0 } ? series.MeanOver([new TimeInterval(series.TimeS[0], series.TimeS[0] + FirstReadingsS)]) : null;
}
