namespace VibeCheck.FlightMaker;

/// <summary>A second-order filter section, direct form II transposed.</summary>
/// <remarks>Coefficients by the bilinear transform, as in R. Bristow-Johnson's "Cookbook formulae
/// for audio equalizer biquad filter coefficients".</remarks>
internal sealed class Biquad(double b0, double b1, double b2, double a1, double a2)
{
    private readonly (double B0, double B1, double B2, double A1, double A2) _c = (b0, b1, b2, a1, a2);
    private double _z1,
        _z2;
    private bool _begun;

    /// <param name="share">Corner frequency over the sample rate.</param>
    /// <param name="q">Quality factor.</param>
    internal static Biquad LowPass(double share, double q)
    {
        (double cos, double alpha, double a0) = Design(share, q);
        return new((1 - cos) / 2 / a0, (1 - cos) / a0, (1 - cos) / 2 / a0, -2 * cos / a0, (1 - alpha) / a0);
    }

    internal static Biquad HighPass(double share, double q)
    {
        (double cos, double alpha, double a0) = Design(share, q);
        return new((1 + cos) / 2 / a0, -(1 + cos) / a0, (1 + cos) / 2 / a0, -2 * cos / a0, (1 - alpha) / a0);
    }

    internal static Biquad Notch(double share, double q)
    {
        (double cos, double alpha, double a0) = Design(share, q);
        return new(1 / a0, -2 * cos / a0, 1 / a0, -2 * cos / a0, (1 - alpha) / a0);
    }

    private static (double Cos, double Alpha, double A0) Design(double share, double q)
    {
        double w = 2 * Math.PI * Math.Min(share, 0.49),
            alpha = Math.Sin(w) / (2 * q);
        return (Math.Cos(w), alpha, 1 + alpha);
    }

    /// <summary>A filter with the coefficients of <paramref name="other"/> that keeps the present state.</summary>
    internal Biquad With(Biquad other) =>
        new(other._c.B0, other._c.B1, other._c.B2, other._c.A1, other._c.A2)
        {
            _z1 = _z1,
            _z2 = _z2,
            _begun = _begun,
        };

    internal double Next(double x)
    {
        if (!_begun)
        {
            // Starts in the steady state of a constant input equal to the first value.
            _begun = true;
            double gain = (_c.B0 + _c.B1 + _c.B2) / (1 + _c.A1 + _c.A2);
            _z2 = (_c.B2 - _c.A2 * gain) * x;
            _z1 = (_c.B1 - _c.A1 * gain) * x + _z2;
        }

        double y = _c.B0 * x + _z1;
        _z1 = _c.B1 * x - _c.A1 * y + _z2;
        _z2 = _c.B2 * x - _c.A2 * y;
        return y;
    }

    internal double[] Run(double[] x) => [.. x.Select(Next)];
}
