using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Temperatures that step up when the motors start and down when they stop: the current shifts the reading, or the sensor is on a
/// part that warms up at once.</summary>
/// <remarks>A motor or ESC with a time constant of some seconds goes on as it began; a shifted reading steps once. So the step is the
/// change from just before the start to just after it, minus what the slope after it explains.</remarks>
internal static class TemperaturesFollowingCurrent
{
    // Speeds below the first share of the usual one are a stop, above the second flight; a slower start hides a step.
    private const double StopShare = 0.2,
        FlightShare = 0.8,
        LongestStartS = 3;

    // Readings are averaged over these times before the start, after it, and after that; s.
    private const double BeforeS = 2,
        SkipS = 0.3,
        AfterS = 1.5,
        SlopeS = 3.5;

    // Chosen from the resolution: in whole degrees means of a second scatter by some 0.3 °C, and the faster third of a rise of 30 °C (8 s) leaves about
    // 1 °C.
    private const double LeastStepC = 3;
    private const int LeastUnits = 3;

    internal static IEnumerable<QualityIssue> Of(Flight flight, IReadOnlyList<UnitTrack> units) =>
        units
            .GroupBy(u => u.IsEsc)
            .SelectMany(kind =>
            {
                UnitTrack[] all = [.. kind];
                double[] steps = [.. all.Select(u => StepC(u.TempC, SpeedOf(flight, u.MotorId))).OfType<double>()];
                double step = steps.Length < LeastUnits ? 0 : Robust.Median(steps);

                // Any part of the step may be false. The rise is not corrected, so the step is the half width of a rectangle (GUM 4.3.7).
                return step < LeastStepC
                    ? []
                    : UnitTrack.Issues(
                        all,
                        names => new TemperaturesStepWithCurrent(names, step),
                        QualityEffect.Widened,
                        step / Math.Sqrt(3)
                    );
            });

    private static Series? SpeedOf(Flight flight, string motorId) => flight.Motors.First(m => m.MotorId == motorId).Rpm;

    /// <summary>The step at the start and at the stop, mean of those that the record shows, °C; null where it shows none.</summary>
    private static double? StepC(Series temp, Series? speed)
    {
        if (speed is null || ReadingFilter.Typical(speed) is not (> 0 and double usual))
        {
            return null;
        }

        int firstFlying = Array.FindIndex(speed.Values, v => v >= FlightShare * usual),
            lastFlying = Array.FindLastIndex(speed.Values, v => v >= FlightShare * usual);
        if (firstFlying < 0)
        {
            return null;
        }

        int lastStopped = Array.FindLastIndex(speed.Values, firstFlying, v => v <= StopShare * usual),
            firstStopped = Array.FindIndex(speed.Values, lastFlying, v => v <= StopShare * usual);
        double?[] steps =
        [
            lastStopped < 0 ? null : ExcessC(temp, speed.TimeS[lastStopped], speed.TimeS[firstFlying]),
            firstStopped < 0 ? null : -ExcessC(temp, speed.TimeS[lastFlying], speed.TimeS[firstStopped]),
        ];
        return steps.Average();
    }

    /// <summary>Change over a start or stop, less what the slope after it explains, °C.</summary>
    private static double? ExcessC(Series temp, double fromS, double toS)
    {
        if (
            toS - fromS > LongestStartS
            || temp.MeanOver([new(fromS - BeforeS, fromS)]) is not double before
            || temp.MeanOver([new(toS + SkipS, toS + AfterS)]) is not double after
            || temp.MeanOver([new(toS + AfterS, toS + SlopeS)]) is not double later
        )
        {
            return null;
        }

        double slope = (later - after) / ((SlopeS - SkipS) / 2),
            sinceHalfWay = (toS - fromS + SkipS + AfterS) / 2;
        return after - before - slope * sinceHalfWay;
    }
}
