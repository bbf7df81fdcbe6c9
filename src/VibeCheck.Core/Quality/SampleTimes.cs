using VibeCheck.Core.Flights;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether the samples were taken at the times of their time stamps.</summary>
/// <remarks>A sample taken late by d holds x(t) + d·x'(t). So uneven sampling leaves a residual beside the lines that is proportional to
/// the slope of the lines, at the same moment on all channels. No other noise is like that: products of residual and slope of two channels
/// average out. Their mean gives the variance of d, and from it the loss of the lines: a line at angular frequency w keeps exp(-w²d²/2) of
/// its amplitude (A. Balakrishnan, On the problem of time jitter in sampling, IRE Trans. IT-8, 1962; from memory).</remarks>
internal static class SampleTimes
{
    private const double WindowS = 1;
    private const int LeastLength = 256,
        MostLength = 2048,
        MostWindows = 60,
        LeastWindows = 8;

    // Body motion is below this frequency. Lines exceed the median of all bins by this factor, and extend over this many bins to each side
    // (Hann), or as far as their speed varies: a phase that varies also leaves a residual along the slope.
    private const double LeastHz = 15,
        LineOverFloor = 12,
        WanderShare = 0.04;
    private const int LineReach = 3;

    // Channels of the IMU beyond the first three are rates; a channel without noise of its own gives no information.
    private const double LeastResidual = 1e-12;

    // Undamaged simulated flights: up to 3 standard errors, 0.02 dB. Errors that are correlated from sample to sample hide near the lines,
    // and a recorder that interpolates between samples loses the same amount again, so the orders lose up to seven times the visible amount
    // (simulated flights).
    private const double Significant = 5,
        WidenDb = 0.03,
        WithholdDb = 0.1,
        LossPerSeen = 7;

    // Amplitude noise looks similar between channels with different phases, but there the product with the lines themselves is three times
    // as large.
    private const double MostOfAmplitude = 1;

    /// <summary>Mean loss of the lines, dB, and typical error of the sample times, s.</summary>
    internal readonly record struct Unevenness(double DeviationS, double LossDb, double Deviations);

    internal static IEnumerable<QualityIssue> Of(ImuTrack imu, IReadOnlyList<ContiguousSegment> runs, FlightAnalysis analysis)
    {
        bool answered = analysis.RotorVibrationMps2.IsKnown || analysis.Group?.TotalMps2.IsKnown == true;
        if (!answered || Measure(imu, runs) is not { } found || found.Deviations < Significant || found.LossDb < WidenDb)
        {
            yield break;
        }

        bool wrong = found.LossDb > WithholdDb;
        yield return new()
        {
            Cause = new SamplesTakenUnevenly(found.DeviationS, found.LossDb),
            Track = "clock",
            Effect = wrong ? QualityEffect.Withheld : QualityEffect.Widened,
            Affects = Answers.Vibration,
            AddedDb = LossPerSeen * found.LossDb,
        };
    }

    /// <summary>The unevenness of the sample times over some segments; null where they are too short or show no lines.</summary>
    internal static Unevenness? Measure(ImuTrack imu, IReadOnlyList<ContiguousSegment> runs)
    {
        int length = Math.Clamp(
            (int)System.Numerics.BitOperations.RoundUpToPowerOf2((uint)Math.Max(1, 0.75 * WindowS * imu.RateHz)),
            LeastLength,
            MostLength
        );
        double[][] channels =
            imu.RateXRadps is { } x && imu.RateYRadps is { } y && imu.RateZRadps is { } z
                ? [.. imu.Acceleration, x, y, z]
                : [.. imu.Acceleration];
        var window = new SlopeWindow(channels, length, imu.RateHz);
        int step = Math.Max(length / 2, (int)(runs.Sum(r => (long)r.SampleCount) / MostWindows));
        foreach (ContiguousSegment run in runs)
        {
            for (int first = run.FirstSample; first + length <= run.FirstSample + run.SampleCount; first += step)
            {
                window.Add(first);
            }
        }

        return window.Result();
    }

