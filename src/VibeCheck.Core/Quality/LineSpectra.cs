using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Spectra of a hover in short windows, with the rotors' speeds in each. They show how far lines at given ratios to the speeds
/// exceed the floor, and how much power they hold.</summary>
internal sealed class LineSpectra
{
    // Windows are long enough to separate a line from the floor, and short relative to the variation of speeds: common practice.
    private const double WindowS = 2,
        LeastWindowS = 0.4;
    private const int MostWindows = 120,
        LeastWindows = 4;

    private const double LeastRpm = 300;

    // Band around a line that holds its power when speeds vary within a window: relative, and in bins.
    private const double NearShare = 0.01;
    private const double NearBins = 2.5;

    // The level beside a line is that of this many bins on each side.
    private const int BesideBins = 8;

    // Variance of the sum of many neighbouring bins over that of independent ones: 1 + 2 (4/9 + 1/36), the squared autocorrelation of the
    // Hann window's transform (-1/4, 1/2, -1/4).
    private const double HannBins = 1 + 2 * (4 / 9.0 + 1 / 36.0);

    // Power of each window by bin: all axes together, and each axis.
    private readonly List<double[]> _powers = [];
    private readonly List<double[][]> _axisPowers = [];
    private readonly List<double[]> _speedsHz = [];
    private readonly double _binHz;
    private readonly int[] _orders;

    private LineSpectra(
        ImuTrack imu,
        IReadOnlyList<Series> rpm,
        IReadOnlyList<ContiguousSegment> runs,
        int[] orders,
        IReadOnlyList<OtherLine> others,
        int length
    )
    {
        (_orders, _binHz) = (orders, imu.RateHz / length);
        int step = Math.Max(length / 2, (int)(runs.Sum(r => (long)r.SampleCount) / MostWindows));
        var fft = new RealFft(length);
        double[] window = Window.Hann.Values(length);
        double scale = 2 / (length * window.Sum(w => w * w));
        foreach (ContiguousSegment run in runs)
        {
            ContiguousSegment block = imu.Blocks.First(b =>
                run.FirstSample >= b.FirstSample && run.FirstSample < b.FirstSample + b.SampleCount
            );
            for (int first = run.FirstSample; first + length <= run.FirstSample + run.SampleCount; first += step)
            {
                double fromS = block.TimeOf(first),
                    toS = block.TimeOf(first + length - 1);
                double[] hz = [.. rpm.Select(r => MeanHz(r, fromS, toS)).Where(f => f > LeastRpm / 60)];
                double[][] axes = [.. imu.Acceleration.Select(axis => Power(axis.AsSpan(first, length), fft, window, scale))];
                if (hz.Length > 0 && axes.All(axis => double.IsFinite(axis[1])))
                {
                    ReplaceLines([.. others.Select(o => o.Rpm is null ? o.Multiple : o.Multiple * MeanHz(o.Rpm, fromS, toS))], axes, hz);
                    _speedsHz.Add(hz);
                    _axisPowers.Add(axes);
                    _powers.Add([.. axes[0].Select((power, k) => power + axes[1][k] + axes[2][k])]);
                }
            }
        }
    }

    /// <summary>Windows of the usual length, or shorter ones where gaps leave too few of them; null where too few fit.</summary>
    /// <param name="imu">The vibration.</param>
    /// <param name="rpm">Speeds of the rotors.</param>
    /// <param name="runs">The hover.</param>
    /// <param name="orders">Orders to examine.</param>
    /// <param name="others">Lines other than the orders, which are replaced by the level of the bins beside them.</param>
    internal static LineSpectra? Of(
        ImuTrack imu,
        IReadOnlyList<Series> rpm,
        IReadOnlyList<ContiguousSegment> runs,
        int[] orders,
        IReadOnlyList<OtherLine> others
    )
    {
        int length = (int)System.Numerics.BitOperations.RoundUpToPowerOf2((uint)Math.Max(64, WindowS * imu.RateHz * 0.75));
        var lines = new LineSpectra(imu, rpm, runs, orders, others, length);
        while (lines._powers.Count < LeastWindows && length / 2 >= LeastWindowS * imu.RateHz)
        {
            length /= 2;
            lines = new LineSpectra(imu, rpm, runs, orders, others, length);
        }

        return lines._powers.Count < LeastWindows ? null : lines;
    }

