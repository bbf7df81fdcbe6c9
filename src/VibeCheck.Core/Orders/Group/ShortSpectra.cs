using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Orders.Group;

/// <summary>Spectra of short windows of a hover: density of the acceleration summed over the
/// axes, and the same over the noise floor.</summary>
internal sealed class ShortSpectra
{
    /// <summary>Highest frequency that is used, as a share of the sample rate: above, the filters of loggers begin.</summary>
    internal const double TopShare = 0.45;

    private const double HighestHz = 2500;
    private const double LowestHz = 5;

    private ShortSpectra(double resolutionHz, double[] centreS, float[][] density, float[][] level, float[][][] axes)
    {
        (ResolutionHz, CentreS, Density, Level, _axes) = (resolutionHz, centreS, density, level, axes);
        MeanDensity = Mean(density);
        MeanLevel = Mean(level);
    }

    // A row a window, in it one an axis.
    private readonly float[][][] _axes;

    /// <summary>Spacing of the bins, Hz.</summary>
    internal double ResolutionHz { get; }

    /// <summary>Centre of each window, s on the IMU clock.</summary>
    internal double[] CentreS { get; }

    internal int Windows => CentreS.Length;

    internal int Bins => MeanDensity.Length;

    internal double TopHz => (Bins - 1) * ResolutionHz;

    /// <summary>(m/s²)²/Hz, a row a window.</summary>
    internal float[][] Density { get; }

    /// <summary>Natural logarithm of the power over the noise floor, mean of the axes; 0 where there is less than the floor.</summary>
    internal float[][] Level { get; }

    /// <summary>Mean of the rows of <see cref="Density"/>.</summary>
    internal double[] MeanDensity { get; }

    /// <summary>Mean of the rows of <see cref="Level"/>.</summary>
    internal double[] MeanLevel { get; }

    /// <summary>The same of one axis alone; its levels are those of all.</summary>
    internal ShortSpectra OfAxis(int axis) => new(ResolutionHz, CentreS, [.. _axes.Select(w => w[axis])], Level, _axes);

    /// <summary>Hann windows, half overlapped, no longer than the longest run; null where no run is long enough.</summary>
    /// <param name="imu">The track.</param>
    /// <param name="over">The time used.</param>
    /// <param name="windowS">Length wanted, s, to the nearest power of two of samples.</param>
    /// <param name="topHz">Highest frequency kept, Hz; null for what rotors may reach.</param>
    internal static ShortSpectra? Of(ImuTrack imu, IReadOnlyList<TimeInterval> over, double windowS, double? topHz = null)
    {
        IReadOnlyList<ContiguousSegment> runs = imu.Count == 0 ? [] : ContiguousSegment.Within(imu, over);
        int longest = runs.Select(r => r.SampleCount).DefaultIfEmpty(0).Max(),
            wanted = 1 << (int)Math.Round(Math.Log2(windowS * imu.RateHz));
        int length = wanted;
        while (length > longest)
        {
            length /= 2;
        }

        if (length < 64 || length < wanted / 4)
        {
            return null;
        }

        WelchPlan plan = new(Window.Hann, length, length / 2, imu.RateHz);
        int bins = Math.Min(plan.Bins, (int)((topHz ?? Math.Min(HighestHz, TopShare * imu.RateHz)) / plan.ResolutionHz) + 2);
        (double[] centreS, float[][][] axes) = Transform(imu, runs, plan, bins);
        return axes.Length == 0 ? null : Of(plan, bins, centreS, axes);
    }

    private static ShortSpectra Of(WelchPlan plan, int bins, double[] centreS, float[][][] axes)
    {
        float[][] density = new float[axes.Length][],
            level = new float[axes.Length][];
        double[][] floors = [.. Enumerable.Range(0, 3).Select(a => SpectralFloor.Of(Mean([.. axes.Select(w => w[a])]), plan.ResolutionHz))];
        int first = (int)Math.Ceiling(LowestHz / plan.ResolutionHz);
        for (int w = 0; w < axes.Length; w++)
        {
            (density[w], level[w]) = (new float[bins], new float[bins]);
            for (int k = 0; k < bins; k++)
            {
                (float x, float y, float z) = (axes[w][0][k], axes[w][1][k], axes[w][2][k]);
                density[w][k] = x + y + z;
                double ratio = (x / floors[0][k] + y / floors[1][k] + z / floors[2][k]) / 3;
                level[w][k] = k < first ? 0 : (float)Math.Log(Math.Max(1, ratio));
            }
        }

        return new(plan.ResolutionHz, centreS, density, level, axes);
    }

    private static (double[] CentreS, float[][][] Axes) Transform(
        ImuTrack imu,
        IReadOnlyList<ContiguousSegment> runs,
        WelchPlan plan,
        int bins
    )
    {
        List<double> centres = [];
        List<float[][]> rows = [];
        WelchAverage average = new(plan, []);
        double[] density = new double[plan.Bins];
        foreach (ContiguousSegment run in runs)
        {
            for (int first = run.FirstSample; first + plan.Length <= run.FirstSample + run.SampleCount; first += plan.Step)
            {
                float[][] axes = [.. imu.Acceleration.Select(axis => Row(axis.AsSpan(first, plan.Length)))];
                if (axes.All(a => a.Length > 0))
                {
                    centres.Add(run.TimeOf(first + plan.Length / 2));
                    rows.Add(axes);
                }
            }
        }

        return ([.. centres], [.. rows]);

        float[] Row(ReadOnlySpan<double> samples)
        {
            average.Clear();
            average.Add(samples);
            if (average.WindowCount == 0)
            {
                return [];
            }

            average.FillDensity(density);
            return Array.ConvertAll(density[..bins], d => (float)d);
        }
    }

    private static double[] Mean(float[][] rows)
    {
        double[] mean = new double[rows[0].Length];
        foreach (float[] row in rows)
        {
            for (int k = 0; k < mean.Length; k++)
            {
                mean[k] += row[k] / (double)rows.Length;
            }
        }

        return mean;
    }
}