    /// <summary>Splits windows into lines, their slope and the remainder, and sums the products. Owns its buffers.</summary>
    private sealed class SlopeWindow
    {
        private readonly double[][] _channels,
            _rests,
            _lines,
            _slopes;
        private readonly double[] _hann,
            _power,
            _variances,
            _re,
            _im;
        private readonly bool[] _isLine;
        private readonly RealFft _fft;
        private readonly double _binHz,
            _hann4;
        private readonly int _firstBin;
        private readonly List<(double Slope, double Weight, double Amplitude, double AmplitudeWeight)> _windows = [];
        private double _slopePower,
            _linePower;

        internal SlopeWindow(double[][] channels, int length, double rateHz)
        {
            _channels = channels;
            _fft = new(length);
            _hann = Window.Hann.Values(length);
            _hann4 = _hann.Sum(w => w * w * w * w);
            (_rests, _lines, _slopes) = (Buffers(), Buffers(), Buffers());
            (_power, _isLine) = (new double[_fft.Bins], new bool[_fft.Bins]);
            (_re, _im, _variances) = (new double[_fft.Bins], new double[_fft.Bins], new double[channels.Length]);
            _binHz = rateHz / length;
            _firstBin = Math.Max(2, (int)(LeastHz / _binHz));

            double[][] Buffers() => [.. channels.Select(_ => new double[length])];
        }

        internal void Add(int first)
        {
            int n = _channels.Length;
            var spectra = new (double[] Re, double[] Im)[n];
            Array.Clear(_power);
            for (int c = 0; c < n; c++)
            {
                spectra[c] = Spectrum(_channels[c].AsSpan(first, _fft.Length), c);
            }

            double kept = FindLines();
            if (!double.IsFinite(kept) || !Array.TrueForAll(_power, double.IsFinite))
            {
                return;
            }

            for (int c = 0; c < n; c++)
            {
                Part(spectra[c], c);
            }

            Sum(kept);
        }

        private (double[] Re, double[] Im) Spectrum(ReadOnlySpan<double> samples, int channel)
        {
            double mean = System.Numerics.Tensors.TensorPrimitives.Sum(samples) / samples.Length,
                variance = 0;
            for (int i = 0; i < samples.Length; i++)
            {
                double value = samples[i] - mean;
                variance += value * value;
                _fft.Samples[i] = value * _hann[i];
            }

            _fft.Transform();
            _variances[channel] = variance / samples.Length;
            double scale = variance > 0 ? 1 / variance : 0;
            for (int k = _firstBin; k < _power.Length; k++)
            {
                _power[k] += scale * (_fft.Re[k] * _fft.Re[k] + _fft.Im[k] * _fft.Im[k]);
            }

            return (_fft.Re.ToArray(), _fft.Im.ToArray());
        }

        /// <summary>Marks the bins of the lines; returns the share of the remaining bins, NaN without lines.</summary>
        private double FindLines()
        {
            double floor = Robust.Median(_power[_firstBin..]);
            Array.Clear(_isLine);
            for (int k = _firstBin; k < _power.Length; k++)
            {
                if (_power[k] > LineOverFloor * floor)
                {
                    int reach = Math.Max(LineReach, (int)(WanderShare * k)),
                        from = Math.Max(_firstBin, k - reach),
                        to = Math.Min(_power.Length, k + reach + 1);
                    Array.Fill(_isLine, true, from, to - from);
                }
            }

            int lines = _isLine.Count(l => l),
                all = _power.Length;
            return lines == 0 || lines > 0.8 * all ? double.NaN : (double)(all - _firstBin - lines) / all;
        }

        private void Part((double[] Re, double[] Im) of, int channel)
        {
            Back(of, (k, re, im) => !_isLine[k] && k >= _firstBin ? (re, im) : (0, 0), _rests[channel]);
            Back(of, (k, re, im) => _isLine[k] ? (re, im) : (0, 0), _lines[channel]);
            Back(of, (k, re, im) => _isLine[k] ? (-im * Math.Tau * k * _binHz, re * Math.Tau * k * _binHz) : (0, 0), _slopes[channel]);
        }

