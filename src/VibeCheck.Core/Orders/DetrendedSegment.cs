using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Orders;

/// <summary>A run of hover without a hole: samples with gravity and slow motion taken off, on a grid of nodes every
/// <see cref="Step"/> samples.</summary>
internal sealed class DetrendedSegment
{
    /// <summary>Time between nodes that is aimed at, s: short against anything that a rotor's speed does.</summary>
    internal const double NodeSeconds = 0.032;

    /// <summary>Longest hole in the samples (NaN) that is bridged by a straight line, samples.</summary>
    private const int LongestBridge = 3;

    private DetrendedSegment(double[][] axes, double startS, double periodS, int step, int blocks)
    {
        Axes = axes;
        StartS = startS;
        PeriodS = periodS;
        Step = step;
        Blocks = blocks;
    }

    /// <summary>x, y, z, m/s².</summary>
    internal double[][] Axes { get; }

    /// <summary>Time of the first sample, s.</summary>
    internal double StartS { get; }

    /// <summary>Time between samples, s.</summary>
    internal double PeriodS { get; }

    /// <summary>Samples between nodes, a multiple of four.</summary>
    internal int Step { get; }

    /// <summary>Whole node intervals; there is one more node.</summary>
    internal int Blocks { get; }

    internal int Nodes => Blocks + 1;

    /// <summary>Time between nodes, s.</summary>
    internal double NodeS => Step * PeriodS;

    internal double Seconds => Blocks * NodeS;

    /// <summary>Its first part, on the same samples.</summary>
    internal DetrendedSegment Head(int blocks) => new(Axes, StartS, PeriodS, Step, Math.Min(blocks, Blocks));

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
        int step = Math.Max(4, 4 * (int)Math.Round(NodeSeconds / block.PeriodS / 4));
        int begin = -1, lastGood = -1;
        for (int i = from; i <= to; i++)
        {
            bool good = i < to && IsFinite(imu, block.FirstSample + i);
            if (good && begin < 0)
            {
                begin = i;
            }

            if (begin >= 0 && (i == to || (!good && i - lastGood > LongestBridge)))
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
                Detrending.Detrend(axes[axis], Math.Max(step, (int)Math.Round(0.25 / block.PeriodS)));
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
