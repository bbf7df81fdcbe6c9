using MathNet.Numerics.LinearAlgebra;

namespace VibeCheck.Core.Flights.Structure;

/// <summary>One mode fitted to a spectrum: a resonance over a level floor.</summary>
/// <param name="Hz">Natural frequency, Hz.</param>
/// <param name="DampingRatio">Damping as a share of critical damping.</param>
/// <param name="HzDeviation">Standard deviation of the frequency, Hz.</param>
/// <param name="DampingDeviation">Standard deviation of the damping ratio.</param>
/// <param name="PeakOverFloor">Height of the resonance relative to the floor, as a ratio of powers.</param>
/// <remarks>
/// Density S(f) = p · 4ζ² / ((1 - r²)² + (2ζr)²) + b with r = f/f0: a damped oscillator under broadband force (S. Rao, Mechanical
/// Vibrations). A mean of K windows has a relative scatter of 1/√K, so f0, ζ, p and b are the maximum-likelihood values for such scatter
/// (P. Whittle, 1953), found by Fisher scoring with steps that never reduce the likelihood. The window spreads a hump over its bins; the
/// model is spread in the same way before it is compared.
/// </remarks>
internal sealed record ModeFit(double Hz, double DampingRatio, double HzDeviation, double DampingDeviation, double PeakOverFloor)
{
    private const int Rounds = 60;
    private const int Parameters = 4;

    // Power of a line with a Hann window in its bin and in the adjacent bins.
    private static readonly double[] s_spread = [1.0 / 6, 2.0 / 3, 1.0 / 6];

    /// <summary>Fits a mode close to a frequency; null when the fit does not converge there.</summary>
    /// <param name="spectrum">Masked spectrum.</param>
    /// <param name="nearHz">Frequency of the hump.</param>
    /// <param name="widthHz">Its approximate width at half power.</param>
    internal static ModeFit? Of(MaskedSpectrum spectrum, double nearHz, double widthHz)
    {
        double reach = Math.Max(4 * widthHz, 12 * spectrum.ResolutionHz);
        int[] bins =
        [
            .. Enumerable
                .Range(2, Math.Max(0, spectrum.Density.Length - 4))
                .Where(k => Math.Abs(k * spectrum.ResolutionHz - nearHz) <= reach && spectrum.Windows[k] > 1 && spectrum.Density[k] > 0),
        ];
        return bins.Length < 3 * Parameters ? null : Climb(spectrum, bins, Start(spectrum, bins, nearHz, widthHz), nearHz, reach);
    }

    /// <summary>f0, then the logarithms of ζ, p and b, which keeps these above 0.</summary>
    private static double[] Start(MaskedSpectrum spectrum, int[] bins, double nearHz, double widthHz)
    {
        double highest = bins.Max(k => spectrum.Density[k]),
            lowest = bins.Min(k => spectrum.Density[k]);
        double damping = Math.Clamp(widthHz / (2 * nearHz), 0.003, 0.3);
        return [nearHz, Math.Log(damping), Math.Log(highest), Math.Log(lowest)];
    }

    private static ModeFit? Climb(MaskedSpectrum spectrum, int[] bins, double[] at, double nearHz, double reach)
    {
        double lambda = 1e-2,
            cost = NegativeLogLikelihood(spectrum, bins, at);
        for (int round = 0; round < Rounds; round++)
        {
            (Matrix<double> information, Vector<double> slope) = Score(spectrum, bins, at);
            Matrix<double> damped = information + lambda * Matrix<double>.Build.DenseOfDiagonalVector(information.Diagonal());
            double[] next = (Vector<double>.Build.DenseOfArray(at) + damped.Solve(slope)).ToArray();
            double then = Array.TrueForAll(next, double.IsFinite) && next[0] > 0 ? NegativeLogLikelihood(spectrum, bins, next) : double.NaN;
            if (then <= cost)
            {
                bool settled = cost - then < 1e-9 * Math.Abs(cost);
                (at, cost, lambda) = (next, then, lambda / 5);
                if (settled)
                {
                    break;
                }
            }
            else
            {
                lambda *= 5;
            }
        }

        Matrix<double> covariance = Score(spectrum, bins, at).Information.Inverse();
        double damping = Math.Exp(at[1]);
        ModeFit fit = new(at[0], damping, Math.Sqrt(covariance[0, 0]), damping * Math.Sqrt(covariance[1, 1]), Math.Exp(at[2] - at[3]));
        return Math.Abs(fit.Hz - nearHz) <= reach && double.IsFinite(fit.HzDeviation) && double.IsFinite(fit.DampingDeviation) ? fit : null;
    }