        private void Back((double[] Re, double[] Im) of, Func<int, double, double, (double Re, double Im)> take, double[] to)
        {
            for (int k = 0; k < _re.Length; k++)
            {
                (_re[k], _im[k]) = take(k, of.Re[k], of.Im[k]);
            }

            _fft.Inverse(_re, _im, to);
        }

        private void Sum(double kept)
        {
            (double Of, double To) slope = (0, 0),
                amplitude = (0, 0);
            double[] scales =
            [
                .. _rests.Select(r => 1 / Math.Max(LeastResidual, System.Numerics.Tensors.TensorPrimitives.SumOfSquares(r))),
            ];
            for (int a = 0; a < _rests.Length; a++)
            {
                for (int b = 0; b < a; b++)
                {
                    (double ofSlope, double toSlope) = Covariance(_rests[a], _rests[b], _slopes[a], _slopes[b]);
                    (double ofLine, double toLine) = Covariance(_rests[a], _rests[b], _lines[a], _lines[b]);
                    double scale = scales[a] * scales[b];
                    slope = (slope.Of + scale * ofSlope, slope.To + scale * kept * toSlope);
                    amplitude = (amplitude.Of + scale * ofLine, amplitude.To + scale * kept * toLine);
                }
            }

            _windows.Add((slope.Of, slope.To, amplitude.Of, amplitude.To));
            for (int c = 0; c < Math.Min(3, _rests.Length); c++)
            {
                _slopePower += System.Numerics.Tensors.TensorPrimitives.SumOfSquares(_slopes[c]);
                _linePower += System.Numerics.Tensors.TensorPrimitives.SumOfSquares(_lines[c]);
            }
        }

        /// <summary>Sums for the regression of the product of two residuals on the product of two slopes, over the samples of a window and
        /// with its weight. The means are subtracted, because noise that two channels share has a product of its own.</summary>
        private (double Of, double To) Covariance(double[] restA, double[] restB, double[] slopeA, double[] slopeB)
        {
            double rests = 0,
                slopes = 0,
                both = 0,
                squares = 0;
            for (int i = 0; i < restA.Length; i++)
            {
                double rest = restA[i] * restB[i],
                    slope = slopeA[i] * slopeB[i],
                    weight = _hann[i] * _hann[i];
                rests += weight * rest;
                slopes += weight * slope;
                both += rest * slope;
                squares += slope * slope;
            }

            return (both - rests * slopes / _hann4, squares - slopes * slopes / _hann4);
        }

        internal Unevenness? Result()
        {
            if (_windows.Count < LeastWindows || _linePower <= 0)
            {
                return null;
            }

            (double variance, double error) = Ratio(_windows.Select(w => (w.Slope, w.Weight)));
            (double ofAmplitude, _) = Ratio(_windows.Select(w => (w.Amplitude, w.AmplitudeWeight)));
            double radians2 = _slopePower / _linePower;
            if (variance <= 0 || error <= 0 || ofAmplitude > MostOfAmplitude * variance * radians2)
            {
                return null;
            }

            // 20 log10(exp(w²d²/2)) = 4.343 w²d².
            return new(Math.Sqrt(variance), 4.3429448190325175 * variance * radians2, variance / error);
        }

        /// <summary>Ratio of two sums over windows, with its standard error (W. Cochran, Sampling Techniques, 6.3: ratio
        /// estimate).</summary>
        private static (double Value, double Error) Ratio(IEnumerable<(double Of, double To)> sums)
        {
            (double Of, double To)[] all = [.. sums];
            double to = all.Sum(w => w.To),
                value = all.Sum(w => w.Of) / to;
            return (value, Math.Sqrt(all.Sum(w => (w.Of - value * w.To) * (w.Of - value * w.To))) / to);
        }
    }
}
