using MathNet.Numerics.LinearAlgebra;
using VibeCheck.Core.Orders;

namespace VibeCheck.Core.Tests.Orders;

/// <summary>Compared with MathNet's factors of the same matrix in dense form.</summary>
public sealed class BandedCholeskyTests
{
    private const int Size = 9,
        Bands = 3,
        Width = Bands + 1;

    [Theory]
    [InlineData(1)]
    [InlineData(1e60)]
    [InlineData(1e-60)]
    public void A_band_matrix_is_solved_like_the_dense_one_however_large_its_numbers(double scale)
    {
        Matrix<double> whole = Whole();
        double[] band = Band(whole * scale),
            x = [.. Enumerable.Range(1, Size).Select(i => scale * i)];

        double logDeterminant = BandedCholesky.FactorAndSolve(band, x, Bands);
        double[] diagonal = BandedCholesky.InverseDiagonal(band, Size, Bands);

        var factor = whole.Cholesky();
        Vector<double> expected = factor.Solve(Vector<double>.Build.Dense(Size, i => i + 1));
        Assert.Equal(factor.DeterminantLn + Size * Math.Log(scale), logDeterminant, tolerance: 1e-9);
        Assert.All(Enumerable.Range(0, Size), i => Assert.Equal(expected[i], x[i], tolerance: 1e-12));
        Assert.All(Enumerable.Range(0, Size), i => Assert.Equal(whole.Inverse()[i, i], diagonal[i] * scale, tolerance: 1e-12));
    }

    [Fact]
    public void A_matrix_that_is_not_positive_definite_has_no_logarithm_of_its_determinant()
    {
        Matrix<double> whole = Whole();
        whole[4, 4] = -1;
        whole[6, 6] = -1;

        Assert.True(double.IsNaN(BandedCholesky.FactorAndSolve(Band(whole), new double[Size], Bands)));
    }

    private static Matrix<double> Whole() =>
        Matrix<double>.Build.Dense(
            Size,
            Size,
            (i, j) =>
                Math.Abs(i - j) switch
                {
                    0 => 4 + 0.5 * i,
                    <= Bands => 1.0 / (1 + i + j),
                    _ => 0,
                }
        );

    private static double[] Band(Matrix<double> whole)
    {
        double[] band = new double[Size * Width];
        for (int row = 0; row < Size; row++)
        {
            for (int column = Math.Max(0, row - Bands); column <= row; column++)
            {
                band[row * Width + column - row + Bands] = whole[row, column];
            }
        }

        return band;
    }
}
