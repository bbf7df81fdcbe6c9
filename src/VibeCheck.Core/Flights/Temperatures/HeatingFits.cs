namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>
/// The two fits of a unit, with one body and with two, and their combination: each is weighted by its likelihood given the readings, with
/// equal prior probability.
/// </summary>
internal sealed record HeatingFits(HeatingModel Model, HeatingModel.Solution One, TwoBodyFit.Solution Two)
{
    internal bool IsTwoLikelier => Two.Cost < One.LeastCost;

    /// <summary>Steady rise of the more likely fit, °C.</summary>
    internal double LikelierRiseC => IsTwoLikelier ? Two.RiseC : One.RiseC;

    /// <summary>Sum of squares of the residuals of the more likely fit, °C².</summary>
    internal double SquaresC2 => IsTwoLikelier ? Two.SquaresC2 : One.BestFit.SquaresC2;

    /// <summary>Time constant of the more likely fit, of the slow body where there are two, s.</summary>
    internal double TauS => IsTwoLikelier ? Math.Exp(Two.Best.LogTau) : One.TauS;

    /// <summary>The rises of the more likely fit in each cell, °C.</summary>
    internal double[] PredictedC() => IsTwoLikelier ? Two.PredictedC : Model.Predict(One);

    /// <summary>Steady rise of both fits combined, °C.</summary>
    /// <param name="varianceC2">Variance of a cell's value, including its correlation with adjacent cells, °C².</param>
    internal double RiseC(double varianceC2)
    {
        double two = WeightOfTwo(varianceC2);
        return (1 - two) * One.RiseC + two * Two.RiseC;
    }

    /// <summary>Its variance: that within each fit, and that between them, °C².</summary>
    /// <param name="varianceC2">As for <see cref="RiseC"/>.</param>
    /// <param name="noiseC2">The part of it that is noise and not rounding, °C².</param>
    internal double RiseVarianceC2(double varianceC2, double noiseC2)
    {
        double two = WeightOfTwo(varianceC2),
            apart = One.RiseC - Two.RiseC;
        return (1 - two) * OneVarianceC2(One, noiseC2) + two * Two.RiseVarianceC2(noiseC2) + two * (1 - two) * apart * apart;
    }

    private double WeightOfTwo(double varianceC2) =>
        1 / (1 + Math.Exp(Math.Clamp((Two.Cost - One.LeastCost) / (2 * varianceC2), -700, 700)));

    /// <summary>Variance of the rise of one body with τ unknown: from the parabola of the cost where τ is well determined, else over all τ,
    /// each weighted by how well it fits. Short flights do not determine τ, and so they do not determine the rise.</summary>
    internal static double OneVarianceC2(HeatingModel.Solution solution, double variance)
    {
        int best = solution.Best;
        if (best > 0 && best < solution.Fits.Length - 1)
        {
            TauFit left = solution.Fits[best - 1],
                right = solution.Fits[best + 1];
            double bend = left.Cost - 2 * solution.BestFit.Cost + right.Cost;
            double indexVariance = bend > 0 ? 2 * variance / bend : double.PositiveInfinity;
            if (indexVariance < 1)
            {
                double slope = (right.RiseC - left.RiseC) / 2;
                return solution.BestFit.RiseVarianceFactor * variance + slope * slope * indexVariance;
            }
        }

        return MixedVariance(solution, variance);
    }

    private static double MixedVariance(HeatingModel.Solution solution, double variance)
    {
        double weights = 0,
            sum = 0;
        double best = solution.BestFit.Cost;
        foreach (TauFit fit in solution.Fits)
        {
            double own = fit.RiseVarianceFactor * variance;
            double weight = Math.Exp(-(fit.Cost - best) / (2 * variance)) * Math.Sqrt(own);
            double off = fit.RiseC - solution.RiseC;
            weights += weight;
            sum += weight * (own + off * off);
        }

        return sum / weights;
    }
}
