using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Double;

namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>
/// Heating of a winding (or chip) in a case: a slow and a quick first-order part whose rises add up, T - T_ambient = Σ (R_i p filtered with
/// τ_i + start_i decaying with τ_i), with a small lag of the telemetry. It is fitted by the Levenberg-Marquardt method. Prior information
/// is treated as additional observations, so that a record that does not show the quick part gives a wide interval and not an erratic one.
/// </summary>
internal sealed class TwoBodyFit
{
    /// <summary>Prior time constant of the quick part, 10 s, and the standard deviation of its logarithm (common practice: windings follow
    /// their case within about 5 to 20 s).</summary>
    private static readonly double s_logQuickTau = Math.Log(10);
    private const double QuickTauSpread = 0.4;

    /// <summary>Prior share of the quick part in the rise, and its standard deviation (common practice: zero to a little more than a
    /// third).</summary>
    private const double QuickShare = 0.15,
        QuickShareSpread = 0.15;

    /// <summary>Possible difference between winding and case at the first reading, °C.</summary>
    private const double QuickStartSpreadC = 1;

    private const double LeastQuickTauS = 2,
        MostQuickTauS = 40;
    private const double TauStep = 0.02;
    private const double LeastGain = 1e-4;
    private const int MostSteps = 25;
    private const double MostDamping = 1e6;

    private readonly HeatingCells _cells;
    private readonly double _lagSdS;

    internal TwoBodyFit(HeatingCells cells, double lagSdS) => (_cells, _lagSdS) = (cells, lagSdS);

    /// <summary>The unknowns.</summary>
    /// <param name="SlowC">Rise of the slow part, °C.</param>
    /// <param name="QuickC">Rise of the quick part, °C.</param>
    /// <param name="StartC">Start above ambient that decays slowly, °C.</param>
    /// <param name="QuickStartC">Start that decays quickly, °C.</param>
    /// <param name="LagS">Lag of temperature behind load, s.</param>
    /// <param name="LogTau">Logarithm of the slow time constant in s.</param>
    /// <param name="LogQuickTau">Logarithm of the quick one.</param>
    internal readonly record struct Unknowns(
        double SlowC,
        double QuickC,
        double StartC,
        double QuickStartC,
        double LagS,
        double LogTau,
        double LogQuickTau
    )
    {
        internal const int Count = 7;

        internal Unknowns Plus(Vector<double> step) =>
            new(
                SlowC + step[0],
                QuickC + step[1],
                StartC + step[2],
                QuickStartC + step[3],
                LagS + step[4],
                Math.Clamp(LogTau + step[5], Math.Log(HeatingModel.LeastTauS), Math.Log(HeatingModel.MostTauS)),
                Math.Clamp(LogQuickTau + step[6], Math.Log(LeastQuickTauS), Math.Log(MostQuickTauS))
            );
    }

    /// <summary>A fit.</summary>
    /// <param name="Best">The unknowns.</param>
    /// <param name="PredictedC">Rise above ambient in each cell, °C.</param>
    /// <param name="SquaresC2">Sum of squares of the residuals, °C².</param>
    /// <param name="Cost">The same including the prior information, °C².</param>
    /// <param name="Data">Normal matrix of the readings.</param>
    /// <param name="Beforehand">Normal matrix of the prior information.</param>
    internal sealed record Solution(
        Unknowns Best,
        double[] PredictedC,
        double SquaresC2,
        double Cost,
        Matrix<double> Data,
        Matrix<double> Beforehand
    )
    {
        internal double RiseC => Best.SlowC + Best.QuickC;

        /// <summary>Variance of the rise with all other unknowns free, °C².</summary>
        /// <param name="varianceC2">Variance of a cell's value, °C².</param>
        internal double RiseVarianceC2(double varianceC2)
        {
            Matrix<double> covariance = (Data / varianceC2 + Beforehand).Inverse();
            return covariance[0, 0] + 2 * covariance[0, 1] + covariance[1, 1];
        }
    }

    /// <summary>Fits from two starting points around the fit with one body.</summary>
    /// <param name="risesC">One value for each cell, °C above ambient.</param>
    /// <param name="varianceC2">Variance of a cell's value, °C².</param>
    /// <param name="oneBody">The fit of one body to the same values.</param>
    internal Solution Solve(double[] risesC, double varianceC2, HeatingModel.Solution oneBody)
    {
        double riseC = oneBody.RiseC,
            startC = oneBody.BestFit.StartC,
            logTau = Math.Log(oneBody.TauS);
        Solution little = From(new(0.9 * riseC, 0.1 * riseC, startC, 0, 0, logTau + 0.1, Math.Log(8)), risesC, varianceC2, riseC),
            much = From(new(0.75 * riseC, 0.3 * riseC, startC, 0, 0, logTau + 0.4, Math.Log(12)), risesC, varianceC2, riseC);
        return little.Cost <= much.Cost ? little : much;
    }

    /// <summary>Fits from one starting point.</summary>
    /// <param name="start">The starting point.</param>
    /// <param name="risesC">One value for each cell, °C above ambient.</param>
    /// <param name="varianceC2">Variance of a cell's value, °C².</param>
    /// <param name="aboutRiseC">Rise found so far, °C; scales the quick part.</param>
    internal Solution From(Unknowns start, double[] risesC, double varianceC2, double aboutRiseC)
    {
        double scaleC = Math.Max(3, Math.Abs(aboutRiseC)),
            damping = 1e-3;
        Step at = Linearised(start, risesC, varianceC2, scaleC);
        for (int i = 0; i < MostSteps && damping < MostDamping; i++)
        {
            Matrix<double> damped = at.Normal(varianceC2);
            damped.SetDiagonal(damped.Diagonal() * (1 + damping));
            Step next = Linearised(at.At.Plus(damped.Solve(at.Gradient)), risesC, varianceC2, scaleC);
            if (!(next.Cost < at.Cost))
            {
                damping *= 8;
                continue;
            }

            bool isDone = at.Cost - next.Cost < LeastGain * varianceC2;
            (at, damping) = (next, Math.Max(damping / 5, 1e-6));
            if (isDone)
            {
                break;
            }
        }

        return new(at.At, at.PredictedC, at.SquaresC2, at.Cost, at.Data, at.Beforehand);
    }

