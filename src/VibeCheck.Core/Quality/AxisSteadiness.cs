using System.Numerics;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether one axis keeps its gain relative to the other two during the hover.</summary>
/// <remarks>The share of an axis in the power of a line follows from the direction of that line; its share in the noise follows from the
/// sensor and the air. Changes of the aircraft affect some frequencies, and each by a different amount. Only a loose contact or a change of
/// gain affects all frequencies of one axis alike, relative to the same frequencies of the other axes at the same moment.</remarks>
internal static class AxisSteadiness
{
    private const double WindowS = 0.5,
        LeastHz = 15,
        TopShare = 0.45;
    private const int LeastLength = 128,
        MostLength = 1024,
        MostWindows = 200,
        LeastWindows = 16,
        LeastBins = 16;

    // Bins in which the axis is strongest, which hold its lines. Effects that only add to the axis, such as knocks, do not change these
    // bins.
    private const double StrongShare = 0.02;
    private const int LeastStrong = 3;

    // A window counts as off from this difference on. docs/log-quality.md gives the values that sound flights reach.
    private const double OffDb = 4;

    // Limits for the error of the orders that results.
    private const double WidenDb = 0.1,
        WithholdDb = 0.4;

    /// <summary>How the gain of one axis changed.</summary>
    /// <param name="Axis">0 to 2.</param>
    /// <param name="GainDb">Median over the windows that are off, relative to the other windows, dB.</param>
    /// <param name="Share">Share of the windows that are off.</param>
    /// <param name="AnswerDb">Resulting change of the vibration of all axes together, dB.</param>
    internal readonly record struct Unsteadiness(int Axis, double GainDb, double Share, double AnswerDb);

    internal static IEnumerable<QualityIssue> Of(ImuTrack imu, IReadOnlyList<ContiguousSegment> runs)
    {
        if (Measure(imu, runs) is not { } found || Math.Abs(found.AnswerDb) < WidenDb)
        {
            yield break;
        }

        string name = "acc_" + "xyz"[found.Axis];
        yield return new()
        {
            Cause = new AxisGainChanges(name, found.GainDb, found.Share),
            Track = "imu",
            Channel = name,
            Effect = Math.Abs(found.AnswerDb) > WithholdDb ? QualityEffect.Withheld : QualityEffect.Widened,
            Affects = Answers.Vibration,
            AddedDb = Math.Abs(found.AnswerDb),
        };
    }

    /// <summary>The axis that changed most (the others change relative to it, by less); null where none did, or where the hover is too
    /// short.</summary>
    internal static Unsteadiness? Measure(ImuTrack imu, IReadOnlyList<ContiguousSegment> runs)
    {
        int length = Math.Clamp(
            (int)BitOperations.RoundUpToPowerOf2((uint)Math.Max(1, 0.75 * WindowS * imu.RateHz)),
            LeastLength,
            MostLength
        );
        var fft = new RealFft(length);
        double[] hann = Window.Hann.Values(length);
        int from = Math.Max(2, (int)(LeastHz * length / imu.RateHz)),
            to = (int)(TopShare * length),
            step = Math.Max(length, (int)(runs.Sum(r => (long)r.SampleCount) / MostWindows));
        if (to - from < LeastBins)
        {
            return null;
        }

        List<double[][]> windows = [];
        foreach (ContiguousSegment run in runs)
        {
            for (int first = run.FirstSample; first + length <= run.FirstSample + run.SampleCount; first += step)
            {
                double[][] axes = [.. imu.Acceleration.Select(a => Power(a.AsSpan(first, length), fft, hann)[from..to])];
                if (axes.All(a => Array.TrueForAll(a, p => double.IsFinite(p) && p > 0)))
                {
                    windows.Add(axes);
                }
            }
        }

        return windows.Count < LeastWindows
            ? null
            : Enumerable
                .Range(0, 3)
                .Select(axis => OfAxis(windows, axis))
                .Where(u => u.Share > 0)
                .OrderByDescending(u => Math.Abs(u.GainDb))
                .Select(u => (Unsteadiness?)u)
                .FirstOrDefault();
    }

