using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Structure;

namespace VibeCheck.Core.Findings;

/// <summary>Resonances that matter: near an order of the hover, or so low and so damped that the IMU's mount may be soft.</summary>
internal static class StructureFindings
{
    // Within a tenth an order is amplified at least fivefold by a lightly damped resonance (1 / (1 - r²) at r = 0.9).
    private const double Near = 0.1;
    private const double SoftBelowOrder1 = 0.7;
    private const double SoftDamping = 0.05;

    internal static IEnumerable<Finding> Of(FlightAnalysis analysis)
    {
        double slowestHz =
            analysis.Motors.Select(m => m.RpmMean.Value).OfType<double>().Where(rpm => rpm > 0).DefaultIfEmpty(double.NaN).Min() / 60;
        foreach (StructureMode mode in analysis.Resonances)
        {
            double hz = mode.Hz.Value!.Value,
                damping = mode.DampingRatio.Value!.Value;
            if (mode is { NearestOrder: { } order, Margin: double margin } && Math.Abs(margin) < Near)
            {
                yield return new(
                    "resonance-near-order",
                    Severity.Look,
                    order.Motor,
                    new OrderNearResonance(order.Motor, order.Order, Seen(mode), margin)
                );
            }
            else if (hz < SoftBelowOrder1 * slowestHz && damping > SoftDamping)
            {
                yield return new("soft-imu-mount", Severity.Note, null, new DampedResonanceBelowRotors(Seen(mode), slowestHz));
            }
        }
    }

    private static ResonanceSeen Seen(StructureMode mode) =>
        new(mode.Channel, mode.Hz.Value!.Value, mode.Hz.Ci95, mode.DampingRatio.Value!.Value);
}
