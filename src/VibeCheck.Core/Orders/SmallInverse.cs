namespace VibeCheck.Core.Orders;

/// <summary>Inverse of a small symmetric positive definite matrix, without memory of its own.</summary>
internal static class SmallInverse
{
    /// <summary>Inverts by Gauss-Jordan elimination; without pivots, which such a matrix does not need.</summary>
    /// <param name="matrix">By rows; left as it is.</param>
    /// <param name="inverse">Takes the inverse.</param>
    /// <param name="n">Rows.</param>
    internal static void Of(ReadOnlySpan<double> matrix, Span<double> inverse, int n)
    {
        matrix[..(n * n)].CopyTo(inverse);
        for (int k = 0; k < n; k++)
        {
            double pivot = 1 / Math.Max(inverse[k * n + k], 1e-300);
            inverse[k * n + k] = 1;
            for (int c = 0; c < n; c++)
            {
                inverse[k * n + c] *= pivot;
            }

            for (int r = 0; r < n; r++)
            {
                if (r != k)
                {
                    double factor = inverse[r * n + k];
                    inverse[r * n + k] = 0;
                    for (int c = 0; c < n; c++)
                    {
                        inverse[r * n + c] -= factor * inverse[k * n + c];
                    }
                }
            }
        }
    }
}