    /// <summary>Replaces each line by the level of the bins beside it, unless it is too close to an order.</summary>
    private void ReplaceLines(double[] linesHz, double[][] axes, double[] speedsHz)
    {
        foreach (double hz in linesHz)
        {
            double reach = NearShare * hz / _binHz + NearBins,
                centre = hz / _binHz;
            int from = (int)Math.Ceiling(centre - reach),
                to = (int)(centre + reach);
            bool isFree = _orders.All(k => speedsHz.All(f => Math.Abs(k * f / _binHz - centre) > NearShare * k * f / _binHz + NearBins));
            if (isFree && from - BesideBins >= 1 && to + BesideBins < axes[0].Length)
            {
                foreach (double[] axis in axes)
                {
                    double beside = Robust.UpperMedian([.. axis[(from - BesideBins)..from], .. axis[(to + 1)..(to + 1 + BesideBins)]]);
                    axis.AsSpan(from, to - from + 1).Fill(beside);
                }
            }
        }
    }

    /// <summary>How far the bins at the rotors' frequencies times a ratio exceed the surrounding floor: mean of ln(1 + power /
    /// floor).</summary>
    internal double Score(double ratio)
    {
        double sum = 0;
        int n = 0;
        for (int w = 0; w < _powers.Count; w++)
        {
            double[] power = _powers[w];
            foreach (int order in _orders)
            {
                double floor = MedianFloor(w, order);
                foreach (double hz in _speedsHz[w])
                {
                    int bin = (int)Math.Round(ratio * order * hz / _binHz);
                    if (bin < 2 || bin + 1 >= power.Length)
                    {
                        continue;
                    }

                    sum += Math.Log(1 + Math.Max(power[bin - 1], Math.Max(power[bin], power[bin + 1])) / floor);
                    n++;
                }
            }
        }

        return n == 0 ? 0 : sum / n;
    }

    private readonly Dictionary<(int Window, int Order), double> _floors = [];

    /// <summary>Median power of the bins from 0.75 to 1.33 of an order's frequencies in a window.</summary>
    private double MedianFloor(int window, int order)
    {
        if (!_floors.TryGetValue((window, order), out double floor))
        {
            (int from, int to) = FloorBins(window, order);
            floor = to > from + 4 ? Math.Max(Robust.UpperMedian(_powers[window][from..to]), 1e-18) : double.PositiveInfinity;
            _floors.Add((window, order), floor);
        }

        return floor;
    }

    /// <summary>Mean noise power per bin around an order: for each axis the median divided by its expectation for a mean of 1. Each axis
    /// separately, because one may be much noisier than the others.</summary>
    private Floor MeanFloor(int window, int order)
    {
        (int from, int to) = FloorBins(window, order);
        if (to <= from + 4)
        {
            return new(double.PositiveInfinity, 0, 0);
        }

        double expected = UpperMedianOfExponentials(to - from);
        double[] axes = [.. _axisPowers[window].Select(axis => Robust.UpperMedian(axis[from..to]) / expected)];
        return new(axes.Sum(), axes.Sum(f => f * f), to - from);
    }

    /// <summary>Expectation of the upper median of n exponential variables of mean 1: ln 2 and a little (A. Rényi, On the theory of order
    /// statistics, 1953: the k-th smallest is the sum of 1 / i over i from n - k + 1 to n; from memory).</summary>
    private static double UpperMedianOfExponentials(int n)
    {
        double sum = 0;
        for (int i = n - n / 2; i <= n; i++)
        {
            sum += 1.0 / i;
        }

        return sum;
    }

