using System.Buffers;
using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>Cholesky factor of a Hermitian matrix, for solving and for blocks of its inverse. Real and imaginary parts stand apart, by
/// rows. It rents its buffers from the pool and is not thread-safe.</summary>
/// <remarks>G. Golub, C. Van Loan, Matrix Computations, 4.2.</remarks>
/// <param name="most">Largest size.</param>
internal sealed class HermitianSolver(int most) : IDisposable
{
    private readonly double[] _re = ArrayPool<double>.Shared.Rent(most * most);
    private readonly double[] _im = ArrayPool<double>.Shared.Rent(most * most);
    private readonly double[] _lowRe = ArrayPool<double>.Shared.Rent(most * most);
    private readonly double[] _lowIm = ArrayPool<double>.Shared.Rent(most * most);
    private int _size;

    /// <summary>Factors a matrix; reads the lower triangle only.</summary>
    /// <returns>False when it is not positive definite.</returns>
    internal bool Factor(ReadOnlySpan<double> re, ReadOnlySpan<double> im, int size)
    {
        _size = size;
        for (int i = 0; i < size; i++)
        {
            Span<double> ownRe = _re.AsSpan(i * size, size),
                ownIm = _im.AsSpan(i * size, size);
            for (int j = 0; j <= i; j++)
            {
                (double sumRe, double sumIm) = Dot(ownRe[..j], ownIm[..j], _re.AsSpan(j * size, j), _im.AsSpan(j * size, j));
                sumRe = re[i * size + j] - sumRe;
                sumIm = im[i * size + j] - sumIm;
                if (i != j)
                {
                    double pivot = _re[j * size + j];
                    (ownRe[j], ownIm[j]) = (sumRe / pivot, sumIm / pivot);
                }
                else if (sumRe > 1e-12)
                {
                    (ownRe[i], ownIm[i]) = (Math.Sqrt(sumRe), 0);
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
    internal void Solve(Span<double> re, Span<double> im)
    {
        for (int i = 0; i < _size; i++)
        {
            ReadOnlySpan<double> rowRe = _re.AsSpan(i * _size, i),
                rowIm = _im.AsSpan(i * _size, i);
            double sumRe = re[i],
                sumIm = im[i];
            for (int k = 0; k < i; k++)
            {
                sumRe -= rowRe[k] * re[k] - rowIm[k] * im[k];
                sumIm -= rowRe[k] * im[k] + rowIm[k] * re[k];
            }

            double pivot = _re[i * _size + i];
            (re[i], im[i]) = (sumRe / pivot, sumIm / pivot);
        }

        // Backwards by rows: once x[i] is known, its part is subtracted from all above.
        for (int i = _size - 1; i >= 0; i--)
        {
            double pivot = _re[i * _size + i];
            (re[i], im[i]) = (re[i] / pivot, im[i] / pivot);
            ReadOnlySpan<double> rowRe = _re.AsSpan(i * _size, i),
                rowIm = _im.AsSpan(i * _size, i);
            for (int k = 0; k < i; k++)
            {
                re[k] -= rowRe[k] * re[i] + rowIm[k] * im[i];
                im[k] -= rowRe[k] * im[i] - rowIm[k] * re[i];
            }
        }
    }

    /// <summary>The inverse's blocks on the diagonal, by rows of the whole; what lies between blocks is left alone.</summary>
    /// <param name="offsets">First row of each block, rising from 0, then the size.</param>
    /// <param name="re">Takes the blocks.</param>
    /// <param name="im">Takes the blocks.</param>
    internal void InvertBlocks(ReadOnlySpan<int> offsets, double[] re, double[] im)
    {
        int n = _size;
        for (int r = 0; r < n; r++)
        {
            InvertRow(r);
        }

        // (L L^H)^-1 = L^-H L^-1.
        for (int b = 0; b + 1 < offsets.Length; b++)
        {
            int from = offsets[b],
                to = offsets[b + 1];
            for (int i = from; i < to; i++)
            {
                Span<double> rowRe = re.AsSpan(i * n + from, i + 1 - from),
                    rowIm = im.AsSpan(i * n + from, i + 1 - from);
                rowRe.Clear();
                rowIm.Clear();
                for (int r = i; r < n; r++)
                {
                    ReadOnlySpan<double> lowRe = _lowRe.AsSpan(r * n + from, rowRe.Length);
                    ReadOnlySpan<double> lowIm = _lowIm.AsSpan(r * n + from, rowRe.Length);
                    AddScaled(_lowRe[r * n + i], -_lowIm[r * n + i], lowRe, lowIm, rowRe, rowIm);
                }

                for (int j = from; j < i; j++)
                {
                    re[j * n + i] = rowRe[j - from];
                    im[j * n + i] = -rowIm[j - from];
                }
            }
        }
    }

    public void Dispose()
    {
        ArrayPool<double>.Shared.Return(_re);
        ArrayPool<double>.Shared.Return(_im);
        ArrayPool<double>.Shared.Return(_lowRe);
        ArrayPool<double>.Shared.Return(_lowIm);
    }

    /// <summary>One row of the factor's inverse from those above it.</summary>
    private void InvertRow(int r)
    {
        int n = _size;
        double pivot = 1 / _re[r * n + r];
        Span<double> rowRe = _lowRe.AsSpan(r * n, r + 1),
            rowIm = _lowIm.AsSpan(r * n, r + 1);
        rowRe.Clear();
        rowIm.Clear();
        for (int k = 0; k < r; k++)
        {
            ReadOnlySpan<double> lowRe = _lowRe.AsSpan(k * n, k + 1),
                lowIm = _lowIm.AsSpan(k * n, k + 1);
            AddScaled(-pivot * _re[r * n + k], -pivot * _im[r * n + k], lowRe, lowIm, rowRe[..(k + 1)], rowIm[..(k + 1)]);
        }

        rowRe[r] = pivot;
    }

    /// <summary>Sum of a · conj(b).</summary>
    private static (double Re, double Im) Dot(
        ReadOnlySpan<double> aRe,
        ReadOnlySpan<double> aIm,
        ReadOnlySpan<double> bRe,
        ReadOnlySpan<double> bIm
    )
    {
        double re = 0,
            im = 0;
        int k = 0,
            lanes = Vector<double>.Count;
        if (aRe.Length >= 2 * lanes)
        {
            Vector<double> sumRe = default,
                sumIm = default;
            for (; k <= aRe.Length - lanes; k += lanes)
            {
                Vector<double> ar = new(aRe[k..]),
                    ai = new(aIm[k..]),
                    br = new(bRe[k..]),
                    bi = new(bIm[k..]);
                sumRe += ar * br + ai * bi;
                sumIm += ai * br - ar * bi;
            }

            (re, im) = (Vector.Sum(sumRe), Vector.Sum(sumIm));
        }

        for (; k < aRe.Length; k++)
        {
            re += aRe[k] * bRe[k] + aIm[k] * bIm[k];
            im += aIm[k] * bRe[k] - aRe[k] * bIm[k];
        }

        return (re, im);
    }

    /// <summary>to += s · x.</summary>
    private static void AddScaled(
        double sRe,
        double sIm,
        ReadOnlySpan<double> xRe,
        ReadOnlySpan<double> xIm,
        Span<double> toRe,
        Span<double> toIm
    )
    {
        int k = 0,
            lanes = Vector<double>.Count;
        Vector<double> scaleRe = new(sRe),
            scaleIm = new(sIm);
        for (; k <= xRe.Length - lanes; k += lanes)
        {
            Vector<double> xr = new(xRe[k..]),
                xi = new(xIm[k..]);
            (new Vector<double>(toRe[k..]) + scaleRe * xr - scaleIm * xi).CopyTo(toRe[k..]);
            (new Vector<double>(toIm[k..]) + scaleRe * xi + scaleIm * xr).CopyTo(toIm[k..]);
        }

        for (; k < xRe.Length; k++)
        {
            toRe[k] += sRe * xRe[k] - sIm * xIm[k];
            toIm[k] += sRe * xIm[k] + sIm * xRe[k];
        }
    }
}
