using VibeCheck.Core.Statistics;

namespace VibeCheck.Logs.Clocks;

/// <summary>A robust straight line through sample index and time stamp: the even clock of one segment.</summary>
/// <param name="PeriodS">Time between samples, s.</param>
/// <param name="StartS">Time of the first sample, s.</param>
/// <param name="BendS">How far the stamps bend away from the line, averaged over parts of the segment, s; 0 in a short segment.</param>
/// <param name="BendRow">Row of the segment, from 0, at which a bent line is best divided; 0 where there is none.</param>
/// <param name="Residuals">Scatter of the stamps about the line, without outliers.</param>
internal readonly record struct ClockLine(double PeriodS, double StartS, double BendS, int BendRow, ResidualSpread Residuals)
{
    private const int MostPoints = 20_000;

    // Least squares in this many passes. Each pass leaves out points that lie more than this many standard deviations from the line. A
    // standard deviation is 1.4826 times the median absolute residual, as for normal residuals.
    private const int Passes = 5;
    private const double OutlierDeviations = 4,
        DeviationPerMedian = 1.4826,
        LeastLimitS = 1e-12;

    // The scatter includes residuals up to this multiple of the limit for outliers.
    private const double SpreadLimits = 2;

    /// <summary>Fits the line.</summary>
    /// <param name="timeS">Stamps of the segment, s; two or more.</param>
    /// <param name="row">Row of the log at which the segment starts.</param>
    /// <param name="holes">Missing samples by row of the log, in rising order; those outside the segment are ignored.</param>
    /// <param name="periodS">Usual time between samples, s; used where the stamps show none.</param>
    internal static ClockLine Fit(ReadOnlySpan<double> timeS, int row, ReadOnlySpan<SampleLoss> holes, double periodS)
    {
        int stride = Math.Max(1, timeS.Length / MostPoints);
        (double[] sample, double[] stampS) = Points(timeS, row, holes, stride);
        double slope = periodS,
            intercept = 0,
            limit = double.PositiveInfinity;
        double[] residuals = new double[sample.Length];
        double[] sizes = new double[sample.Length];
        for (int pass = 0; pass < Passes; pass++)
        {
            (slope, intercept) = LeastSquares(sample, stampS, residuals, limit, slope, intercept);
            for (int i = 0; i < sample.Length; i++)
            {
                residuals[i] = stampS[i] - intercept - slope * sample[i];
                sizes[i] = Math.Abs(residuals[i]);
            }

            limit = Math.Max(OutlierDeviations * DeviationPerMedian * Selection.Take(sizes, sample.Length / 2), LeastLimitS);
        }

        (double bendS, int at) = Bend(residuals);
        return new(
            slope,
            timeS[0] + intercept,
            bendS,
            Math.Min(timeS.Length - 1, at * stride),
            ResidualSpread.Of(residuals, limit * SpreadLimits)
        );
    }

    /// <summary>Sample index and time stamp, s after the first stamp, of every row that the stride selects.</summary>
    private static (double[] Sample, double[] StampS) Points(
        ReadOnlySpan<double> timeS,
        int row,
        ReadOnlySpan<SampleLoss> holes,
        int stride
    )
    {
        int points = (timeS.Length + stride - 1) / stride;
        double[] sample = new double[points],
            stampS = new double[points];
        int missing = 0,
            hole = 0;
        for (int i = 0, p = 0; i < timeS.Length; i++)
        {
            if (i % stride == 0)
            {
                (sample[p], stampS[p]) = (i + missing, timeS[i] - timeS[0]);
                p++;
            }

            while (hole < holes.Length && holes[hole].AfterRow < row + i)
            {
                hole++;
            }

            if (hole < holes.Length && holes[hole].AfterRow == row + i)
            {
                missing += holes[hole].Missing;
            }
        }

        return (sample, stampS);
    }

    /// <summary>Least squares over the points whose last residual is within a limit. Keeps the previous line where there are fewer than
    /// three such points, or where time would not rise.</summary>
    private static (double Slope, double Intercept) LeastSquares(
        double[] x,
        double[] y,
        double[] residuals,
        double limit,
        double slopeBefore,
        double interceptBefore
    )
    {
        double n = 0,
            meanX = 0,
            meanY = 0;
        for (int i = 0; i < x.Length; i++)
        {
            if (Math.Abs(residuals[i]) <= limit)
            {
                n++;
                meanX += x[i];
                meanY += y[i];
            }
        }

        if (n < 3)
        {
            return (slopeBefore, interceptBefore);
        }

        meanX /= n;
        meanY /= n;
        double sxx = 0,
            sxy = 0;
        for (int i = 0; i < x.Length; i++)
        {
            if (Math.Abs(residuals[i]) <= limit)
            {
                double dx = x[i] - meanX;
                sxx += dx * dx;
                sxy += dx * (y[i] - meanY);
            }
        }

        double slope = sxx > 0 ? sxy / sxx : slopeBefore;
        return slope > 0 ? (slope, meanY - slope * meanX) : (slopeBefore, interceptBefore);
    }

    /// <summary>Largest mean of the residuals over one of 20 parts, and the point at which a bent line is best divided; the point is 0
    /// where there is none.</summary>
    private static (double SizeS, int At) Bend(double[] residuals)
    {
        const int Parts = 20;
        if (residuals.Length < 10 * Parts)
        {
            return (0, 0);
        }

        double size = 0;
        int corner = 0;
        for (int part = 0; part < Parts; part++)
        {
            int from = (int)((long)residuals.Length * part / Parts),
                to = (int)((long)residuals.Length * (part + 1) / Parts);
            double mean = 0;
            for (int i = from; i < to; i++)
            {
                mean += residuals[i] / (to - from);
            }

            if (Math.Abs(mean) > size)
            {
                size = Math.Abs(mean);
                corner = part is 0 or Parts - 1 ? corner : (from + to) / 2;
            }
        }

        return corner == 0 ? (size, 0) : (size, LargestNear(residuals, corner, residuals.Length / Parts));
    }

    private static int LargestNear(double[] residuals, int corner, int span)
    {
        int largest = corner;
        for (int i = Math.Max(0, corner - span); i < Math.Min(residuals.Length, corner + span); i++)
        {
            largest = Math.Abs(residuals[i]) > Math.Abs(residuals[largest]) ? i : largest;
        }

        return largest;
    }
}
