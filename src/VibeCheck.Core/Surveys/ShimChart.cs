namespace VibeCheck.Core.Surveys;

/// <summary>Tilt against shim for one distance between bolts.</summary>
/// <remarks>t = s·tan θ: a sine bar's triangle, with the distance between bolt centres as its base.</remarks>
public sealed record ShimChart
{
    private const double MmPerInch = 25.4;

    private static readonly double[] UsualMm = [0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.8];
    private static readonly double[] UsualIn = [0.002, 0.003, 0.004, 0.005, 0.006, 0.008, 0.010, 0.012, 0.016, 0.020];

    private ShimChart(double spanMm) => SpanMm = spanMm;

    /// <summary>Distance between the raised and the bare bolts, mm.</summary>
    public double SpanMm { get; }

    /// <summary>Tilts, degrees, each with the shim that takes it out, mm and inch.</summary>
    public required IReadOnlyList<(double TiltDeg, double ShimMm, double ShimIn)> FromTilt { get; init; }

    /// <summary>Metric shims, mm, each with the tilt that it takes out, degrees.</summary>
    public required IReadOnlyList<(double ShimMm, double TiltDeg)> FromMm { get; init; }

    /// <summary>Inch shims, each with the tilt that it takes out, degrees.</summary>
    public required IReadOnlyList<(double ShimIn, double TiltDeg)> FromInch { get; init; }

    /// <summary>A chart for one distance.</summary>
    /// <param name="spanMm">Distance between bolt centres, mm, above 0.</param>
    /// <exception cref="ArgumentOutOfRangeException">Not above 0, or not finite.</exception>
    public static ShimChart Of(double spanMm)
    {
        Require.Positive(spanMm);
        return new(spanMm)
        {
            FromTilt =
            [
                .. Enumerable.Range(1, 20).Select(i => i / 20.0).Select(deg => (deg, ShimMm(spanMm, deg), ShimMm(spanMm, deg) / MmPerInch)),
            ],
            FromMm = [.. UsualMm.Select(mm => (mm, TiltDeg(spanMm, mm)))],
            FromInch = [.. UsualIn.Select(inch => (inch, TiltDeg(spanMm, inch * MmPerInch)))],
        };
    }

    /// <summary>Shim that takes a tilt out, mm.</summary>
    public static double ShimMm(double spanMm, double tiltDeg) => spanMm * Math.Tan(double.DegreesToRadians(tiltDeg));

    /// <summary>Tilt that a shim takes out, degrees.</summary>
    public static double TiltDeg(double spanMm, double shimMm) => double.RadiansToDegrees(Math.Atan2(shimMm, spanMm));
}
