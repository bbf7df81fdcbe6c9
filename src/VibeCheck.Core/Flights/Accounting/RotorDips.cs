using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>A dip of the spectrum at an order of the rotors, left by a filter that follows them.</summary>
/// <param name="Order">Cycles per revolution.</param>
/// <param name="DepthDb">Depth of the floor at the order below the floor beside it, dB.</param>
public sealed record RotorDip(int Order, double DepthDb);

/// <summary>Looks for dips at the places of lines.</summary>
/// <remarks>The floor is a low quantile of the density over bins and windows, on the axis of frequency over the rotors' own speed, so that
/// lines, which exceed it, do not count. It is calculated in a zone at the order and in one on each side. Healthy rotors raise the zone at
/// the order; a filter that follows them lowers it relative to both sides.</remarks>
internal static class RotorDips
{
    // Zones as ratios to the order; the range between them allows for the width of the filter and the spread of the rotors.
    private const double Inner = 0.012;
    private static readonly double[] s_outer = [0.6, 0.75, 0.9, 1.1, 1.25, 1.4];
    private const double Quantile = 0.25,
        HighestShare = 0.85,
        LowestHz = 12;
    private const int HighestOrder = 3,
        LeastBins = 40;

    internal static IReadOnlyList<RotorDip> Of(ShortSpectra spectra, IReadOnlyList<RotorPath> paths)
    {
        RotorPath[] motors = [.. paths.Where(p => p.MotorId is not null)];
        if (motors.Length == 0)
        {
            return [];
        }

        double low = motors.Min(p => p.MeanHz),
            high = motors.Max(p => p.MeanHz);
        List<RotorDip> dips = [];
        for (int order = 1; order <= HighestOrder; order++)
        {
            if (order * high * s_outer[^1] < HighestShare * spectra.TopHz && order * low * s_outer[0] > LowestHz)
            {
                double depth = Robust.Median(motors.Select(m => Depth(spectra, m, order, low, high)).Where(double.IsFinite));
                if (double.IsFinite(depth))
                {
                    dips.Add(new(order, depth));
                }
            }
        }

        return dips;
    }

    private static double Depth(ShortSpectra spectra, RotorPath path, int order, double low, double high)
    {
        List<double>[] zones =
        [
            [],
            [],
            [],
        ];
        for (int w = 0; w < spectra.Windows; w++)
        {
            double at = order * path.Hz[w];
            Take(zones[0], spectra, w, at * (1 - Inner), at * (1 + Inner));

            // The sides must be outside the orders of all rotors, which a filter also follows.
            double below = at * low / path.MeanHz,
                above = at * high / path.MeanHz;
            Take(zones[1], spectra, w, below * s_outer[1], below * s_outer[2]);
            Take(zones[2], spectra, w, above * s_outer[3], above * s_outer[4]);
        }

        if (zones.Any(z => z.Count < LeastBins))
        {
            return double.NaN;
        }

        double[] floor = [.. zones.Select(z => Robust.Quantile([.. z], Quantile))];
        return 10 * Math.Log10(Math.Min(floor[1], floor[2]) / Math.Max(floor[0], 1e-12));
    }

    private static void Take(List<double> zone, ShortSpectra spectra, int window, double fromHz, double toHz)
    {
        float[] row = spectra.Density[window];
        int first = (int)Math.Round(fromHz / spectra.ResolutionHz),
            last = (int)Math.Round(toHz / spectra.ResolutionHz);
        for (int k = Math.Max(1, first); k <= last && k < row.Length; k++)
        {
            zone.Add(row[k]);
        }
    }
}
