using VibeCheck.Core.Signals;
using Tuning = VibeCheck.Core.Orders.SpeedSearch.SpeedSearchTuning.Grid;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>Short spectra of the vibration in a time that runs as a speed does: there all lines that follow that speed stay at one
/// frequency, and others are smeared. A bin's power, mean over the three axes, is held
/// against that of the noise about it.</summary>
internal sealed class WarpedSpectra
{
    private WarpedSpectra(double resolutionHz, IReadOnlyList<double> centreS, IReadOnlyList<float[]> level)
    {
        ResolutionHz = resolutionHz;
        CentreS = centreS;
        Level = level;
        MeanLevel = new double[level.Count == 0 ? 0 : level[0].Length];
        foreach (float[] row in level)
        {
            for (int k = 0; k < row.Length; k++)
            {
                MeanLevel[k] += row[k] / level.Count;
            }
        }
    }

    /// <summary>Spacing of the bins, Hz.</summary>
    internal double ResolutionHz { get; }

    /// <summary>Centre of each window, s on the IMU clock.</summary>
    internal IReadOnlyList<double> CentreS { get; }

    internal int Windows => CentreS.Count;

    /// <summary>Natural logarithm of the power over the noise, a row a window; 0 where there is less than the noise.</summary>
    internal IReadOnlyList<float[]> Level { get; }

    /// <summary>Mean of the rows.</summary>
    internal double[] MeanLevel { get; }

    /// <summary>Windows of a power of two of samples, half of them new each time; empty where no segment holds one.</summary>
    /// <param name="segments">What is searched.</param>
    /// <param name="shape">How the time runs.</param>
    /// <param name="windowS">Length of a window, s, to the nearest power of two of samples.</param>
    /// <param name="topHz">Highest frequency kept, Hz.</param>
    internal static WarpedSpectra Of(IReadOnlyList<SearchSegment> segments, SpeedShape shape, double windowS, double topHz)
    {
        double periodS = segments[0].PeriodS;
        int length = Math.Max(16, 1 << (int)Math.Round(Math.Log2(windowS / periodS)));
        RealFft fft = new(length);
        int bins = Math.Min(fft.Bins, (int)(topHz * length * periodS) + 2);
        double[] window = Window.Hann.Values(length);
        List<double> centres = [];
        List<float[][]> powers = [];
        foreach (SearchSegment segment in segments)
        {
            (double[] place, double[] timeS) = Places(segment, shape);
            double[][] axes = Array.ConvertAll(segment.Axes, axis => Resample(axis, place));
            for (int first = 0; first + length <= place.Length; first += length / 2)
            {
                centres.Add(timeS[first + length / 2]);
                powers.Add(Array.ConvertAll(axes, axis => Power(axis.AsSpan(first, length), window, fft, bins)));
            }
        }

        return new(1 / (length * periodS), centres, Levels(powers, bins, 1 / (length * periodS)));
    }

    /// <summary>Where in the samples the even steps of the warped time lie, and when that is.</summary>
    private static (double[] Place, double[] TimeS) Places(SearchSegment segment, SpeedShape shape)
    {
        int count = segment.Axes[0].Length;
        double[] place = new double[count],
            timeS = new double[count];
        Reader values = new(shape);
        double at = 0;
        int used = 0;
        while (at < count - 2 && used < count)
        {
            place[used] = at;
            timeS[used] = segment.StartS + at * segment.PeriodS;
            at += 1 / values.At(timeS[used]);
            used++;
        }

        return (place[..used], timeS[..used]);
    }

    /// <summary>Reads a shape at rising times without searching for each.</summary>
    private sealed class Reader(SpeedShape shape)
    {
        private int _next = 1;

