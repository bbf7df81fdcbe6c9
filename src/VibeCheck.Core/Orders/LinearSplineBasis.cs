using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Tuning = VibeCheck.Core.Orders.OrderTuning.Envelopes;

namespace VibeCheck.Core.Orders;

/// <summary>Linear B-splines (hat functions) that the envelope of a rotor's lines is made of: one constant, functions of the rotor's
/// speed (where the airframe resonates) and functions of slow time.</summary>
/// <remarks>Entries: the constant, which is 1 everywhere, then the knots of speed, then those of time. At a sample two neighbours of
/// each kind are not 0, and add up to 1: sums over samples with the constant are those over all knots of a kind.</remarks>
internal sealed class LinearSplineBasis
{
    private readonly int[] _first;
    private readonly Vector128<double>[] _shares;

    /// <summary>Instead of a time between knots: the envelope does not depend on time.</summary>
    internal const double NoTime = double.PositiveInfinity;

    /// <param name="hz">Speed of the rotor at each envelope sample.</param>
    /// <param name="envelopeS">Time between envelope samples, s.</param>
    /// <param name="knotS">Time between knots aimed at, s.</param>
    internal LinearSplineBasis(double[] hz, double envelopeS, double knotS)
    {
        double mean = hz.Average();
        double[] speed = Array.ConvertAll(hz, v => mean > 0 ? Math.Clamp(v / mean - 1, -Tuning.MostSpread, Tuning.MostSpread) : 0);
        double[] knots = SpeedKnots(speed);
        (int[] speedAt, double[] speedShare) = Place(speed, knots);
        int times = knotS == NoTime ? 0 : Math.Max(1, (int)Math.Round((hz.Length - 1) * envelopeS / knotS)) + 1;
        double[] timeKnots = [.. Enumerable.Range(0, times).Select(k => k * (hz.Length - 1) * envelopeS / (times - 1))];
        (int[] timeAt, double[] timeShare) = Place([.. Enumerable.Range(0, hz.Length).Select(b => b * envelopeS)], timeKnots);
        SpeedCount = knots.Length;
        TimeCount = times;
        SpeedInverse = Inverse(knots, d => Math.Exp(-0.5 * d * d / (Tuning.CorrelationSpeed * Tuning.CorrelationSpeed)));
        TimeInverse = Inverse(timeKnots, d => Math.Exp(-d / Tuning.CorrelationS));
        Pairs = times == 0 ? 1 : 2;
        _first = GC.AllocateUninitializedArray<int>(hz.Length * Pairs);
        _shares = GC.AllocateUninitializedArray<Vector128<double>>(hz.Length * Pairs);
        for (int b = 0; b < hz.Length; b++)
        {
            Put(b * Pairs, 1 + speedAt[b], speedShare[b]);
            if (times > 0)
            {
                Put(b * Pairs + 1, 1 + SpeedCount + timeAt[b], timeShare[b]);
            }
        }
    }

    private void Put(int at, int knot, double share) => (_first[at], _shares[at]) = (knot, Vector128.Create(1 - share, share));

    internal int SpeedCount { get; }

    internal int TimeCount { get; }

    internal int Count => 1 + SpeedCount + TimeCount;

    /// <summary>Inverse of the knots' correlation, by rows.</summary>
    internal double[] SpeedInverse { get; }

    internal double[] TimeInverse { get; }

    /// <summary>Pairs of knots that are not 0 at a sample: of speed, and of time where there is any.</summary>
    internal int Pairs { get; }

    /// <summary>The first knot of each pair, sample by sample: pair p of sample k is [k · <see cref="Pairs"/> + p].</summary>
    internal ReadOnlySpan<int> First => _first;

    /// <summary>The values of both knots of each pair.</summary>
    internal ReadOnlySpan<Vector128<double>> Shares => _shares;

