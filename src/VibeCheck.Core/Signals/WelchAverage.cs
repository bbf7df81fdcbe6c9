using System.Runtime.Intrinsics;

namespace VibeCheck.Core.Signals;

/// <summary>Takes the squared spectrum of a window.</summary>
/// <param name="window">Its number among all windows of the runs, those that could not be used counted.</param>
/// <param name="squares">|X(k)|², one a bin; valid during the call only.</param>
internal delegate void SquaresTaker(int window, ReadOnlySpan<double> squares);

/// <summary>Sums squared spectra of windows, run by run, and beside them the power of each window in a few bands.</summary>
/// <remarks>Owns its transform: one thread at a time.</remarks>
internal sealed class WelchAverage
{
    private readonly WelchPlan _plan;
    private readonly RealFft _fft;
    private readonly double[] _sums;
    private readonly double[] _squares;
    private readonly SquaresTaker? _taker;
    private readonly IReadOnlyList<double[]> _bandWeights;
    private readonly List<double>[] _bandPowers;
    private readonly List<int> _windowsPerRun = [];
    private int _window;

    /// <param name="plan">How to transform.</param>
    /// <param name="bandWeights">For each band the weight of each bin, 0 outside; a band's
    /// power is Σ weight · density · resolution.</param>
    /// <param name="taker">Is shown each window by itself.</param>
    internal WelchAverage(WelchPlan plan, IReadOnlyList<double[]> bandWeights, SquaresTaker? taker = null)
    {
        _taker = taker;
        _plan = plan;
        _fft = new(plan.Length);
        _sums = new double[plan.Bins];
        _squares = new double[plan.Bins];
        _bandWeights = bandWeights;
        _bandPowers = [.. bandWeights.Select(_ => new List<double>())];
    }

    internal int WindowCount { get; private set; }

    /// <summary>Windows in each unbroken run; a window with a value that is not finite breaks a run.</summary>
    internal IReadOnlyList<int> WindowsPerRun => _windowsPerRun;

    /// <summary>Power in a band, one value a window, in order of time.</summary>
    internal IReadOnlyList<double> BandPowers(int band) => _bandPowers[band];

    /// <summary>Adds all windows of an unbroken run; adds nothing when it is shorter than a window.</summary>
    internal void Add(ReadOnlySpan<double> run)
    {
        int windows = 0;
        for (int first = 0; first + _plan.Length <= run.Length; first += _plan.Step)
        {
            if (TryTransform(run.Slice(first, _plan.Length)))
            {
                windows++;
                AddSquares();
                _taker?.Invoke(_window, _squares);
            }
            else
            {
                EndRun(ref windows);
            }

            _window++;
        }

        EndRun(ref windows);
    }

    /// <summary>Forgets all windows, so that the tables serve again.</summary>
    internal void Clear()
    {
        Array.Clear(_sums);
        _windowsPerRun.Clear();
        (WindowCount, _window) = (0, 0);
        foreach (List<double> powers in _bandPowers)
        {
            powers.Clear();
        }
    }

    /// <summary>The mean density; needs a window.</summary>
    internal double[] Density()
    {
        double[] density = new double[_sums.Length];
        FillDensity(density);
        return density;
    }

    /// <summary>The mean density, one value a bin; needs a window.</summary>
    internal void FillDensity(Span<double> density)
    {
        double scale = _plan.OneSidedScale / WindowCount;
        for (int k = 0; k < density.Length; k++)
        {
            density[k] = _sums[k] * scale;
        }

        density[0] /= 2;
        density[^1] /= 2;
    }

    private void EndRun(ref int windows)
    {
        if (windows > 0)
        {
            _windowsPerRun.Add(windows);
            WindowCount += windows;
            windows = 0;
        }
    }

    private bool TryTransform(ReadOnlySpan<double> samples)
    {
        // One NaN or infinity in the window makes the sum one too.
        double sum = Sum(samples);
        if (!double.IsFinite(sum))
        {
            return false;
        }

        Weigh(samples, sum / samples.Length, _plan.Weights, _fft.Samples);
        _fft.Transform();
        return true;
    }

    private static void Weigh(ReadOnlySpan<double> samples, double mean, ReadOnlySpan<double> weights, Span<double> into)
    {
        int n = 0;
        for (; n <= into.Length - Vector256<double>.Count; n += Vector256<double>.Count)
        {
            ((Vector256.Create(samples[n..]) - Vector256.Create(mean)) * Vector256.Create(weights[n..])).CopyTo(into[n..]);
        }

        for (; n < into.Length; n++)
        {
            into[n] = (samples[n] - mean) * weights[n];
        }
    }

    private void AddSquares()
    {
        ReadOnlySpan<double> re = _fft.Re,
            im = _fft.Im;
        Span<double> sums = _sums,
            squares = _squares;
        int vectors = sums.Length & -Vector256<double>.Count;
        for (int k = 0; k < vectors; k += Vector256<double>.Count)
        {
            Vector256<double> a = Vector256.Create(re[k..]),
                b = Vector256.Create(im[k..]),
                square = a * a + b * b;
            square.CopyTo(squares[k..]);
            (Vector256.Create<double>(sums[k..]) + square).CopyTo(sums[k..]);
        }

        for (int k = vectors; k < sums.Length; k++)
        {
            squares[k] = re[k] * re[k] + im[k] * im[k];
            sums[k] += squares[k];
        }

        for (int band = 0; band < _bandWeights.Count; band++)
        {
            _bandPowers[band].Add(Dot(_bandWeights[band], squares) * _plan.OneSidedScale * _plan.ResolutionHz);
        }
    }

    private static double Sum(ReadOnlySpan<double> values)
    {
        Vector256<double> even = default,
            odd = default;
        int n = 0;
        for (; n <= values.Length - 2 * Vector256<double>.Count; n += 2 * Vector256<double>.Count)
        {
            even += Vector256.Create(values[n..]);
            odd += Vector256.Create(values[(n + Vector256<double>.Count)..]);
        }

        double sum = Vector256.Sum(even + odd);
        for (; n < values.Length; n++)
        {
            sum += values[n];
        }

        return sum;
    }

    private static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        Vector256<double> even = default,
            odd = default;
        int n = 0;
        for (; n <= a.Length - 2 * Vector256<double>.Count; n += 2 * Vector256<double>.Count)
        {
            int next = n + Vector256<double>.Count;
            even += Vector256.Create(a[n..]) * Vector256.Create(b[n..]);
            odd += Vector256.Create(a[next..]) * Vector256.Create(b[next..]);
        }

        double sum = Vector256.Sum(even + odd);
        for (; n < a.Length; n++)
        {
            sum += a[n] * b[n];
        }

        return sum;
    }
}
