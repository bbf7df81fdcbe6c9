namespace VibeCheck.Core.Orders;

/// <summary>Cholesky factor of a symmetric positive definite band matrix.</summary>
/// <remarks>G. Golub, C. Van Loan, Matrix Computations, 4.3.</remarks>
internal static class BandedCholesky
{
    // A logarithm is taken of so large or small a product: with one more diagonal below 1e200 it stays within range.
    private const double SmallProduct = 1e-100;
    private const double LargeProduct = 1e100;

    /// <summary>Factors in place and solves in place.</summary>
    /// <param name="band">Lower band by rows: entry [row · (bands + 1) + k] stands in column row - bands + k, the last on the diagonal.
    /// Entries left of the first column must be 0. Takes the factor.</param>
    /// <param name="x">Right-hand side; takes the solution.</param>
    /// <param name="bands">Bands below the diagonal.</param>
    /// <returns>Logarithm of the determinant; NaN when the matrix is not positive definite.</returns>
    internal static double FactorAndSolve(double[] band, double[] x, int bands)
    {
        int width = bands + 1,
            size = x.Length;
        // Dividing takes several times as long as multiplying.
        double[] inverse = System.Buffers.ArrayPool<double>.Shared.Rent(size);
        double determinant = 1,
            logDeterminant = 0;
        for (int row = 0; row < size; row++)
        {
            Span<double> own = band.AsSpan(row * width, width);
            int firstColumn = Math.Max(0, row - bands);
            for (int column = firstColumn; column < row; column++)
            {
                // The entries of both rows left of the column; those left of the first column are 0.
                int k = column - row + bands;
                ReadOnlySpan<double> left = own[..k],
                    upper = band.AsSpan(column * width + bands - k, left.Length);
                double sum = own[k];
                for (int i = 0; i < left.Length; i++)
                {
                    sum -= left[i] * upper[i];
                }

                own[k] = sum * inverse[column];
            }

            double diagonal = own[bands];
            for (int k = 0; k < bands; k++)
            {
                diagonal -= own[k] * own[k];
            }

            own[bands] = Math.Sqrt(diagonal);
            inverse[row] = 1 / own[bands];
            determinant *= diagonal;
            if (!(determinant is > SmallProduct and < LargeProduct) || row == size - 1)
            {
                logDeterminant += Math.Log(determinant);
                determinant = 1;
            }

            double value = x[row];
            for (int column = firstColumn; column < row; column++)
            {
                value -= own[column - row + bands] * x[column];
            }

            x[row] = value * inverse[row];
        }

        for (int row = size - 1; row >= 0; row--)
        {
            ReadOnlySpan<double> own = band.AsSpan(row * width, width);
            x[row] *= inverse[row];
            for (int column = Math.Max(0, row - bands); column < row; column++)
            {
                x[column] -= own[column - row + bands] * x[row];
            }
        }

        System.Buffers.ArrayPool<double>.Shared.Return(inverse);
        return logDeterminant;
    }

    /// <summary>Diagonal of the inverse, from the factor.</summary>
    /// <remarks>K. Takahashi, J. Fagan, M. Chin, 8th PICA Conf., 1973: the inverse inside the band needs the inverse inside the band
    /// only.</remarks>
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
                    int low = Math.Min(k, j),
                        high = Math.Max(k, j);
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
