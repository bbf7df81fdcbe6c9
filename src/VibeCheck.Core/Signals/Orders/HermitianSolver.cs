using System.Numerics;

namespace VibeCheck.Core.Signals.Orders;

/// <summary>Cholesky factor of a small Hermitian matrix, for solving and for its inverse. Holds its own memory;
/// one thread at a time.</summary>
/// <remarks>G. Golub, C. Van Loan, Matrix Computations, 4.2.</remarks>
internal sealed class HermitianSolver(int most)
{
    private readonly Complex[] _factor = new Complex[most * most];
    private readonly Complex[] _inverseFactor = new Complex[most * most];
    private int _size;

    /// <summary>Factors a matrix given by rows; reads the lower triangle only.</summary>
    /// <returns>False when it is not positive definite.</returns>
    internal bool Factor(ReadOnlySpan<Complex> matrix, int size)
    {
        _size = size;
        for (int i = 0; i < size; i++)
        {
            for (int j = 0; j <= i; j++)
            {
                Complex sum = matrix[i * size + j];
                for (int k = 0; k < j; k++)
                {
                    sum -= _factor[i * size + k] * Complex.Conjugate(_factor[j * size + k]);
                }

                if (i != j)
                {
                    _factor[i * size + j] = sum / _factor[j * size + j].Real;
                }
                else if (sum.Real > 1e-12)
                {
                    _factor[i * size + i] = Math.Sqrt(sum.Real);
                }
                else
                {
                    return false;
                }
            }
        }

        return true;
    }

    /// <summary>Solves in place.</summary>
    internal void Solve(Span<Complex> x)
    {
        for (int i = 0; i < _size; i++)
        {
            Complex sum = x[i];
            for (int k = 0; k < i; k++)
            {
                sum -= _factor[i * _size + k] * x[k];
            }

            x[i] = sum / _factor[i * _size + i].Real;
        }

        for (int i = _size - 1; i >= 0; i--)
        {
            Complex sum = x[i];
            for (int k = i + 1; k < _size; k++)
            {
                sum -= Complex.Conjugate(_factor[k * _size + i]) * x[k];
            }

            x[i] = sum / _factor[i * _size + i].Real;
        }
    }

    /// <summary>The inverse, by rows.</summary>
    internal void Invert(Span<Complex> inverse)
    {
        // (L L^H)^-1 = L^-H L^-1: columns of L^-1 first, then their products.
        Span<Complex> low = _inverseFactor.AsSpan(0, _size * _size);
        for (int i = 0; i < _size; i++)
        {
            for (int r = i; r < _size; r++)
            {
                Complex sum = r == i ? 1 : 0;
                for (int k = i; k < r; k++)
                {
                    sum -= _factor[r * _size + k] * low[k * _size + i];
                }

                low[r * _size + i] = sum / _factor[r * _size + r].Real;
            }
        }

        for (int i = 0; i < _size; i++)
        {
            for (int j = 0; j <= i; j++)
            {
                Complex sum = 0;
                for (int r = i; r < _size; r++)
                {
                    sum += Complex.Conjugate(low[r * _size + i]) * low[r * _size + j];
                }

                inverse[i * _size + j] = sum;
                inverse[j * _size + i] = Complex.Conjugate(sum);
            }
        }
    }
}
