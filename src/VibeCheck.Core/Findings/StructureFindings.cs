using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Flights.Structure;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Findings;

/// <summary>Resonances that matter: close to an order of the hover, or so low and so damped that the IMU's mount may be soft.</summary>
internal static class StructureFindings
{
    // Simulated flights without a resonance rarely reach these values.
    private const double LeastLogOdds = 6,
        LeastGain = 3;

    // The rise for a single mode with 14 % damping, which amplifies an order three and a half times (see OrderFlank).
    private const double LeastFlankDb = 5;

    internal static IEnumerable<Observation> Of(FlightAnalysis analysis)
    {
        double slowestHz =
            analysis.Motors.Select(m => m.RpmMean.Value).OfType<double>().Where(rpm => rpm > 0).DefaultIfEmpty(double.NaN).Min() / 60;
        foreach (HiddenResonance hidden in HiddenResonance.Of(analysis))
        {
            if (hidden.LogOdds > LeastLogOdds && hidden.Gain > LeastGain)
            {
                yield return new("resonance-near-order", null, new OrderSizeTellsResonance(hidden), 1, Size(analysis, hidden.Order))
                {
                    Order = hidden.Order,
                };
            }
        }

        if (MountRollOff.Of(analysis.Spectra, slowestHz) is { } mount)
        {
            yield return new(
                "soft-imu-mount",
                null,
                new FallsAboveMount(mount.Hz, mount.RiseDb, mount.FallDb, slowestHz),
                mount.FallDb > MountRollOff.LeastFallDb && mount.RiseDb > MountRollOff.LeastRiseDb ? slowestHz / mount.Hz : 0,
                mount.DampingRatio
            );
        }

        foreach (StructureMode mode in analysis.Resonances)
        {
            if (mode is { NearestOrder: { } order, Margin: double margin })
            {
                yield return new(
                    "resonance-near-order",
                    null,
                    new OrderNearResonance(order.Motor, order.Order, Seen(mode), margin),
                    1 - Math.Abs(margin),
                    Size(analysis, order.Order)
                )
                {
                    Order = order.Order,
                };
            }

            yield return new(
                "soft-imu-mount",
                null,
                new DampedResonanceBelowRotors(Seen(mode), slowestHz),
                slowestHz / mode.Hz.Value!.Value,
                mode.DampingRatio.Value!.Value
            );
        }

        // Where most of the vibration is noise, the hump of the noise itself rises, and the noise is the finding.
        bool isMostlyNoise = analysis.Accounting?.Part(VibrationPartKind.Broadband).Share > 0.5;
        foreach (OrderFlank flank in analysis.OrderFlanks.Where(f => f.RiseDb > LeastFlankDb && !isMostlyNoise))
        {
            yield return new(
                "resonance-near-order",
                null,
                new FloorRisesToOrder(flank.Order, flank.Hz, flank.RiseDb),
                1,
                Size(analysis, flank.Order)
            )
            {
                Order = flank.Order,
            };
        }
    }

    /// <summary>Size of an order, median of the motors, m/s². A resonance that amplifies no order is harmless.</summary>
    private static double Size(FlightAnalysis analysis, int order)
    {
        double[] sizes = [.. analysis.Motors.Select(m => m.Orders.FirstOrDefault(o => o.Order == order)?.RmsMps2.Value).OfType<double>()];
        return sizes.Length == 0 ? 0 : Robust.Median(sizes);
    }

    private static ResonanceSeen Seen(StructureMode mode) =>
        new(mode.Channel, mode.Hz.Value!.Value, mode.Hz.Ci95, mode.DampingRatio.Value!.Value);
}
