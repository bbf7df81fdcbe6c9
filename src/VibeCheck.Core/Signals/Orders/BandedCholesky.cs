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

    /// <summary>Diagonal of the inverse, from the factor.</summary>
    /// <remarks>K. Takahashi, J. Fagan, M. Chin, 8th PICA Conf., 1973: the inverse inside the band needs the inverse inside the band only.</remarks>
    internal static double[] InverseDiagonal(double[] factor, int size, int bands)
    {
        int width = bands + 1;
        // Row i holds the inverse at columns i to i + bands.
        double[] inverse = System.Buffers.ArrayPool<double>.Shared.Rent(size * width);
        double[] diagonal = new double[size];
        for (int i = size - 1; i >= 0; i--)
        {
            int last = Math.Min(bands, size - 1 - i);
            double pivot = 1 / factor[i * width + bands];
            for (int j = last; j >= 0; j--)
            {
                double sum = 0;
                for (int k = 1; k <= last; k++)
                {
                    int low = Math.Min(k, j), high = Math.Max(k, j);
                    double z = j == 0 ? inverse[i * width + k] : inverse[(i + low) * width + high - low];
                    sum += factor[(i + k) * width + bands - k] * z;
                }

                inverse[i * width + j] = pivot * ((j == 0 ? pivot : 0) - sum);
            }

            diagonal[i] = inverse[i * width];
        }

        System.Buffers.ArrayPool<double>.Shared.Return(inverse);
        return diagonal;
    }
}
