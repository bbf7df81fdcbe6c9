using System.Numerics;
using VibeCheck.Core.Orders;

namespace VibeCheck.Checks;

/// <summary>Linear algebra of the order fits against the definitions: a solution satisfies its equations, and an inverse times its matrix
/// is the identity matrix (Golub and Van Loan, Matrix Computations, 4.2: Cholesky of a positive definite matrix). Complex arithmetic is
/// that of System.Numerics.</summary>
public sealed class SolverChecks
{
    // Sizes beside and beyond those that are summed four and eight at a time.
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    [InlineData(7)]
    [InlineData(8)]
    [InlineData(9)]
    [InlineData(12)]
    [InlineData(13)]
    [InlineData(18)]
    public void A_Hermitian_system_is_solved_and_inverted(int size)
    {
        Complex[,] matrix = PositiveDefinite(size, seed: size);
        (double[] re, double[] im) = Rows(matrix);
        using var solver = new HermitianSolver(size);
        Assert.True(solver.Factor(re, im, size));

        Complex[] right = [.. Enumerable.Range(0, size).Select(k => new Complex(1 + k, 2 - 0.3 * k))];
        double[] xRe = [.. right.Select(v => v.Real)],
            xIm = [.. right.Select(v => v.Imaginary)];
        solver.Solve(xRe, xIm);
        for (int r = 0; r < size; r++)
        {
            Complex sum = Sum(size, c => matrix[r, c] * new Complex(xRe[c], xIm[c]));
            Near(right[r], sum);
        }

        double[] inverseRe = new double[size * size],
            inverseIm = new double[size * size];
        solver.InvertBlocks([0, size], inverseRe, inverseIm);
        for (int r = 0; r < size; r++)
        {
            for (int c = 0; c < size; c++)
            {
                Near(r == c ? 1 : 0, Sum(size, k => matrix[r, k] * new Complex(inverseRe[k * size + c], inverseIm[k * size + c])));
            }
        }
    }

    // One solver for all groups of lines: a larger system before leaves nothing behind, and the upper triangle is not read.
    [Theory]
    [InlineData(5)]
    [InlineData(10)]
    public void A_solver_solves_a_smaller_system_after_a_larger_one_from_its_lower_triangle(int size)
    {
        using var solver = new HermitianSolver(13);
        (double[] re, double[] im) = Rows(PositiveDefinite(13, seed: 2));
        Assert.True(solver.Factor(re, im, 13));
        Complex[,] matrix = PositiveDefinite(size, seed: 3);
        (re, im) = Rows(matrix);
        for (int r = 0; r < size; r++)
        {
            re.AsSpan(r * size + r + 1, size - r - 1).Fill(double.NaN);
            im.AsSpan(r * size + r + 1, size - r - 1).Fill(double.NaN);
        }

        Assert.True(solver.Factor(re, im, size));
        Complex[] right = [.. Enumerable.Range(0, size).Select(k => new Complex(0.5 * k - 1, 3 - k))];
        double[] xRe = [.. right.Select(v => v.Real)],
            xIm = [.. right.Select(v => v.Imaginary)];
        solver.Solve(xRe, xIm);
        for (int r = 0; r < size; r++)
        {
            Near(right[r], Sum(size, c => matrix[r, c] * new Complex(xRe[c], xIm[c])));
        }
    }

    [Fact]
    public void Blocks_of_the_inverse_are_those_of_the_whole()
    {
        const int size = 11;
        (double[] re, double[] im) = Rows(PositiveDefinite(size, seed: 5));
        using var solver = new HermitianSolver(size);
        Assert.True(solver.Factor(re, im, size));
        double[] wholeRe = new double[size * size],
            wholeIm = new double[size * size],
            blocksRe = [.. Enumerable.Repeat(double.NaN, size * size)],
            blocksIm = [.. blocksRe];
        solver.InvertBlocks([0, size], wholeRe, wholeIm);
        solver.InvertBlocks([0, 4, size], blocksRe, blocksIm);
        for (int r = 0; r < size; r++)
        {
            for (int c = 0; c < size; c++)
            {
                int at = r * size + c;
                if (r < 4 == c < 4)
                {
                    Near(new(wholeRe[at], wholeIm[at]), new(blocksRe[at], blocksIm[at]));
                }
                else
                {
                    Assert.Equal((double.NaN, double.NaN), (blocksRe[at], blocksIm[at]));
                }
            }
        }
    }

    // [[1, 2], [2, 1]] has the eigenvalues 3 and -1; [[1, i], [-i, 1]] has 2 and 0.
    [Fact]
    public void A_matrix_that_is_not_positive_definite_is_refused()
    {
        using var solver = new HermitianSolver(2);
        Assert.False(solver.Factor([1, 2, 2, 1], [0, 0, 0, 0], 2));
        Assert.False(solver.Factor([1, 0, 0, 1], [0, 1, -1, 0], 2));
        Assert.True(solver.Factor([1, 0, 0, 1], [0, 0.5, -0.5, 0], 2));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(5)]
    public void A_small_inverse_times_its_matrix_is_the_unit_matrix(int size)
    {
        Complex[,] complex = PositiveDefinite(size, seed: 20 + size);
        double[] matrix = Rows(complex).Re,
            inverse = new double[size * size];
        SmallInverse.Of(matrix, inverse, size);
        for (int r = 0; r < size; r++)
        {
            for (int c = 0; c < size; c++)
            {
                double sum = Enumerable.Range(0, size).Sum(k => matrix[r * size + k] * inverse[k * size + c]);
                Assert.Equal(r == c ? 1 : 0, sum, tolerance: 1e-9);
            }
        }
    }

    /// <summary>A A^H plus the identity matrix: Hermitian, with all eigenvalues at least 1.</summary>
    private static Complex[,] PositiveDefinite(int size, int seed)
    {
        var random = new Random(seed);
        var a = new Complex[size, size];
        for (int r = 0; r < size; r++)
        {
            for (int c = 0; c < size; c++)
            {
                a[r, c] = new(random.NextDouble() - 0.5, random.NextDouble() - 0.5);
            }
        }

        var product = new Complex[size, size];
        for (int r = 0; r < size; r++)
        {
            for (int c = 0; c < size; c++)
            {
                product[r, c] = Sum(size, k => a[r, k] * Complex.Conjugate(a[c, k])) + (r == c ? 1 : 0);
            }
        }

        return product;
    }

    private static (double[] Re, double[] Im) Rows(Complex[,] matrix)
    {
        Complex[] rows = [.. matrix.Cast<Complex>()];
        return (Array.ConvertAll(rows, v => v.Real), Array.ConvertAll(rows, v => v.Imaginary));
    }

    private static Complex Sum(int count, Func<int, Complex> of) =>
        Enumerable.Range(0, count).Aggregate(Complex.Zero, (sum, k) => sum + of(k));

    private static void Near(Complex expected, Complex actual) => Assert.InRange((expected - actual).Magnitude, 0, 1e-9);
}
