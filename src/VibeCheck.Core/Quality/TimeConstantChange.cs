using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Finds flights before and after whose temperatures follow the load with different time constants. Time constants belong to the
/// aircraft, so one of the recorders delayed or smoothed its readings.</summary>
internal static class TimeConstantChange
{
    // On simulated jobs of short flights the median over all units changed by 6 % at most. Drifts, delays and smoothing of the recorder
    // changed it and the rises by about the same share (0.8 to 1.4 times). At 42 % no comparison is possible.
    private const double TauLog = 0.1,
        MostTauLog = 0.35,
        TauDeviations = 3;
    private const int LeastTaus = 4;

    // Two flights contribute, and the 95 % interval is meant to reach 1.4 times the share: 1.96 · 0.5 · √2.
    private const double TauDoubt = 0.5;

    // Above this standard uncertainty the 95 % interval of a change reaches 11 °C to both sides, further than work on mounts changes a
    // temperature: a value in the middle of it would be read as an answer.
    private const double MostAddedC = 4;

    /// <summary>The issue; none where the time constants agree, or too few are known.</summary>
    internal static IEnumerable<QualityIssue> Of(PairedRises rises)
    {
        if (rises.TauLogs.Length < LeastTaus)
        {
            return [];
        }

        (double change, double scatter) = Robust.MedianAndMad(rises.TauLogs);
        if (Math.Abs(change) < Math.Max(TauLog, TauDeviations * scatter / Math.Sqrt(rises.TauLogs.Length)))
        {
            return [];
        }

        double riseC = Robust.Median(
            rises.Motors.Concat(rises.Escs).Where(u => u.IsKnown).SelectMany(u => new[] { Math.Abs(u.BeforeC), Math.Abs(u.AfterC) })
        );
        double addedC = TauDoubt * Math.Abs(change) * riseC;
        bool wrong = Math.Abs(change) > MostTauLog || addedC > MostAddedC;
        return
        [
            new()
            {
                Cause = new TimeConstantsDiffer(Math.Exp(change)),
                Track = "telemetry",
                Effect = wrong ? QualityEffect.Withheld : QualityEffect.Widened,
                Affects = Answers.Temperatures,
                AddedC = wrong ? 0 : addedC,
            },
        ];
    }
}
