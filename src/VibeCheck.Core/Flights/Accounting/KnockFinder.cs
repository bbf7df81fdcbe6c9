using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>Finds short events in the acceleration: cells of a hundredth of a second with much more power than the lines and the
/// surrounding noise explain.</summary>
internal static class KnockFinder
{
    private const double CellS = 0.01;
    private const int LeastSamples = 8;
    private const int PredictorOrder = 48;

    // Relative to the median of one second around it. Noise of three axes and eight samples or more stays below 4; gusts rise over a longer
    // time.
    private const double Begins = 6,
        Lasts = 2.5;
    private const double AboutS = 0.5;
    private const double SlowS = 0.1;
    private const double LongestS = 0.3;

    /// <summary>The events, and their energy over the time used, (m/s²)².</summary>
    internal static (KnockSummary Knocks, double MeanSquare) Find(ImuTrack imu, IReadOnlyList<ContiguousSegment> runs)
    {
        int count = 0,
            samples = 0;
        double energy = 0,
            peak = 0,
            least = 0;
        double? first = null;
        foreach (ContiguousSegment run in runs.Where(r => r.SampleCount > 20 * PredictorOrder))
        {
            double[][] axes =
            [
                .. imu.Acceleration.Select(a => WithoutSlowMotion(a.AsSpan(run.FirstSample, run.SampleCount), (int)(SlowS * imu.RateHz))),
            ];
            samples += run.SampleCount;
            if (axes.Any(a => a.Any(v => !double.IsFinite(v))))
            {
                continue;
            }

            int size = Math.Max(LeastSamples, (int)(CellS * imu.RateHz));
            double[][] errors = [.. axes.Select(a => LinePredictor.Error(a, PredictorOrder))];
            double[] surprise = Cells([.. errors.Select(Scaled)], size),
                power = Cells(axes, size);

            // A detectable knock adds this much to a cell if all of it is prediction error.
            least = Math.Max(least, (Begins - 1) * Robust.Median(Cells(errors, size)) * size);
            foreach ((int from, int to) in Events(surprise, (int)(AboutS * imu.RateHz / size), (int)(LongestS * imu.RateHz / size)))
            {
                double usual = Usual(power, from, to, (int)(AboutS * imu.RateHz / size)),
                    own = 0;
                for (int c = from; c < to; c++)
                {
                    own += (power[c] - usual) * size;
                }

                if (own > 0)
                {
                    count++;
                    energy += own;
                    first ??= run.TimeOf(run.FirstSample + from * size);
                    peak = Math.Max(peak, Peak(axes, from * size, to * size));
                }
            }
        }

        return (
            new(count, first, peak) { LimitMeanSquare = DetectionLimit.KnocksMeanSquare(least, samples) },
            samples == 0 ? 0 : energy / samples
        );
    }

    private static double Peak(double[][] axes, int from, int to)
    {
        double peak = 0;
        for (int i = from; i < to; i++)
        {
            peak = Math.Max(peak, Math.Sqrt(axes.Sum(a => a[i] * a[i])));
        }

        return peak;
    }

    private static double[] WithoutSlowMotion(ReadOnlySpan<double> samples, int half)
    {
        double[] sums = new double[samples.Length + 1],
            rest = new double[samples.Length];
        for (int i = 0; i < samples.Length; i++)
        {
            sums[i + 1] = sums[i] + samples[i];
        }

        for (int i = 0; i < rest.Length; i++)
        {
            int from = Math.Max(0, i - half),
                to = Math.Min(rest.Length, i + half + 1);
            rest[i] = samples[i] - (sums[to] - sums[from]) / (to - from);
        }

        return rest;
    }

    /// <summary>In units of its usual size, so that an axis with strong vibration does not hide one with little.</summary>
    private static double[] Scaled(double[] error)
    {
        double usual = Robust.Median(error.Select(Math.Abs)) / 0.6745;
        return usual > 0 ? Array.ConvertAll(error, e => e / usual) : error;
    }

    private static double[] Cells(double[][] axes, int size)
    {
        double[] cells = new double[axes[0].Length / size];
        for (int c = 0; c < cells.Length; c++)
        {
            foreach (double[] axis in axes)
            {
                for (int i = c * size; i < (c + 1) * size; i++)
                {
                    cells[c] += axis[i] * axis[i] / size;
                }
            }
        }

        return cells;
    }

    private static IEnumerable<(int From, int To)> Events(double[] surprise, int about, int longest)
    {
        for (int c = 0; c < surprise.Length; c++)
        {
            // The cheap check comes first: the usual level is close to 3, one for each axis.
            if (surprise[c] < Begins)
            {
                continue;
            }

            double usual = Usual(surprise, c, c + 1, about);
            if (surprise[c] < Begins * usual)
            {
                continue;
            }

            int to = c + 1;
            while (to < surprise.Length && to - c < longest && surprise[to] > Lasts * usual)
            {
                to++;
            }

            yield return (c, to);
            c = to;
        }
    }

    private static double Usual(double[] cells, int from, int to, int about)
    {
        int first = Math.Max(0, from - about),
            last = Math.Min(cells.Length, to + about);
        return Robust.Median([.. cells[first..from], .. cells[to..last]]);
    }
}
