using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Structure;

/// <summary>Rise of the spectrum's floor towards an order of the rotors from both sides.</summary>
/// <param name="Order">The order.</param>
/// <param name="Hz">The order's mean frequency, Hz.</param>
/// <param name="RiseDb">Level next to the order's lines minus the level further away, mean of the two sides, dB.</param>
/// <remarks>The top of a resonance at the frequency of an order's own lines cannot be seen, but wash and other noise excite it too, and its
/// flanks extend beyond the lines. The slope of the floor itself cancels, because it has opposite signs on the two sides. The floor of a
/// single mode rises from 0.73 and 1.27 of its frequency to 0.93 and 1.07 by 11 dB with light damping, 7 dB at 10 % damping, 4 dB at 20 %
/// (gain of one degree of freedom: S. Rao, Mechanical Vibrations).</remarks>
internal sealed record OrderFlank(int Order, double Hz, double RiseDb)
{
    // Shares of the order's frequency: the bins next to the lines, no further away than Inner, and the bins that a mode at the order
    // amplifies very little.
    private const double NextTo = 0.04,
        Inner = 0.15,
        OuterFrom = 0.22,
        OuterTo = 0.32;

    // If the floor rises by more than this away from the order, there is a resonance next to the order; StructureFinder handles that.
    private const double MostOutwardDb = 2;

    // A bin counts if it is free of lines in at least this share of the windows.
    private const double LeastWindows = 0.25;
    private const int LeastBins = 3;

    /// <summary>The flanks of some orders; none where the lines leave too few bins or the top is next to the lines.</summary>
    /// <param name="spectra">Spectra without the rotors' lines, one for each axis.</param>
    /// <param name="rotorHz">Mean frequency of the rotors, Hz.</param>
    /// <param name="orders">Orders to examine.</param>
    internal static IReadOnlyList<OrderFlank> Of(IReadOnlyList<MaskedSpectrum> spectra, double rotorHz, IEnumerable<int> orders) =>
        spectra.Count == 0 || !(rotorHz > 0) ? [] : [.. orders.Select(k => Of(spectra, k, k * rotorHz)).OfType<OrderFlank>()];

    private static OrderFlank? Of(IReadOnlyList<MaskedSpectrum> spectra, int order, double hz) =>
        Side(spectra, hz, -1) is double below && Side(spectra, hz, 1) is double above ? new(order, hz, (below + above) / 2) : null;

    /// <summary>Rise towards the order on one side, dB; null where the lines cover it or it is higher further away.</summary>
    private static double? Side(IReadOnlyList<MaskedSpectrum> spectra, double hz, int sign)
    {
        MaskedSpectrum first = spectra[0];
        int most = first.Windows.Max();
        double[] levels = new double[first.Density.Length];
        for (int k = 0; k < levels.Length; k++)
        {
            levels[k] = first.Windows[k] >= Math.Max(2, LeastWindows * most) ? spectra.Sum(s => s.Density[k]) : double.NaN;
        }

        double[] Free(double from, double to)
        {
            (double low, double high) = sign < 0 ? (1 - to, 1 - from) : (1 + from, 1 + to);
            int begin = (int)Math.Ceiling(low * hz / first.ResolutionHz),
                end = Math.Min(levels.Length, (int)Math.Floor(high * hz / first.ResolutionHz) + 1);
            return end > begin ? Array.FindAll(levels[begin..end], l => l > 0) : [];
        }

        double[] far = Free(OuterFrom, OuterTo);

        // The lines cover the neighbourhood of the order over the spread of the rotors' speeds.
        for (double from = 0; from + NextTo <= Inner; from += NextTo / 4)
        {
            double[] near = Free(from, from + NextTo),
                next = Free(from + NextTo, from + 2 * NextTo);
            if (near.Length >= LeastBins && next.Length >= LeastBins && far.Length >= LeastBins)
            {
                return Db(next, near) > MostOutwardDb ? null : Db(near, far);
            }
        }

        return null;
    }

    private static double Db(double[] of, double[] over) => 10 * Math.Log10(Robust.Median(of) / Robust.Median(over));
}
