using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Structure;
using static System.FormattableString;

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
        double slowestHz = analysis.Motors.Select(m => m.RpmMean.Value).OfType<double>().Where(rpm => rpm > 0).DefaultIfEmpty(double.NaN).Min() / 60;
        foreach (StructureMode mode in analysis.Resonances)
        {
            double hz = mode.Hz.Value!.Value, damping = mode.DampingRatio.Value!.Value;
            if (mode is { NearestOrder: { } order, Margin: double margin } && Math.Abs(margin) < Near)
            {
                yield return new("resonance-near-order", Severity.Look, order.Motor,
                    Invariant($"Order {order.Order} of {order.Motor} turns close to a resonance of the airframe, which makes much of little."),
                    Invariant($"resonance {Evidence(mode)} on {mode.Channel}; order {order.Order} lies {100 * margin:+0.0;-0.0} % from it"),
                    FlightFindings.Bench + "tap the frame near the IMU and the arm, look for loose screws, cracks and unclamped parts; stiffen what rings, or choose propellers that hover at another speed.");
            }
            else if (hz < SoftBelowOrder1 * slowestHz && damping > SoftDamping)
            {
                yield return new("soft-imu-mount", Severity.Note, null,
                    "A low, well-damped resonance lies below the rotors: the IMU may sit on a soft mount, and then shows less of the rotors than the frame feels. Before and after still compare while the mount stays the same.",
                    Invariant($"resonance {Evidence(mode)} on {mode.Channel}; slowest rotor {slowestHz:0.0} Hz"),
                    FlightFindings.Bench + "press on the IMU or its board and see whether it gives.");
            }
        }
    }

    private static string Evidence(StructureMode mode) => Invariant(
        $"{mode.Hz.Value:0.0} Hz ({mode.Hz.Ci95?.Low:0.0} to {mode.Hz.Ci95?.High:0.0}), damping {100 * mode.DampingRatio.Value:0.0} % of critical");
}
