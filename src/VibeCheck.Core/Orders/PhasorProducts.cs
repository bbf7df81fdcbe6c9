using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace VibeCheck.Core.Orders;

/// <summary>Products of phasors sample by sample, two to a vector. All spans of a call are of one length.</summary>
internal static class PhasorProducts
{
    /// <summary>weight · conj(a) · b at every sample.</summary>
    internal static void Fill(ReadOnlySpan<double> weights, ReadOnlySpan<Complex> a, ReadOnlySpan<Complex> b, Span<Complex> products)
    {
        ReadOnlySpan<Vector128<double>> w = MemoryMarshal.Cast<double, Vector128<double>>(weights);
        ReadOnlySpan<Vector256<double>> own = Pairs(a)[..w.Length],
            its = Pairs(b)[..w.Length];
        Span<Vector256<double>> to = MemoryMarshal.Cast<Complex, Vector256<double>>(products)[..w.Length];
        for (int v = 0; v < w.Length; v++)
        {
            to[v] = Twice(w[v]) * Conjugated(own[v], its[v]);
        }

        for (int k = 2 * w.Length; k < products.Length; k++)
        {
            products[k] = weights[k] * (Complex.Conjugate(a[k]) * b[k]);
        }
    }

    /// <summary>Sum over the samples of weight · conj(a) · b.</summary>
    internal static Complex Sum(ReadOnlySpan<double> weights, ReadOnlySpan<Complex> a, ReadOnlySpan<Complex> b)
    {
        ReadOnlySpan<Vector128<double>> w = MemoryMarshal.Cast<double, Vector128<double>>(weights);
        ReadOnlySpan<Vector256<double>> own = Pairs(a)[..w.Length],
            its = Pairs(b)[..w.Length];
        Vector256<double> sums = default;
        for (int v = 0; v < w.Length; v++)
        {
            sums += Twice(w[v]) * Conjugated(own[v], its[v]);
        }

        var sum = new Complex(sums[0] + sums[2], sums[1] + sums[3]);
        for (int k = 2 * w.Length; k < weights.Length; k++)
        {
            sum += weights[k] * (Complex.Conjugate(a[k]) * b[k]);
        }

        return sum;
    }

    /// <summary>Subtracts a · b, sample by sample.</summary>
    internal static void Subtract(Span<Complex> samples, ReadOnlySpan<Complex> a, ReadOnlySpan<Complex> b)
    {
        Span<Vector256<double>> rest = MemoryMarshal.Cast<Complex, Vector256<double>>(samples);
        ReadOnlySpan<Vector256<double>> own = Pairs(a)[..rest.Length],
            its = Pairs(b)[..rest.Length];
        for (int v = 0; v < rest.Length; v++)
        {
            Vector256<double> x = own[v],
                y = its[v];
            rest[v] = rest[v] - Reals(x) * y + Imaginaries(x) * Signed(Swapped(y));
        }

        for (int k = 2 * rest.Length; k < samples.Length; k++)
        {
            samples[k] -= a[k] * b[k];
        }
    }

    private static ReadOnlySpan<Vector256<double>> Pairs(ReadOnlySpan<Complex> phasors) =>
        MemoryMarshal.Cast<Complex, Vector256<double>>(phasors);

    // conj(x) y = (xr yr + xi yi) + i (xr yi - xi yr).
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Conjugated(Vector256<double> x, Vector256<double> y) =>
        Reals(x) * y + Imaginaries(x) * Signed(Swapped(y));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Twice(Vector128<double> weights) =>
        Vector256.Shuffle(weights.ToVector256Unsafe(), Vector256.Create(0L, 0, 1, 1));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Reals(Vector256<double> x) => Vector256.Shuffle(x, Vector256.Create(0L, 0, 2, 2));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Imaginaries(Vector256<double> x) => Vector256.Shuffle(x, Vector256.Create(1L, 1, 3, 3));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Swapped(Vector256<double> x) => Vector256.Shuffle(x, Vector256.Create(1L, 0, 3, 2));

    // (re, im) to (re, -im).
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Signed(Vector256<double> x) => x ^ Vector256.Create(0.0, -0.0, 0.0, -0.0);
}
