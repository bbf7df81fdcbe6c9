using VibeCheck.Core.Airframes;

namespace VibeCheck.Core.Surveys;

/// <summary>One way to stack pieces under a bolt.</summary>
/// <param name="PiecesMm">Thicknesses, the thickest first, mm.</param>
/// <param name="Counts">Pieces of each thickness of the kit; empty where the kit is endless.</param>
/// <param name="HeightMm">Height, mm.</param>
internal sealed record ShimStack(IReadOnlyList<double> PiecesMm, int[] Counts, double HeightMm)
{
    // Up to here every stack is listed. 100 thicknesses stacked by five make 96 million.
    private const int MostListed = 20_000;

    // Heights of a larger kit that differ by less are taken for one: 0.001 mm over a mount of 12 mm is 0.005°.
    private const double StepMm = 0.001;

    internal static IComparer<ShimStack> ByHeight { get; } = Comparer<ShimStack>.Create((a, b) => a.HeightMm.CompareTo(b.HeightMm));

    /// <summary>Every stack the kit allows, none first, by height; where the kit is endless, or too large to list, only the fewest pieces
    /// for a height.</summary>
    /// <param name="kit">The kit.</param>
    /// <param name="left">Pieces left of each thickness; null for endless.</param>
    /// <param name="riseMm">Difference in height between the highest and the lowest bolt of the ideal plane, mm.</param>
    internal static ShimStack[] AllOf(ShimKit kit, int[]? left, double riseMm)
    {
        if (Combinations(kit) > MostListed)
        {
            return FewestPieces(kit, left, riseMm);
        }

        var all = new List<ShimStack>();
        Add(0, []);
        IEnumerable<ShimStack> kept = left is not null
            ? all
            : all.GroupBy(s => Math.Round(s.HeightMm, 6)).Select(g => g.MinBy(s => s.PiecesMm.Count)!);
        return [.. kept.OrderBy(s => s.HeightMm).ThenBy(s => s.PiecesMm.Count)];

        void Add(int from, List<int> taken)
        {
            all.Add(Of(kit, taken));
            for (int i = from; i < kit.ThicknessesMm.Count && taken.Count < kit.MaxStack; i++)
            {
                if (left is null || taken.Count(t => t == i) < left[i])
                {
                    Add(i, [.. taken, i]);
                }
            }
        }
    }

    private static double Combinations(ShimKit kit)
    {
        double ways = 1;
        for (int i = 1; i <= kit.MaxStack; i++)
        {
            ways *= (double)(kit.ThicknessesMm.Count + i) / i;
        }

        return ways;
    }

    /// <summary>The fewest pieces for every height, in steps, up to one thickest piece above what the plane rises: breadth first, each
    /// height once.</summary>
    private static ShimStack[] FewestPieces(ShimKit kit, int[]? left, double riseMm)
    {
        int[] steps = [.. kit.ThicknessesMm.Select(t => Math.Max(1, (int)Math.Round(t / StepMm)))];
        int[] last = new int[(int)Math.Ceiling(riseMm / StepMm) + steps.Max() + 1];
        Array.Fill(last, -1);
        List<int> reached = [0],
            found = [0];
        for (int piece = 0; piece < kit.MaxStack; piece++)
        {
            var next = new List<int>();
            foreach (int height in found)
            {
                for (int t = 0; t < steps.Length; t++)
                {
                    int above = height + steps[t];
                    if (above < last.Length && last[above] < 0 && (left is null || PiecesOf(height).Count(i => i == t) < left[t]))
                    {
                        last[above] = t;
                        next.Add(above);
                    }
                }
            }

            reached.AddRange(next);
            found = next;
        }

        return [.. reached.Select(h => Of(kit, [.. PiecesOf(h)])).OrderBy(s => s.HeightMm).ThenBy(s => s.PiecesMm.Count)];

        IEnumerable<int> PiecesOf(int height)
        {
            for (int h = height; h > 0; h -= steps[last[h]])
            {
                yield return last[h];
            }
        }
    }

    private static ShimStack Of(ShimKit kit, List<int> taken)
    {
        int[] counts = new int[kit.ThicknessesMm.Count];
        taken.ForEach(i => counts[i]++);
        return new([.. taken.Select(i => kit.ThicknessesMm[i]).OrderDescending()], counts, taken.Sum(i => kit.ThicknessesMm[i]));
    }
}
