namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>
/// First-order heating τ dT/dt = T_ambient + R p(t) - T on a grid of time constants. For each τ the rise above ambient is linear in
/// three unknowns: R times the load as the unit feels it, the start above ambient dying away, and R times a small lag of the
/// telemetry (held near 0 by what is known of it).
/// </summary>
internal sealed class HeatingModel
{
    internal const double LeastTauS = 8,
        MostTauS = 900;

    private const int TauCount = 48;

    private readonly HeatingCells _cells;
    private readonly double _lagSdS;
    private readonly Basis[] _bases;

    internal HeatingModel(HeatingCells cells, double lagSdS)
    {
        (_cells, _lagSdS) = (cells, lagSdS);
        _bases = new Basis[TauCount];
        for (int i = 0; i < TauCount; i++)
        {
            _bases[i] = Basis.Of(cells, Math.Exp(LogTau(i)));
        }
    }

    /// <summary>Fit of one τ.</summary>
    internal readonly record struct TauFit(
        double Cost,
        double RiseC,
        double RiseVarianceFactor,
        double StartC,
        double LagTimesRise,
        double SquaresC2
    );

    /// <summary>Best fit over τ with the fits it was chosen from.</summary>
    internal sealed record Solution(TauFit[] Fits, int Best, double TauS, double RiseC)
    {
        internal TauFit BestFit => Fits[Best];
    }

    private static double LogTau(double index) => Math.Log(LeastTauS) + index / (TauCount - 1) * Math.Log(MostTauS / LeastTauS);

    /// <summary>Least squares for every τ, the best kept and refined by a parabola through its neighbours.</summary>
    /// <param name="risesC">One value a cell, °C above ambient.</param>
    /// <param name="varianceC2">Variance of a cell's value, °C²; weighs the two things known beforehand against the data.</param>
    /// <param name="aboutRiseC">Rise found so far, °C; scales the lag.</param>
    internal Solution Solve(ReadOnlySpan<double> risesC, double varianceC2, double aboutRiseC)
    {
        TauFit[] fits = new TauFit[TauCount];
        int best = 0;
        double ridge = varianceC2 / Square(Math.Max(1, Math.Abs(aboutRiseC)) * _lagSdS);
        for (int i = 0; i < TauCount; i++)
        {
            TauFit fit = _bases[i].Fit(risesC, ridge);
            double unusual = (LogTau(i) - TemperatureFit.LogUsualTau) / TemperatureFit.UsualTauSpread;
            fits[i] = fit with { Cost = fit.SquaresC2 + ridge * Square(fit.LagTimesRise) + varianceC2 * unusual * unusual };
            best = fits[i].Cost < fits[best].Cost ? i : best;
        }

        return Refined(fits, best);
    }

    /// <summary>The rises that a solution gives in each cell, °C.</summary>
    internal double[] Predict(Solution solution)
    {
        TauFit fit = solution.BestFit;
        return _bases[solution.Best].Predict(_cells.Used.Length, fit.RiseC, fit.StartC, fit.LagTimesRise);
    }

    private static Solution Refined(TauFit[] fits, int best)
    {
        if (best == 0 || best == fits.Length - 1)
        {
            return new(fits, best, Math.Exp(LogTau(best)), fits[best].RiseC);
        }

        (TauFit left, TauFit mid, TauFit right) = (fits[best - 1], fits[best], fits[best + 1]);
        double bend = left.Cost - 2 * mid.Cost + right.Cost;
        double d = bend > 0 ? Math.Clamp((left.Cost - right.Cost) / (2 * bend), -0.5, 0.5) : 0;
        double riseC = mid.RiseC + d * (right.RiseC - left.RiseC) / 2 + d * d * (left.RiseC - 2 * mid.RiseC + right.RiseC) / 2;
        return new(fits, best, Math.Exp(LogTau(best + d)), riseC);
    }

    private static double Square(double x) => x * x;

    /// <summary>The three curves of one τ at every cell, and the sums of their products over the used ones.</summary>
    private sealed class Basis
    {
        private readonly bool[] _used;
        private readonly double[] _heat,
            _start,
            _lag;
        private double _hh,
            _hs,
            _hl,
            _ss,
            _sl,
            _ll;

        private Basis(bool[] used)
        {
            _used = used;
            (_heat, _start, _lag) = (new double[used.Length], new double[used.Length], new double[used.Length]);
        }

        internal static Basis Of(HeatingCells cells, double tauS)
        {
            Basis basis = new(cells.Used);
            double whole = Math.Exp(-cells.CellS / tauS),
                half = Math.Exp(-cells.CellS / 2 / tauS),
                felt = 0;
            for (int i = 0; i < cells.Used.Length; i++)
            {
                double load = cells.Loads[i];
                basis._heat[i] = felt * half + load * (1 - half);
                basis._start[i] = Math.Exp(-(i + 0.5) * cells.CellS / tauS);
                basis._lag[i] = (load - basis._heat[i]) / tauS;
                felt = felt * whole + load * (1 - whole);
            }

            basis.SumProducts();
            return basis;
        }

        internal TauFit Fit(ReadOnlySpan<double> y, double ridge)
        {
            double hy = 0,
                sy = 0,
                ly = 0,
                yy = 0;
            for (int i = 0; i < y.Length; i++)
            {
                if (_used[i])
                {
                    hy += _heat[i] * y[i];
                    sy += _start[i] * y[i];
                    ly += _lag[i] * y[i];
                    yy += y[i] * y[i];
                }
            }

            double ll = _ll + ridge;
            double c00 = _ss * ll - _sl * _sl,
                c01 = _hl * _sl - _hs * ll,
                c02 = _hs * _sl - _hl * _ss;
            double c11 = _hh * ll - _hl * _hl,
                c12 = _hs * _hl - _hh * _sl,
                c22 = _hh * _ss - _hs * _hs;
            double det = _hh * c00 + _hs * c01 + _hl * c02;
            double h = (c00 * hy + c01 * sy + c02 * ly) / det;
            double s = (c01 * hy + c11 * sy + c12 * ly) / det;
            double l = (c02 * hy + c12 * sy + c22 * ly) / det;
            double squares = yy - h * hy - s * sy - l * ly - ridge * l * l;
            return new(0, h, c00 / det, s, l, Math.Max(0, squares));
        }

        internal double[] Predict(int count, double riseC, double startC, double lag)
        {
            double[] y = new double[count];
            for (int i = 0; i < count; i++)
            {
                y[i] = riseC * _heat[i] + startC * _start[i] + lag * _lag[i];
            }

            return y;
        }

        private void SumProducts()
        {
            for (int i = 0; i < _used.Length; i++)
            {
                if (_used[i])
                {
                    _hh += _heat[i] * _heat[i];
                    _hs += _heat[i] * _start[i];
                    _hl += _heat[i] * _lag[i];
                    _ss += _start[i] * _start[i];
                    _sl += _start[i] * _lag[i];
                    _ll += _lag[i] * _lag[i];
                }
            }
        }
    }
}