    /// <summary>Noise around an order in one window.</summary>
    /// <param name="Mean">Mean power per bin of all axes, (m/s²)².</param>
    /// <param name="MeanSquare">Sum over the axes of the squares of their means, (m/s²)⁴.</param>
    /// <param name="Bins">Bins that it was estimated from.</param>
    private readonly record struct Floor(double Mean, double MeanSquare, int Bins);

    private (int From, int To) FloorBins(int window, int order)
    {
        double[] hz = _speedsHz[window];
        return (
            Math.Max(1, (int)(0.75 * order * hz.Min() / _binHz)),
            Math.Min(_powers[window].Length - 1, (int)Math.Ceiling(1.33 * order * hz.Max() / _binHz))
        );
    }

    /// <summary>Power above the floor close to the lines, and in the wide band around them, mean over the windows, (m/s²)².</summary>
    internal (LinePower Near, LinePower Wide) LinePowers()
    {
        LinePower near = default,
            wide = default;
        for (int w = 0; w < _powers.Count; w++)
        {
            double[] power = _powers[w],
                hz = _speedsHz[w];
            var isNear = new bool[power.Length];
            var isWide = new bool[power.Length];
            foreach (int order in _orders)
            {
                Floor floor = MeanFloor(w, order);
                foreach (double f in hz)
                {
                    double centre = order * f / _binHz;
                    near += Above(power, isNear, floor, centre - NearShare * centre - NearBins, centre + NearShare * centre + NearBins);
                    wide += Above(power, isWide, floor, 0.85 * centre, 1.18 * centre);
                }
            }
        }

        return (near.MeanOf(_powers.Count), wide.MeanOf(_powers.Count));
    }

    /// <summary>Power above a floor in bins that were not taken before, and the variance that noise of this floor gives it.</summary>
    /// <remarks>The power of noise in a bin of one axis is exponentially distributed, its variance the square of its mean. The floor is the
    /// median of n bins, these k among them: over its expectation it has a variance of 1 / (n ln² 2) and a covariance of 1 / n with each bin
    /// (influence function of the median: P. Huber, Robust Statistics, 1981; from memory), so that the difference has
    /// k + k² (1 / ln² 2 - 2) / n. Bins of a Hann window are correlated.</remarks>
    private static LinePower Above(double[] power, bool[] taken, Floor floor, double from, double to)
    {
        double sum = 0;
        int bins = 0;
        for (int k = Math.Max(1, (int)Math.Ceiling(from)); k <= Math.Min(power.Length - 1, (int)to); k++)
        {
            if (!taken[k])
            {
                taken[k] = true;
                sum += double.IsFinite(floor.Mean) ? power[k] - floor.Mean : 0;
                bins++;
            }
        }

        double ofFloor = (double)bins * bins * (1 / (Math.Log(2) * Math.Log(2)) - 2) / Math.Max(1, floor.Bins);
        return double.IsFinite(floor.Mean) ? new(sum, HannBins * floor.MeanSquare * (bins + ofFloor)) : default;
    }

    private static double MeanHz(Series rpm, double fromS, double toS)
    {
        double sum = 0;
        for (int i = 0; i < 9; i++)
        {
            sum += rpm.At(fromS + (toS - fromS) * (i + 1) / 10);
        }

        return sum / 9 / 60;
    }

    /// <summary>Mean square of one axis in each bin, (m/s²)².</summary>
    private static double[] Power(ReadOnlySpan<double> samples, RealFft fft, double[] window, double scale)
    {
        double mean = System.Numerics.Tensors.TensorPrimitives.Sum(samples) / samples.Length;
        for (int i = 0; i < samples.Length; i++)
        {
            fft.Samples[i] = (samples[i] - mean) * window[i];
        }

        fft.Transform();
        double[] power = new double[fft.Bins];
        for (int k = 0; k < power.Length; k++)
        {
            power[k] = scale * (fft.Re[k] * fft.Re[k] + fft.Im[k] * fft.Im[k]);
        }

        return power;
    }
}
