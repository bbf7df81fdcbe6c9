using VibeCheck.Core.Quality;
using VibeCheck.Core.Samples;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Clocks;

namespace VibeCheck.Logs.Assembly;

/// <summary>What missing, false and clipped samples mean for the vibration.</summary>
internal static class SampleQuality
{
    // Single bad samples in a thousand are usual and change nothing.
    private const double WorthTellingShare = 0.002;
    private const int WorthTellingSpikes = 3;

    // More than that of an axis is not filled for an answer, whatever the check says.
    private const double MostShare = 0.45;

    // A recorder that interpolates rows: where rounding hides some of them, they cannot be left out. Past this share they are too many.
    private const double MostStraightShare = 0.3;

    // Loss of the lines: up to the first it is repaired, up to the second widened.
    private const double RepairedDb = 0.3,
        WidenedDb = 0.8;

    // Clipping that costs less changes nothing; more than the second is withheld: the estimate assumes a normal distribution, which the
    // tails of vibration do not follow.
    private const double LeastClippedDb = 0.05,
        MostClippedDb = 0.5;

    private const double FrozenS = 0.25;

    // Stamps with a jitter of half a sample interval step back in one row of ten, and the rows are in order all the same. Twice as many:
    // nobody can say when the rows that are left were taken.
    private const double MostOutOfOrderShare = 0.2;

    internal static IEnumerable<QualityIssue> Of(UnmeasuredSamples found, EvenSamples samples, EvenClock clock, ImuTrack track)
    {
        var issues = new List<QualityIssue>();
        issues.AddRange(Axes(found));
        issues.AddRange(Frozen(found, track.RateHz));
        issues.AddRange(Clipped(found, track));
        issues.AddRange(Filled(found, samples, track));
        return issues;
    }

    /// <summary>Rows that were left out because their stamps step back.</summary>
    /// <param name="share">Share of all rows, 0 to 1.</param>
    internal static IEnumerable<QualityIssue> OutOfOrder(double share) =>
        share > MostOutOfOrderShare ? [Issue(new RowsOutOfOrder(share), QualityEffect.Withheld)] : [];

    private static IEnumerable<QualityIssue> Axes(UnmeasuredSamples found)
    {
        for (int axis = 0; axis < 3; axis++)
        {
            if (found.Dead[axis])
            {
                yield return Issue(new AxisDead(Name(axis)), QualityEffect.Withheld) with
                {
                    Channel = Name(axis),
                };
            }
        }

        if (found.Copies is { } copies && !found.Dead[copies.One])
        {
            yield return Issue(new AxesIdentical(Name(copies.One), Name(copies.Other)), QualityEffect.Withheld);
        }
    }

    private static IEnumerable<QualityIssue> Frozen(UnmeasuredSamples found, double rateHz)
    {
        for (int axis = 0; axis < 3; axis++)
        {
            if (!found.Dead[axis] && found.Standstills[axis].Samples / rateHz > FrozenS)
            {
                yield return Issue(new AxisFrozen(Name(axis), found.StandstillSamples[axis] / rateHz), QualityEffect.Repaired) with
                {
                    Channel = Name(axis),
                };
            }
        }
    }

    private static IEnumerable<QualityIssue> Clipped(UnmeasuredSamples found, ImuTrack track)
    {
        double true2 = 0,
            seen2 = 0;
        for (int axis = 0; axis < 3; axis++)
        {
            // Bussgang's theorem (1952): clipping passes each part of a normal signal on by the share of time that is not clipped.
            double gain = Math.Max(0.05, 1 - found.ClippedShares[axis]),
                power = Variance(track.Acceleration[axis]);
            seen2 += power;
            true2 += power / (gain * gain);
        }

        double lossDb = seen2 > 0 ? 10 * Math.Log10(true2 / seen2) : 0;
        if (lossDb > LeastClippedDb)
        {
            int worst = Array.IndexOf(found.ClippedShares, found.ClippedShares.Max());
            QualityIssue issue = Issue(
                new RangeExceeded(Name(worst), found.ClippedShares[worst], lossDb),
                lossDb > MostClippedDb ? QualityEffect.Withheld : QualityEffect.Widened
            );
            yield return issue with
            {
                Channel = Name(worst),
                AddedDb = lossDb,
            };
        }
    }

