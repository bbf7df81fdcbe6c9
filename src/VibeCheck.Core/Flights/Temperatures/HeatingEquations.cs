namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>Fit of one time constant.</summary>
/// <param name="Cost">Sum of squares including the prior information, °C².</param>
/// <param name="RiseC">Steady rise, °C.</param>
/// <param name="RiseVarianceFactor">Variance of the rise for a variance of 1 in each cell.</param>
/// <param name="StartC">Rise above ambient at the first reading, °C.</param>
/// <param name="LagTimesRise">Rise times the lag of the telemetry, °C s.</param>
/// <param name="SquaresC2">Sum of squares of the residuals, °C².</param>
internal readonly record struct TauFit(
    double Cost,
    double RiseC,
    double RiseVarianceFactor,
    double StartC,
    double LagTimesRise,
    double SquaresC2
);

/// <summary>Sums of products of the three curves (heat, start, lag) with each other: the left side of the normal equations.</summary>
internal readonly record struct HeatingEquations(double Hh, double Hs, double Hl, double Ss, double Sl, double Ll)
{
    internal static HeatingEquations Of(HeatingCurves c) =>
        new(
            c.Sum(c.Heat, c.Heat),
            c.Sum(c.Heat, c.Start),
            c.Sum(c.Heat, c.Lag),
            c.Sum(c.Start, c.Start),
            c.Sum(c.Start, c.Lag),
            c.Sum(c.Lag, c.Lag)
        );

    /// <summary>Solves for rise, start and lag.</summary>
    /// <param name="right">Sums of the curves' products with the readings.</param>
    /// <param name="ridge">Weight that keeps the lag close to 0.</param>
    internal TauFit Solve(in HeatingSums right, double ridge)
    {
        double ll = Ll + ridge;
        double c00 = Ss * ll - Sl * Sl,
            c01 = Hl * Sl - Hs * ll,
            c02 = Hs * Sl - Hl * Ss;
        double c11 = Hh * ll - Hl * Hl,
            c12 = Hs * Hl - Hh * Sl,
            c22 = Hh * Ss - Hs * Hs;
        double det = Hh * c00 + Hs * c01 + Hl * c02;
        double h = (c00 * right.Heat + c01 * right.Start + c02 * right.Lag) / det;
        double s = (c01 * right.Heat + c11 * right.Start + c12 * right.Lag) / det;
        double l = (c02 * right.Heat + c12 * right.Start + c22 * right.Lag) / det;
        double squares = right.Squares - h * right.Heat - s * right.Start - l * right.Lag - ridge * l * l;
        return new(0, h, c00 / det, s, l, Math.Max(0, squares));
    }
}

/// <summary>Sums of products of the three curves with the readings, and of the readings with themselves: the right side.</summary>
internal readonly record struct HeatingSums(double Heat, double Start, double Lag, double Squares)
{
    internal static HeatingSums Of(HeatingCurves c, ReadOnlySpan<double> y) =>
        new(c.Sum(c.Heat, y), c.Sum(c.Start, y), c.Sum(c.Lag, y), c.Sum(y, y));
}
