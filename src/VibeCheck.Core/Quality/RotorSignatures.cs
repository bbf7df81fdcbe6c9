using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Quality;

/// <summary>Sizes of each motor's higher orders before and after. They identify a rotor even after work on its mount.</summary>
/// <remarks>Order 1 is left out, because balancing and shims are meant to change it.</remarks>
internal sealed class RotorSignatures
{
    private const double MostHalf95Db = 2;

    // A motor's orders match those of another motor before: they differ by less than this, and by less than a share of the difference from
    // its own. Between similar flights they scatter by 0.4 dB.
    private const double ExchangedDb = 2,
        FitDb = 1.2,
        FitShare = 0.5;

    private readonly string[] _ids;
    private readonly Dictionary<int, double>[] _before,
        _after;

    /// <param name="before">Flights before.</param>
    /// <param name="after">Flights after.</param>
    internal RotorSignatures(IReadOnlyList<FlightAnalysis> before, IReadOnlyList<FlightAnalysis> after)
    {
        _ids = [.. before[0].Airframe.Motors.Select(m => m.Id)];
        (_before, _after) = (Levels(before), Levels(after));
        ChangesDb = [.. Enumerable.Range(0, _ids.Length).SelectMany(i => Changes(i, i))];
    }

    /// <summary>Change of every higher order that is well known on both sides, dB.</summary>
    internal IReadOnlyList<double> ChangesDb { get; }

    /// <summary>Standard deviation of the changes, from the median distance from their median, dB; null where fewer than three are
    /// known.</summary>
    internal double? SpreadDb => ChangesDb.Count < 3 ? null : Robust.MedianAndMad([.. ChangesDb]).ScaledMad;

    /// <summary>For each motor before, the motor after whose orders match; null where the numbering is unchanged, or no permutation
    /// explains the orders.</summary>
    /// <param name="leastOrders">Number of orders that must be known of every motor: one sometimes matches by chance, two almost
    /// never.</param>
    internal int[]? Renumbered(int leastOrders)
    {
        int n = _ids.Length;
        if (n < 3 || _before.Concat(_after).Any(m => m.Count < leastOrders))
        {
            return null;
        }

        double common = Robust.Median(ChangesDb);
        double[][] apart =
        [
            .. Enumerable.Range(0, n).Select(i => Enumerable.Range(0, n).Select(j => Apart(i, j, common, leastOrders)).ToArray()),
        ];
        int[] best = Renumberings.Of(n).MinBy(order => order.Select((to, i) => apart[i][to]).Sum())!;
        int[] moved = [.. Enumerable.Range(0, n).Where(i => best[i] != i)];
        return moved.Length > 0 && moved.All(i => apart[i][i] > ExchangedDb && apart[i][best[i]] < Math.Min(FitDb, FitShare * apart[i][i]))
            ? best
            : null;
    }

    /// <summary>Mean distance between a motor's orders after and those of a motor before, dB.</summary>
    private double Apart(int before, int after, double common, int leastOrders)
    {
        double[] changes = [.. Changes(before, after)];
        return changes.Length < leastOrders ? double.PositiveInfinity : changes.Average(c => Math.Abs(c - common));
    }

    private IEnumerable<double> Changes(int before, int after) =>
        from a in _before[before]
        join b in _after[after] on a.Key equals b.Key
        select b.Value - a.Value;

    /// <summary>Levels by order of each motor, dB, mean over the flights.</summary>
    private Dictionary<int, double>[] Levels(IReadOnlyList<FlightAnalysis> side) =>
        [
            .. _ids.Select(id =>
                side.SelectMany(f => f.Motors.Where(m => m.Id == id).SelectMany(m => m.Orders).Where(IsSharp))
                    .GroupBy(o => o.Order, o => 20 * Math.Log10(o.RmsMps2.Value!.Value))
                    .ToDictionary(g => g.Key, g => g.Average())
            ),
        ];

    private static bool IsSharp(OrderLevel order) =>
        order is { Order: > 1, FoldedFromHz: null, RmsMps2: { Value: > 0 and double value, Ci95: Interval ci } }
        && 20 * Math.Log10(ci.High / value) < MostHalf95Db;
}