    private static IEnumerable<QualityIssue> Filled(UnmeasuredSamples found, EvenSamples samples, ImuTrack track)
    {
        double[] shares = [.. samples.Unknown.Select(u => u is null ? 0 : (double)u.Count(x => x) / Math.Max(1, u.Length))];
        double share = shares.Max();
        if (share < WorthTellingShare && found.Spikes < WorthTellingSpikes)
        {
            yield break;
        }

        double? lossDb = share > MostShare || found.StraightRows > MostStraightShare * track.Count ? null : Loss(samples, track);
        QualityEffect effect =
            lossDb is null or > WidenedDb ? QualityEffect.Withheld
            : lossDb > RepairedDb ? QualityEffect.Widened
            : QualityEffect.Repaired;
        if (share >= WorthTellingShare)
        {
            yield return lossDb is double db
                ? Issue(new SamplesFilled(share, db), effect) with
                {
                    AddedDb = db,
                }
                : Issue(new SamplesMissing(share), effect);
        }

        foreach (Reason kind in Kinds(found, track))
        {
            yield return Issue(kind, effect);
        }
    }

    private static IEnumerable<Reason> Kinds(UnmeasuredSamples found, ImuTrack track)
    {
        double rows = Math.Max(1, track.Count),
            cells = 3 * rows;
        if (found.Filler is double filler && found.Fillers > WorthTellingShare * cells)
        {
            yield return new FillersLeftOut(filler, Math.Min(1, found.Fillers / cells));
        }

        if (found.Spikes >= WorthTellingSpikes)
        {
            yield return new SpikesLeftOut(found.Spikes, track.EndS - track.StartS);
        }

        double held = Math.Max(found.RepeatedRows / rows, found.HeldCells / cells);
        if (held > WorthTellingShare)
        {
            yield return new SamplesHeld(Math.Min(1, held));
        }

        if (found.StraightRows > WorthTellingShare * rows)
        {
            yield return new SamplesInterpolated(Math.Min(1, found.StraightRows / rows));
        }
    }

    /// <summary>Loss of the lines over all axes, by their power, dB; null where a filled axis is too short to say.</summary>
    private static double? Loss(EvenSamples samples, ImuTrack track)
    {
        ContiguousSegment longest = track.Blocks.MaxBy(b => b.SampleCount)!;
        int order = AutoregressiveFill.OrderFor(track.RateHz);
        double true2 = 0,
            seen2 = 0;
        for (int axis = 0; axis < 3; axis++)
        {
            double power = Variance(track.Acceleration[axis]);
            double? db = samples.Unknown[axis] is not { } unknown
                ? 0
                : FillCheck.LossDb(
                    track.Acceleration[axis].AsSpan(longest.FirstSample, longest.SampleCount),
                    unknown.AsSpan(longest.FirstSample, longest.SampleCount),
                    track.RateHz,
                    order
                );
            if (db is null)
            {
                return null;
            }

            seen2 += power;
            true2 += power * Math.Pow(10, db.Value / 10);
        }

        return seen2 > 0 ? 10 * Math.Log10(true2 / seen2) : 0;
    }

    private static double Variance(double[] values)
    {
        double mean = 0,
            sum = 0;
        foreach (double value in values)
        {
            mean += value / values.Length;
        }

        foreach (double value in values)
        {
            sum += (value - mean) * (value - mean);
        }

        return sum / Math.Max(1, values.Length);
    }

    private static string Name(int axis) => "acc_" + "xyz"[axis];

    private static QualityIssue Issue(Reason cause, QualityEffect effect) =>
        new()
        {
            Cause = cause,
            Track = "imu",
            Effect = effect,
            Affects = Answers.Vibration,
        };
}
