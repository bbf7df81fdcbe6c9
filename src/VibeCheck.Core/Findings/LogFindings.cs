using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Findings;

/// <summary>Limits of the log itself: clipping, a rate that is too low, telemetry that drops out.</summary>
internal static class LogFindings
{
    // A reading that is missing for five of its usual intervals is a drop-out.
    private const double DropOutIntervals = 5;

    // Three drop-outs count as much as the share of lost time that is worth a look.
    private const int LeastDropOuts = 3;
    private const double ShareOfDropOuts = 0.0201;

    internal static IEnumerable<Observation> Of(Flight flight, FlightAnalysis analysis) =>
        Clipping(flight)
            .Concat(SlowLogger(flight, analysis))
            .Concat(Filtered(analysis))
            .Concat(LooseTelemetry(flight, analysis))
            .Concat(Unusable(flight, analysis));

    private static IEnumerable<Observation> Clipping(Flight flight)
    {
        int clipped = flight.Input.Imu.ClippedSamples;
        if (clipped > 0)
        {
            yield return new("clipping", null, new AccelerometerClips(clipped, flight.Imu.Count), (double)clipped / flight.Imu.Count);
        }
    }

    private static IEnumerable<Observation> Filtered(FlightAnalysis analysis)
    {
        if (analysis.Accounting is { Dips: [_, ..] dips })
        {
            RotorDip[] deepest = [.. dips.OrderByDescending(d => d.DepthDb)];
            yield return new(
                "filtered-log",
                null,
                new DipsFollowRotors([.. deepest.Where(d => d.DepthDb > deepest[0].DepthDb / 2)]),
                deepest[0].DepthDb
            );
        }
    }

    private static IEnumerable<Observation> SlowLogger(Flight flight, FlightAnalysis analysis)
    {
        double rateHz = flight.Imu.RateHz;
        int highest = analysis.Airframe.Motors.Select(m => m.Blades).DefaultIfEmpty(2).Max();
        double neededHz = analysis.Motors.Select(m => m.RpmMean.Value).OfType<double>().DefaultIfEmpty(double.NaN).Max() / 60 * highest * 2;
        double needed = double.IsNaN(neededHz) ? 0 : neededHz / rateHz;
        yield return new(
            "slow-logger",
            null,
            new RateTooLowForBladePass(rateHz, double.IsNaN(neededHz) ? null : neededHz),
            RotorResults.IsTooSlow(rateHz) ? Math.Max(1.5, needed) : needed
        )
        {
            Least = Severity.Look,
        };
    }

    private static IEnumerable<Observation> LooseTelemetry(Flight flight, FlightAnalysis analysis)
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
                double share = lostS / analysis.Hover.SecondsUsed;
                yield return new(
                    "loose-telemetry",
                    motor.Id,
                    new TelemetryDropsOut(motor.Id, dropOuts, lostS, analysis.Hover.SecondsUsed),
                    dropOuts >= LeastDropOuts ? Math.Max(share, ShareOfDropOuts) : share
                );
            }
        }
    }

    /// <summary>Readings that were left out before anything was measured: zeros, spikes, repeats, speeds that do not change.</summary>
    private static IEnumerable<Observation> Unusable(Flight flight, FlightAnalysis analysis)
    {
        foreach (Motor motor in analysis.Airframe.Motors)
        {
            foreach (Reason cause in flight.Quality.Select(q => q.Cause))
            {
                if (Of(cause, motor.Id, analysis.Hover.SecondsUsed) is { } unusable)
                {
                    yield return new("loose-telemetry", motor.Id, unusable, unusable.Share);
                }
            }
        }
    }

    private static TelemetryUnusable? Of(Reason cause, string motor, double hoverS) =>
        cause switch
        {
            ReadingsDropped d when Names(d.Columns, motor) => new(motor, d.MostShare, TelemetryFault.Fillers, null),
            ReportsRepeated r when Names(r.Motors, motor) => new(motor, r.MostShare, TelemetryFault.Frozen, r.LongestS),
            SpeedsFrozen f when Names(f.Motors, motor) => new(motor, f.LongestS / Math.Max(1, hoverS), TelemetryFault.Frozen, f.LongestS),
            _ => null,
        };

    private static bool Names(string list, string motor) => list.Split(", ").Any(n => n == motor || n == motor + " rpm");

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
