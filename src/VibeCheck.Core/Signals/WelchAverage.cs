using System.Runtime.Intrinsics;

namespace VibeCheck.Core.Signals;

/// <summary>Sums squared spectra of windows, run by run, and beside them the power of each window in a few bands.</summary>
/// <remarks>Owns its transform: one thread at a time.</remarks>
internal sealed class WelchAverage
{
    private readonly WelchPlan _plan;
    private readonly RealFft _fft;
    private readonly double[] _sums;
    private readonly IReadOnlyList<double[]> _bandWeights;
    private readonly List<double>[] _bandPowers;
    private readonly List<int> _windowsPerRun = [];

    /// <param name="plan">How to transform.</param>
    /// <param name="bandWeights">For each band the weight of each bin, 0 outside; a band's power is Σ weight · density · resolution.</param>
    internal WelchAverage(WelchPlan plan, IReadOnlyList<double[]> bandWeights)
    {
        _plan = plan;
        _fft = new(plan.Length);
        _sums = new double[plan.Bins];
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
            }
            else
            {
                EndRun(ref windows);
            }
        }

        EndRun(ref windows);
    }

    /// <summary>Forgets all windows, so that the tables serve again.</summary>
    internal void Clear()
    {
        Array.Clear(_sums);
        _windowsPerRun.Clear();
        WindowCount = 0;
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
        double sum = 0;
        foreach (double sample in samples)
        {
            sum += sample;
        }

        // One NaN or infinity in the window makes the sum one too.
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
        ReadOnlySpan<double> re = _fft.Re, im = _fft.Im;
        Span<double> sums = _sums;
        int vectors = sums.Length & -Vector256<double>.Count;
        for (int k = 0; k < vectors; k += Vector256<double>.Count)
        {
            Vector256<double> a = Vector256.Create(re[k..]), b = Vector256.Create(im[k..]);
            (Vector256.Create<double>(sums[k..]) + (a * a + b * b)).CopyTo(sums[k..]);
        }

        for (int k = vectors; k < sums.Length; k++)
        {
            sums[k] += re[k] * re[k] + im[k] * im[k];
        }

        for (int band = 0; band < _bandWeights.Count; band++)
        {
            double power = 0;
            ReadOnlySpan<double> weights = _bandWeights[band];
            for (int k = 0; k < weights.Length; k++)
            {
                power += weights[k] * (re[k] * re[k] + im[k] * im[k]);
            }

            _bandPowers[band].Add(power * _plan.OneSidedScale * _plan.ResolutionHz);
        }
    }
}
