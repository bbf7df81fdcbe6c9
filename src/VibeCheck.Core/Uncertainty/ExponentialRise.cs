namespace VibeCheck.Core.Uncertainty;

/// <summary>y = b1 (1 - exp(-b2 x)) by least squares: a first-order rise from zero.</summary>
/// <param name="Amplitude">b1, where the rise ends.</param>
/// <param name="Rate">b2, one over the time constant.</param>
/// <param name="AmplitudeU">Standard deviation of <paramref name="Amplitude"/>.</param>
/// <param name="RateU">Standard deviation of <paramref name="Rate"/>.</param>
/// <param name="ResidualSquares">Sum of the squared residuals.</param>
/// <param name="DegreesOfFreedom">Points less two.</param>
/// <remarks>b1 is linear once b2 is set, so the fit is a search along one line, which cannot run away as searches by slope do on such
/// data: a grid over four decades of b2, then golden sections around its best.</remarks>
public sealed record ExponentialRise(double Amplitude, double Rate, double AmplitudeU, double RateU, double ResidualSquares, int DegreesOfFreedom)
{
    private const int GridCount = 200;
    private const double GoldenShare = 0.6180339887498949;

    /// <summary>Fits a rise.</summary>
    /// <param name="x">Places above 0, not all alike.</param>
    /// <param name="y">One value a place.</param>
    /// <exception cref="ArgumentException">Lengths differ, or fewer than three points.</exception>
    public static ExponentialRise Fit(double[] x, double[] y)
    {
        ArgumentNullException.ThrowIfNull(x);
        ArgumentNullException.ThrowIfNull(y);
        Require.SameLength(x.Length, y.Length, nameof(y));
        if (x.Length < 3)
        {
            throw new ArgumentException($"must hold three or more points, holds {x.Length}", nameof(x));
        }

        double lowest = Math.Log(0.01 / x.Max()), step = Math.Log(1e4) / GridCount;
        int best = 0;
        for (int i = 1; i <= GridCount; i++)
        {
            best = Squares(x, y, Math.Exp(lowest + i * step)) < Squares(x, y, Math.Exp(lowest + best * step)) ? i : best;
        }

        double logRate = Golden(l => Squares(x, y, Math.Exp(l)), lowest + (best - 1) * step, lowest + (best + 1) * step);
        return Newton(x, y, Math.Exp(logRate));
    }

    private static double Squares(double[] x, double[] y, double rate)
    {
        double amplitude = AmplitudeAt(x, y, rate), sum = 0;
        for (int i = 0; i < x.Length; i++)
        {
            double r = y[i] + amplitude * double.ExpM1(-rate * x[i]);
            sum += r * r;
        }

        return sum;
    }

    private static double AmplitudeAt(double[] x, double[] y, double rate)
    {
        double fy = 0, ff = 0;
        for (int i = 0; i < x.Length; i++)
        {
            double f = -double.ExpM1(-rate * x[i]);
            fy += f * y[i];
            ff += f * f;
        }

        return fy / ff;
    }

    private static double Golden(Func<double, double> cost, double low, double high)
    {
        for (int i = 0; i < 60; i++)
        {
            double third = GoldenShare * (high - low), a = high - third, b = low + third;
            (low, high) = cost(a) < cost(b) ? (low, b) : (a, high);
        }

        return (low + high) / 2;
    }

    /// <summary>A golden search ends where the cost is flat to rounding, half the digits short; Gauss-Newton steps from there give the rest.</summary>
    private static ExponentialRise Newton(double[] x, double[] y, double rate)
    {
        double amplitude = AmplitudeAt(x, y, rate), ff = 0, fg = 0, gg = 0, squares = 0;
        for (int pass = 0; pass < 6; pass++)
        {
            (ff, fg, gg, squares) = (0, 0, 0, 0);
            double fr = 0, gr = 0;
            for (int i = 0; i < x.Length; i++)
            {
                double f = -double.ExpM1(-rate * x[i]), g = amplitude * x[i] * Math.Exp(-rate * x[i]), r = y[i] - amplitude * f;
                ff += f * f;
                fg += f * g;
                gg += g * g;
                fr += f * r;
                gr += g * r;
                squares += r * r;
            }

            double d = ff * gg - fg * fg;
            amplitude += (gg * fr - fg * gr) / d;
            rate += (ff * gr - fg * fr) / d;
        }

        int freedom = x.Length - 2;
        double variance = squares / freedom, det = ff * gg - fg * fg;
        return new(amplitude, rate, Math.Sqrt(variance * gg / det), Math.Sqrt(variance * ff / det), squares, freedom);
    }
}