        internal double At(double t)
        {
            if (shape.Values is not { Count: > 1 } s)
            {
                return shape.At(t);
            }

            double[] times = s.TimeS;
            if (_next > 1 && t < times[_next - 1])
            {
                _next = 1;
            }

            while (_next < times.Length - 1 && times[_next] < t)
            {
                _next++;
            }

            double u = Math.Clamp((t - times[_next - 1]) / (times[_next] - times[_next - 1]), 0, 1);
            return Math.Max(0.2, s.Values[_next - 1] + u * (s.Values[_next] - s.Values[_next - 1]));
        }
    }

    /// <summary>Values between samples by the cubic through the four about each place (Catmull and Rom 1974).</summary>
    private static double[] Resample(double[] samples, double[] place)
    {
        double[] values = new double[place.Length];
        for (int n = 0; n < values.Length; n++)
        {
            int i = (int)place[n];
            double u = place[n] - i;
            int last = samples.Length - 1;
            double a = samples[Math.Max(0, i - 1)],
                b = samples[i],
                c = samples[Math.Min(last, i + 1)],
                d = samples[Math.Min(last, i + 2)];
            values[n] = b + 0.5 * u * (c - a + u * (2 * a - 5 * b + 4 * c - d + u * (3 * (b - c) + d - a)));
        }

        return values;
    }

    private static float[] Power(ReadOnlySpan<double> samples, double[] window, RealFft fft, int bins)
    {
        Span<double> into = fft.Samples;
        for (int i = 0; i < into.Length; i++)
        {
            into[i] = samples[i] * window[i];
        }

        fft.Transform();
        float[] power = new float[bins];
        for (int k = 0; k < power.Length; k++)
        {
            power[k] = (float)(fft.Re[k] * fft.Re[k] + fft.Im[k] * fft.Im[k]);
        }

        return power;
    }

    private static List<float[]> Levels(List<float[][]> powers, int bins, double resolutionHz)
    {
        List<float[]> ratio = [.. powers.Select(_ => new float[bins])];
        for (int axis = 0; axis < 3 && powers.Count > 0; axis++)
        {
            double[] mean = new double[bins];
            foreach (float[][] power in powers)
            {
                for (int k = 0; k < bins; k++)
                {
                    mean[k] += power[axis][k] / powers.Count;
                }
            }

            double[] floor = Floor(mean, resolutionHz);
            for (int w = 0; w < ratio.Count; w++)
            {
                for (int k = 0; k < bins; k++)
                {
                    ratio[w][k] += (float)(powers[w][axis][k] / (3 * floor[k]));
                }
            }
        }

        foreach (float[] row in ratio)
        {
            for (int k = 0; k < bins; k++)
            {
                row[k] = MathF.Log(Math.Max(1, row[k]));
            }
        }

        return ratio;
    }

    /// <summary>Running median of a spectrum, at nodes and straight between them: lines are too narrow to move it.</summary>
    private static double[] Floor(double[] mean, double resolutionHz)
    {
        int step = Math.Max(1, (int)(Tuning.FloorStepHz / resolutionHz)),
            half = Math.Max(4, (int)(Tuning.FloorHalfHz / resolutionHz));
        int nodes = (mean.Length - 1) / step + 2;
        double[] node = new double[nodes],
            sorted = new double[2 * half + 1];
        for (int n = 0; n < nodes; n++)
        {
            int from = Math.Max(1, n * step - half),
                to = Math.Min(mean.Length - 1, n * step + half);
            if (to - from < half)
            {
                from = Math.Max(1, to - half);
            }

            Span<double> near = sorted.AsSpan(0, to - from + 1);
            mean.AsSpan(from, near.Length).CopyTo(near);
            near.Sort();
            node[n] = Math.Max(near[near.Length / 2], 1e-300);
        }

        double[] floor = new double[mean.Length];
        for (int k = 0; k < floor.Length; k++)
        {
            int n = k / step;
            double u = (double)(k % step) / step;
            floor[k] = node[n] + u * (node[n + 1] - node[n]);
        }

        return floor;
    }
}