    /// <summary>Negative logarithm of the likelihood, up to a constant.</summary>
    private static double NegativeLogLikelihood(MaskedSpectrum spectrum, int[] bins, double[] at)
    {
        var model = new Model(spectrum.ResolutionHz, at);
        double sum = 0;
        foreach (int k in bins)
        {
            double density = model.At(k);
            sum += Weight(spectrum, k) * (Math.Log(density) + spectrum.Density[k] / density);
        }

        return sum;
    }

    /// <summary>Fisher information and slope of the likelihood. These are sums over all bins, so plain arrays are used.</summary>
    private static (Matrix<double> Information, Vector<double> Slope) Score(MaskedSpectrum spectrum, int[] bins, double[] at)
    {
        double[] information = new double[Parameters * Parameters],
            slope = new double[Parameters];
        var model = new Model(spectrum.ResolutionHz, at);
        Span<double> by = stackalloc double[Parameters];
        foreach (int k in bins)
        {
            double density = model.At(k, by),
                weight = Weight(spectrum, k);
            for (int p = 0; p < Parameters; p++)
            {
                by[p] /= density;
            }

            for (int p = 0; p < Parameters; p++)
            {
                slope[p] += weight * (spectrum.Density[k] / density - 1) * by[p];
                for (int q = 0; q < Parameters; q++)
                {
                    information[p * Parameters + q] += weight * (by[p] * by[q]);
                }
            }
        }

        return (Matrix<double>.Build.Dense(Parameters, Parameters, information), Vector<double>.Build.Dense(slope));
    }

    // Half-overlapped Hann windows are slightly correlated, and adjacent bins more strongly: three of either count as about two.
    private static double Weight(MaskedSpectrum spectrum, int bin) => spectrum.Windows[bin] / 1.5;

    /// <summary>The density for the parameters.</summary>
    private readonly struct Model
    {
        private readonly double _resolutionHz;
        private readonly double _hz;
        private readonly double _damping;
        private readonly double _height;
        private readonly double _floor;

        internal Model(double resolutionHz, double[] at)
        {
            (_resolutionHz, _hz, _damping) = (resolutionHz, at[0], Math.Exp(at[1]));
            (_height, _floor) = (Math.Exp(at[2]) * 4 * _damping * _damping, Math.Exp(at[3]));
        }

        internal double At(int bin)
        {
            double sum = 0;
            for (int j = -1; j <= 1; j++)
            {
                // Three points per bin, because a narrow hump could be between two bins.
                for (int part = -1; part <= 1; part++)
                {
                    double r = Ratio(bin, j, part),
                        stiff = 1 - r * r,
                        loss = 2 * _damping * r;
                    sum += s_spread[j + 1] / 3 / (stiff * stiff + loss * loss);
                }
            }

            return _height * sum + _floor;
        }

        /// <summary>The density, and its derivatives with respect to the four parameters.</summary>
        internal double At(int bin, Span<double> by)
        {
            double sum = 0,
                byHz = 0,
                byDamping = 0;
            for (int j = -1; j <= 1; j++)
            {
                for (int part = -1; part <= 1; part++)
                {
                    double r = Ratio(bin, j, part),
                        stiff = 1 - r * r,
                        loss = 2 * _damping * r,
                        whole = stiff * stiff + loss * loss;
                    double share = s_spread[j + 1] / 3 / whole;
                    sum += share;

                    // d whole = (-4 r stiff + 2 loss 2ζ) dr, dr = -r/f0 df0, and d whole = 2 loss² d ln ζ.
                    byHz += share / whole * r * (4 * _damping * loss - 4 * r * stiff);
                    byDamping -= share / whole * 2 * loss * loss;
                }
            }

            (by[0], by[1], by[2], by[3]) = (_height * byHz / _hz, _height * (2 * sum + byDamping), _height * sum, _floor);
            return _height * sum + _floor;
        }

        /// <summary>Frequency relative to the natural one, at a third of a bin next to a bin next to this one.</summary>
        private double Ratio(int bin, int beside, int third) => (bin + beside + third / 3.0) * _resolutionHz / _hz;
    }
}