    private Step Linearised(Unknowns at, double[] risesC, double varianceC2, double scaleC)
    {
        Body slow = Body.Of(_cells, at.LogTau),
            quick = Body.Of(_cells, at.LogQuickTau);
        double[] predicted = new double[risesC.Length];
        var data = new DenseMatrix(Unknowns.Count);
        var gradient = new DenseVector(Unknowns.Count);
        Span<double> slopes = stackalloc double[Unknowns.Count];
        double squares = 0;
        for (int i = 0; i < predicted.Length; i++)
        {
            predicted[i] = Slopes(at, slow, quick, i, slopes);
            if (_cells.Used[i])
            {
                double left = risesC[i] - predicted[i];
                squares += left * left;
                Add(data.Values, gradient.Values, slopes, left);
            }
        }

        Mirror(data);
        (double cost, DenseMatrix beforehand) = Known(at, varianceC2, scaleC, gradient);
        return new(at, predicted, squares, squares + cost, data, beforehand, gradient);
    }

    /// <summary>The rise in a cell, °C, and its derivatives with respect to the unknowns.</summary>
    private static double Slopes(in Unknowns at, Body slow, Body quick, int cell, Span<double> slopes)
    {
        slopes[0] = slow.At.Heat[cell] + at.LagS * slow.At.Lag[cell];
        slopes[1] = quick.At.Heat[cell] + at.LagS * quick.At.Lag[cell];
        slopes[2] = slow.At.Start[cell];
        slopes[3] = quick.At.Start[cell];
        slopes[4] = at.SlowC * slow.At.Lag[cell] + at.QuickC * quick.At.Lag[cell];
        slopes[5] = slow.Slope(cell, at.SlowC, at.StartC);
        slopes[6] = quick.Slope(cell, at.QuickC, at.QuickStartC);
        return at.SlowC * slopes[0] + at.QuickC * slopes[1] + at.StartC * slopes[2] + at.QuickStartC * slopes[3];
    }

    /// <summary>Adds a cell to the lower half of the normal matrix (column by column) and to the gradient.</summary>
    private static void Add(double[] matrix, double[] gradient, ReadOnlySpan<double> slopes, double left)
    {
        for (int column = 0; column < slopes.Length; column++)
        {
            double slope = slopes[column];
            gradient[column] += slope * left;
            for (int row = column; row < slopes.Length; row++)
            {
                matrix[column * slopes.Length + row] += slope * slopes[row];
            }
        }
    }

    private static void Mirror(DenseMatrix matrix)
    {
        for (int column = 0; column < matrix.ColumnCount; column++)
        {
            for (int row = 0; row < column; row++)
            {
                matrix[row, column] = matrix[column, row];
            }
        }
    }

    /// <summary>Cost and normal matrix of the prior information; its part of the gradient is subtracted.</summary>
    private (double Cost, DenseMatrix Normal) Known(in Unknowns at, double varianceC2, double scaleC, DenseVector gradient)
    {
        ReadOnlySpan<(int Of, double Off, double Spread)> known =
        [
            (1, at.QuickC - QuickShare * scaleC, QuickShareSpread * scaleC),
            (3, at.QuickStartC, QuickStartSpreadC),
            (4, at.LagS, _lagSdS),
            (5, at.LogTau - TemperatureFit.LogUsualTau, TemperatureFit.UsualTauSpread),
            (6, at.LogQuickTau - s_logQuickTau, QuickTauSpread),
        ];
        var normal = new DenseMatrix(Unknowns.Count);
        double cost = 0;
        foreach ((int of, double off, double spread) in known)
        {
            double weight = 1 / (spread * spread);
            cost += varianceC2 * weight * off * off;
            normal[of, of] = weight;
            gradient[of] -= varianceC2 * weight * off;
        }

        return (cost, normal);
    }

    /// <summary>The model linearised at a point.</summary>
    private sealed record Step(
        Unknowns At,
        double[] PredictedC,
        double SquaresC2,
        double Cost,
        Matrix<double> Data,
        Matrix<double> Beforehand,
        Vector<double> Gradient
    )
    {
        internal Matrix<double> Normal(double varianceC2) => Data + varianceC2 * Beforehand;
    }

    /// <summary>Curves of a body, of one that is slightly quicker, and of one that is slightly slower.</summary>
    private sealed record Body(HeatingCurves At, HeatingCurves Quicker, HeatingCurves Slower)
    {
        internal static Body Of(HeatingCells cells, double logTau) =>
            new(
                HeatingCurves.Of(cells, Math.Exp(logTau)),
                HeatingCurves.Of(cells, Math.Exp(logTau - TauStep)),
                HeatingCurves.Of(cells, Math.Exp(logTau + TauStep))
            );

        /// <summary>Derivative of the rise in a cell with respect to the logarithm of τ.</summary>
        internal double Slope(int cell, double riseC, double startC) =>
            (riseC * (Slower.Heat[cell] - Quicker.Heat[cell]) + startC * (Slower.Start[cell] - Quicker.Start[cell])) / (2 * TauStep);
    }
}
