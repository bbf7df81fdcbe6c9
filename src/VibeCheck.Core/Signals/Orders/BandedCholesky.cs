namespace VibeCheck.Core.Signals.Orders;

/// <summary>Cholesky factor of a symmetric positive definite band matrix.</summary>
/// <remarks>G. Golub, C. Van Loan, Matrix Computations, 4.3.</remarks>
internal static class BandedCholesky
{
    /// <summary>Factors in place and solves in place.</summary>
    /// <param name="band">Lower band by rows: entry [row · (bands + 1) + k] stands in column row - bands + k, the last on the diagonal.
    /// Entries left of the first column must be 0. Takes the factor.</param>
    /// <param name="x">Right-hand side; takes the solution.</param>
    /// <param name="bands">Bands below the diagonal.</param>
    /// <returns>Logarithm of the determinant; NaN when the matrix is not positive definite.</returns>
    internal static double FactorAndSolve(double[] band, double[] x, int bands)
    {
        int width = bands + 1, size = x.Length;
        double logDeterminant = 0;
        for (int row = 0; row < size; row++)
        {
            Span<double> own = band.AsSpan(row * width, width);
            int firstColumn = Math.Max(0, row - bands);
            for (int column = firstColumn; column < row; column++)
            {
                ReadOnlySpan<double> upper = band.AsSpan(column * width, width);
                int k = column - row + bands;
                double sum = own[k];
                int from = Math.Max(0, column - bands), start = Math.Max(from, firstColumn);
                int a = start - row + bands, b = start - column + bands;
                for (; a < k; a++, b++)
                {
                    sum -= own[a] * upper[b];
                }

                own[k] = sum / upper[bands];
            }

            double diagonal = own[bands];
            for (int k = 0; k < bands; k++)
            {
                diagonal -= own[k] * own[k];
            }

            own[bands] = Math.Sqrt(diagonal);
            logDeterminant += Math.Log(diagonal);
            double value = x[row];
            for (int column = firstColumn; column < row; column++)
            {
                value -= own[column - row + bands] * x[column];
            }

            x[row] = value / own[bands];
        }

        for (int row = size - 1; row >= 0; row--)
        {
            ReadOnlySpan<double> own = band.AsSpan(row * width, width);
            x[row] /= own[bands];
            for (int column = Math.Max(0, row - bands); column < row; column++)
            {
                x[column] -= own[column - row + bands] * x[row];
            }
        }

        return logDeterminant;
    }
}