    private static double[] Power(ReadOnlySpan<double> samples, RealFft fft, double[] window)
    {
        double mean = System.Numerics.Tensors.TensorPrimitives.Sum(samples) / samples.Length;
        for (int i = 0; i < samples.Length; i++)
        {
            fft.Samples[i] = (samples[i] - mean) * window[i];
        }

        fft.Transform();
        var power = new double[fft.Bins];
        for (int k = 0; k < power.Length; k++)
        {
            power[k] = fft.Re[k] * fft.Re[k] + fft.Im[k] * fft.Im[k];
        }

        return power;
    }

    private static Unsteadiness OfAxis(List<double[][]> windows, int axis)
    {
        int bins = windows[0][0].Length;
        double[][] ratios =
        [
            .. windows.Select(w =>
                Enumerable.Range(0, bins).Select(k => 10 * Math.Log10(w[axis][k] / (w[(axis + 1) % 3][k] + w[(axis + 2) % 3][k]))).ToArray()
            ),
        ];

        int[] strong = Strongest(windows, axis);
        double[] gains = Gains(ratios, ratios, strong);
        (double low, double high) = TwoMeans(gains);
        if (high - low > OffDb)
        {
            // Two states: the usual one is that of most windows. The median over both states lies between them, so the gains are calculated
            // again relative to the usual windows.
            double between = (low + high) / 2;
            bool isHigh = 2 * gains.Count(g => g > between) >= gains.Length;
            gains = Gains(ratios, [.. ratios.Where((_, w) => gains[w] > between == isHigh)], strong);
        }

        double[] off = [.. gains.Where(g => Math.Abs(g) > OffDb)];
        double own = windows.Sum(w => w[axis].Sum()),
            all = windows.Sum(w => w.Sum(a => a.Sum()));
        double usualGain = gains.Where(g => Math.Abs(g) <= OffDb).Select(_ => 1.0).Concat(off.Select(g => Math.Pow(10, g / 10))).Average();

        // The axis without the change: its power now is that of the usual windows times the mean gain.
        double steady = all - own + own / usualGain;
        return new(axis, off.Length == 0 ? 0 : Robust.Median(off), (double)off.Length / gains.Length, 10 * Math.Log10(all / steady));
    }

    /// <summary>The bins in which the axis has most power in most windows.</summary>
    private static int[] Strongest(List<double[][]> windows, int axis)
    {
        double[] usual = [.. Enumerable.Range(0, windows[0][0].Length).Select(k => Robust.Median(windows.Select(w => w[axis][k])))];
        return
        [
            .. Enumerable
                .Range(0, usual.Length)
                .OrderByDescending(k => usual[k])
                .Take(Math.Max(LeastStrong, (int)(StrongShare * usual.Length))),
        ];
    }

    /// <summary>Gain of each window: the median over its bins, each bin relative to its own median over the usual windows, because each
    /// line has its own direction. The median over the strongest bins is used where it is smaller; 0 where the two differ in
    /// sign.</summary>
    private static double[] Gains(double[][] ratios, double[][] usual, int[] strong)
    {
        double[] level = [.. Enumerable.Range(0, ratios[0].Length).Select(k => Robust.Median(usual.Select(r => r[k])))];
        return
        [
            .. ratios.Select(r =>
                Nearer(Robust.Median(r.Select((db, k) => db - level[k])), Robust.Median(strong.Select(k => r[k] - level[k])))
            ),
        ];
    }

    private static double Nearer(double a, double b) =>
        Math.Sign(a) != Math.Sign(b) ? 0
        : Math.Abs(a) < Math.Abs(b) ? a
        : b;

    /// <summary>The means of the two groups with the least sum of squares (Lloyd's iteration, started at the extremes).</summary>
    private static (double Low, double High) TwoMeans(double[] values)
    {
        (double low, double high) = (values.Min(), values.Max());
        for (int round = 0; round < 20; round++)
        {
            double between = (low + high) / 2;
            double[] below = [.. values.Where(v => v <= between)],
                above = [.. values.Where(v => v > between)];
            if (below.Length == 0 || above.Length == 0)
            {
                break;
            }

            (low, high) = (below.Average(), above.Average());
        }

        return (low, high);
    }
}