    /// <summary>Sum over the samples of the products of entries, weighted, by rows.</summary>
    internal double[] Gram(ReadOnlySpan<double> weights)
    {
        double[] gram = new double[Count * Count];
        for (int k = 0; k < weights.Length; k++)
        {
            for (int p = k * Pairs; p < (k + 1) * Pairs; p++)
            {
                Vector128<double> x = weights[k] * _shares[p];
                for (int q = k * Pairs; q < (k + 1) * Pairs; q++)
                {
                    Add(gram.AsSpan(_first[p] * Count + _first[q], 2), x[0] * _shares[q]);
                    Add(gram.AsSpan((_first[p] + 1) * Count + _first[q], 2), x[1] * _shares[q]);
                }
            }
        }

        AddConstants(gram, 0, Count, this, this);
        return gram;
    }

    /// <summary>Adds to two neighbours in a row.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal static void Add(Span<double> to, Vector128<double> values) => (Vector128.Create<double>(to) + values).CopyTo(to);

    /// <summary>The first row and column of a block from its rest: the knots of speed add up to the constant.</summary>
    /// <param name="matrix">By rows of <paramref name="n"/>.</param>
    /// <param name="from">Where the block begins.</param>
    /// <param name="n">Length of the matrix's rows.</param>
    /// <param name="own">What the rows stand for.</param>
    /// <param name="its">What the columns stand for.</param>
    internal static void AddConstants(double[] matrix, int from, int n, LinearSplineBasis own, LinearSplineBasis its)
    {
        for (int r = 1; r <= own.SpeedCount; r++)
        {
            for (int c = 1; c < its.Count; c++)
            {
                matrix[from + c] += matrix[from + r * n + c];
            }
        }

        for (int r = 0; r < own.Count; r++)
        {
            for (int c = 1; c <= its.SpeedCount; c++)
            {
                matrix[from + r * n] += matrix[from + r * n + c];
            }
        }
    }

    private static double[] SpeedKnots(double[] speed)
    {
        double lowest = speed.Min(),
            highest = speed.Max();
        int[] counts = new int[(int)((highest - lowest) / Tuning.CellWidth) + Tuning.FarCells + 1];
        foreach (double value in speed)
        {
            counts[(int)((value - lowest) / Tuning.CellWidth)]++;
        }

        var knots = new List<double> { lowest };
        for (int cell = 0; knots[^1] < highest; )
        {
            int inReach = 0;
            for (int c = cell; c < cell + Tuning.NearCells; c++)
            {
                inReach += counts[c];
            }

            cell += inReach >= Tuning.FewSamples * speed.Length ? Tuning.NearCells : Tuning.FarCells;
            knots.Add(lowest + cell * Tuning.CellWidth);
        }

        if (knots.Count == 1)
        {
            knots.Add(lowest + Tuning.NearCells * Tuning.CellWidth);
        }

        return [.. knots];
    }

    private static (int[] At, double[] Share) Place(double[] x, double[] knots)
    {
        var at = new int[x.Length];
        var share = new double[x.Length];
        if (knots.Length < 2)
        {
            return (at, share);
        }

        int k = 0;
        for (int b = 0; b < x.Length; b++)
        {
            // From where the sample before was: neighbours lie near each other.
            while (k < knots.Length - 2 && x[b] >= knots[k + 1])
            {
                k++;
            }

            while (k > 0 && x[b] < knots[k])
            {
                k--;
            }

            at[b] = k;
            share[b] = (x[b] - knots[k]) / (knots[k + 1] - knots[k]);
        }

        return (at, share);
    }

    private static double[] Inverse(double[] knots, Func<double, double> correlation)
    {
        int n = knots.Length;
        if (n == 0)
        {
            return [];
        }

        var matrix = MathNet.Numerics.LinearAlgebra.Matrix<double>.Build.Dense(
            n,
            n,
            (i, j) => correlation(Math.Abs(knots[i] - knots[j])) + (i == j ? Tuning.CorrelationLoading : 0)
        );
        return matrix.Inverse().ToRowMajorArray();
    }
}
