using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Orders;

/// <summary>A contiguous segment of the hover, without gravity and slow motion, with a grid of envelope samples every
/// <see cref="Step"/> samples. Immutable.</summary>
internal sealed class DetrendedSegment
{
    private DetrendedSegment(double[][] axes, double startS, double periodS, int step, int intervals)
    {
        Axes = axes;
        StartS = startS;
        PeriodS = periodS;
        Step = step;
        Intervals = intervals;
    }

    /// <summary>x, y, z, m/s².</summary>
    internal double[][] Axes { get; }

    /// <summary>Time of the first sample, s.</summary>
    internal double StartS { get; }

    /// <summary>Time between samples, s.</summary>
    internal double PeriodS { get; }

    /// <summary>Samples between envelope samples, a multiple of four.</summary>
    internal int Step { get; }

    /// <summary>Whole steps between envelope samples; there is one more sample than steps.</summary>
    internal int Intervals { get; }

    /// <summary>Envelope samples over the segment.</summary>
    internal int EnvelopeCount => Intervals + 1;

    /// <summary>Time between envelope samples, s.</summary>
    internal double EnvelopeS => Step * PeriodS;

    internal double Seconds => Intervals * EnvelopeS;

    /// <summary>Its first part, on the same samples.</summary>
    internal DetrendedSegment Head(int intervals) => new(Axes, StartS, PeriodS, Step, Math.Min(intervals, Intervals));

    /// <summary>Cuts the hover at clock gaps and at holes, and leaves out what is shorter than <paramref name="leastS"/>.</summary>
    internal static List<DetrendedSegment> Cut(ImuTrack imu, IReadOnlyList<TimeInterval> hover, double leastS)
    {
        var found = new List<DetrendedSegment>();
        foreach (ContiguousSegment block in imu.Blocks)
        {
            foreach (TimeInterval segment in hover)
            {
                int from = (int)Math.Ceiling(Math.Max(0, (segment.FromS - block.StartS) / block.PeriodS - 1e-6));
                int to = (int)Math.Floor(Math.Min(block.SampleCount - 1, (segment.ToS - block.StartS) / block.PeriodS + 1e-6));
                if (to > from)
                {
                    CutAtHoles(imu, block, from, to + 1, leastS, found);
                }
            }
        }

        return found;
    }

    private static void CutAtHoles(ImuTrack imu, ContiguousSegment block, int from, int to, double leastS, List<DetrendedSegment> found)
    {
        int step = Math.Max(4, 4 * (int)Math.Round(OrderTuning.Preparation.EnvelopeSampleS / block.PeriodS / 4));
        int begin = -1,
            lastGood = -1;
        for (int i = from; i <= to; i++)
        {
            bool good = i < to && IsFinite(imu, block.FirstSample + i);
            if (good && begin < 0)
            {
                begin = i;
            }

            if (begin >= 0 && (i == to || (!good && i - lastGood > OrderTuning.Preparation.LongestBridge)))
            {
                Add(lastGood + 1);
                begin = -1;
            }

            lastGood = good ? i : lastGood;
        }

        void Add(int end)
        {
            if ((end - begin) * block.PeriodS < leastS || end - begin < 2 * step)
            {
                return;
            }

            double[][] axes = new double[3][];
            for (int axis = 0; axis < 3; axis++)
            {
                axes[axis] = imu.Acceleration[axis].AsSpan(block.FirstSample + begin, end - begin).ToArray();
                Bridge(axes[axis]);
                Detrending.Detrend(axes[axis], Math.Max(step, (int)Math.Round(OrderTuning.Preparation.DetrendS / block.PeriodS)));
            }

            found.Add(new DetrendedSegment(axes, block.TimeOf(block.FirstSample + begin), block.PeriodS, step, axes[0].Length / step));
        }
    }

    private static bool IsFinite(ImuTrack imu, int i) =>
        double.IsFinite(imu.AccXMps2[i]) && double.IsFinite(imu.AccYMps2[i]) && double.IsFinite(imu.AccZMps2[i]);

    private static void Bridge(double[] values)
    {
        int last = -1;
        for (int i = 0; i < values.Length; i++)
        {
            if (!double.IsFinite(values[i]))
            {
                continue;
            }

            for (int hole = last + 1; hole < i; hole++)
            {
                values[hole] = last < 0 ? values[i] : values[last] + (values[i] - values[last]) * (hole - last) / (i - last);
            }

            last = i;
        }
    }
}
