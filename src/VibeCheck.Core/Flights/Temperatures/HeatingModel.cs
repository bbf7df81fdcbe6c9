namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>
/// First-order heating of one body, τ dT/dt = T_ambient + R p(t) - T, on a grid of time constants. For each τ the rise above ambient is
/// linear in three unknowns: R times the response of the unit to the load, the start above ambient with its decay, and R times a small lag
/// of the telemetry (kept close to 0 by prior information).
/// </summary>
internal sealed class HeatingModel
{
    internal const double LeastTauS = 8,
        MostTauS = 900;

    private const int TauCount = 48;

    private readonly HeatingCells _cells;
    private readonly double _lagSdS;
    private readonly HeatingCurves[] _curves = new HeatingCurves[TauCount];
    private readonly HeatingEquations[] _equations;

    internal HeatingModel(HeatingCells cells, double lagSdS)
    {
        (_cells, _lagSdS) = (cells, lagSdS);
        for (int i = 0; i < TauCount; i++)
        {
            _curves[i] = HeatingCurves.Of(cells, Math.Exp(LogTau(i)));
        }

        _equations = Array.ConvertAll(_curves, HeatingEquations.Of);
    }

    /// <summary>Best fit over τ with the fits from which it was chosen.</summary>
    /// <param name="Fits">Fit for each τ of the grid.</param>
    /// <param name="Best">Index of the best.</param>
    /// <param name="TauS">Best τ between those of the grid, s.</param>
    /// <param name="RiseC">Steady rise there, °C.</param>
    /// <param name="LeastCost">Cost there, °C².</param>
    internal sealed record Solution(TauFit[] Fits, int Best, double TauS, double RiseC, double LeastCost)
    {
        internal TauFit BestFit => Fits[Best];
    }

    private static double LogTau(double index) => Math.Log(LeastTauS) + index / (TauCount - 1) * Math.Log(MostTauS / LeastTauS);

    /// <summary>Least squares for every τ; the best one is refined by a parabola through the adjacent ones.</summary>
    /// <param name="risesC">One value for each cell, °C above ambient.</param>
    /// <param name="varianceC2">Variance of a cell's value, °C²; weights the prior information against the data.</param>
    /// <param name="aboutRiseC">Rise found so far, °C; scales the lag.</param>
    internal Solution Solve(ReadOnlySpan<double> risesC, double varianceC2, double aboutRiseC)
    {
        TauFit[] fits = new TauFit[TauCount];
        int best = 0;
        double ridge = varianceC2 / Square(Math.Max(1, Math.Abs(aboutRiseC)) * _lagSdS);
        for (int i = 0; i < TauCount; i++)
        {
            TauFit fit = _equations[i].Solve(HeatingSums.Of(_curves[i], risesC), ridge);
            double unusual = (LogTau(i) - TemperatureFit.LogUsualTau) / TemperatureFit.UsualTauSpread;
            fits[i] = fit with { Cost = fit.SquaresC2 + ridge * Square(fit.LagTimesRise) + varianceC2 * unusual * unusual };
            best = fits[i].Cost < fits[best].Cost ? i : best;
        }

        return Refined(fits, best);
    }

    /// <summary>The rises of a solution in each cell, °C.</summary>
    internal double[] Predict(Solution solution)
    {
        TauFit fit = solution.BestFit;
        HeatingCurves curves = _curves[solution.Best];
        double[] y = new double[_cells.Used.Length];
        for (int i = 0; i < y.Length; i++)
        {
            y[i] = fit.RiseC * curves.Heat[i] + fit.StartC * curves.Start[i] + fit.LagTimesRise * curves.Lag[i];
        }

        return y;
    }

    private static Solution Refined(TauFit[] fits, int best)
    {
        if (best == 0 || best == fits.Length - 1)
        {
            return new(fits, best, Math.Exp(LogTau(best)), fits[best].RiseC, fits[best].Cost);
        }

        (TauFit left, TauFit mid, TauFit right) = (fits[best - 1], fits[best], fits[best + 1]);
        double bend = left.Cost - 2 * mid.Cost + right.Cost;
        double d = bend > 0 ? Math.Clamp((left.Cost - right.Cost) / (2 * bend), -0.5, 0.5) : 0;
        double riseC = mid.RiseC + d * (right.RiseC - left.RiseC) / 2 + d * d * (left.RiseC - 2 * mid.RiseC + right.RiseC) / 2;
        double cost = mid.Cost - d * (left.Cost - right.Cost) / 2 + d * d * bend / 2;
        return new(fits, best, Math.Exp(LogTau(best + d)), riseC, cost);
    }

    private static double Square(double x) => x * x;
}
