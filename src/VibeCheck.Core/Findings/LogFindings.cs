using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Findings;

/// <summary>The log itself keeps the answer back: clipping, too slow a rate, telemetry that drops out.</summary>
internal static class LogFindings
{
    private const double ClippedShare = 1e-4;

    // A reading missing for five of its usual intervals is a drop-out; three of them, or a fiftieth of the time, are worth a look.
    private const double DropOutIntervals = 5;
    private const int LeastDropOuts = 3;
    private const double LeastLostShare = 0.02;

    internal static IEnumerable<Finding> Of(Flight flight, FlightAnalysis analysis) =>
        Clipping(flight).Concat(SlowLogger(flight, analysis)).Concat(LooseTelemetry(flight, analysis));

    private static IEnumerable<Finding> Clipping(Flight flight)
    {
        int clipped = flight.Input.Imu.ClippedSamples;
        if (clipped > ClippedShare * flight.Imu.Count)
        {
            yield return new("clipping", Severity.Look, null, new AccelerometerClips(clipped, flight.Imu.Count));
        }
    }

    private static IEnumerable<Finding> SlowLogger(Flight flight, FlightAnalysis analysis)
    {
        double rateHz = flight.Imu.RateHz;
        int highest = analysis.Airframe.Motors.Select(m => m.Blades).DefaultIfEmpty(2).Max();
        double neededHz = analysis.Motors.Select(m => m.RpmMean.Value).OfType<double>().DefaultIfEmpty(double.NaN).Max() / 60 * highest * 2;
        if (RotorResults.IsTooSlow(rateHz) || rateHz < neededHz)
        {
            yield return new(
                "slow-logger",
                Severity.Look,
                null,
                new RateTooLowForBladePass(rateHz, double.IsNaN(neededHz) ? null : neededHz)
            );
        }
    }

    private static IEnumerable<Finding> LooseTelemetry(Flight flight, FlightAnalysis analysis)
    {
        foreach (Motor motor in analysis.Airframe.Motors)
        {
            if (
                flight.Track(motor.Id) is { } track
                && (track.Rpm ?? track.Command) is { Count: > 20 } series
                && analysis.Hover.Segments.Count > 0
            )
            {
                (int dropOuts, double lostS) = DropOuts(series, analysis.Hover.Segments);
                if (dropOuts >= LeastDropOuts || lostS > LeastLostShare * analysis.Hover.SecondsUsed)
                {
                    yield return new(
                        "loose-telemetry",
                        Severity.Look,
                        motor.Id,
                        new TelemetryDropsOut(motor.Id, dropOuts, lostS, analysis.Hover.SecondsUsed)
                    );
                }
            }
        }
    }

    private static (int Count, double LostS) DropOuts(Series series, IReadOnlyList<TimeInterval> hover)
    {
        double usualS = Robust.Median(Enumerable.Range(1, series.Count - 1).Select(i => series.TimeS[i] - series.TimeS[i - 1]));
        int count = 0;
        double lostS = 0;
        for (int i = 1; i < series.Count; i++)
        {
            double step = series.TimeS[i] - series.TimeS[i - 1];
            if (step > DropOutIntervals * usualS && hover.Any(s => series.TimeS[i - 1] >= s.FromS && series.TimeS[i] <= s.ToS))
            {
                count++;
                lostS += step - usualS;
            }
        }

        return (count, lostS);
    }
}
