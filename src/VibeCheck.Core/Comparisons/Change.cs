using MathNet.Numerics.Distributions;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>A change from before to after with both sources of uncertainty, dB or °C.</summary>
/// <param name="Value">After minus before, corrected for conditions that did not match.</param>
/// <param name="StandardError">From within the flights, from flight to flight, and from the correction.</param>
/// <param name="WithinError">The part from within the flights alone.</param>
/// <param name="Freedom">Degrees of freedom of Student's t.</param>
internal sealed record Change(double Value, double StandardError, double WithinError, double Freedom)
{
    /// <summary>95 % interval of the mean of one side, including the scatter from flight to flight, dB or °C.</summary>
    internal required Interval Before { get; init; }

    /// <summary>The same for the other side.</summary>
    internal required Interval After { get; init; }

    /// <summary>Two-sided p value for no change.</summary>
    internal double PValue => 2 * StudentT.CDF(0, 1, Freedom, -Math.Abs(Value) / StandardError);

    /// <summary>Smallest change that these flights could detect by themselves, at 95 %.</summary>
    internal double Half95 => StandardError * StudentT.InvCDF(0, 1, Freedom, 0.975);

    internal Estimate ToEstimate() => Estimate.Around(Value, Half95);

    /// <summary>The change of a quantity; null when it is unknown on one side.</summary>
    /// <param name="readings">Before and after.</param>
    /// <param name="scatter">Scatter from flight to flight.</param>
    /// <param name="correction">Added to the difference for conditions that did not match.</param>
    /// <param name="correctionU">Its standard uncertainty; half of the correction when null.</param>
    internal static Change? Of(FlightValues readings, FlightScatter scatter, double correction = 0, double? correctionU = null)
    {
        if (!readings.AreKnown)
        {
            return null;
        }

        double within = Within(readings.Before) + Within(readings.After);
        double between = scatter.Sigma * scatter.Sigma * (1.0 / readings.Before.Count + 1.0 / readings.After.Count);
        double u = correctionU ?? correction / 2,
            variance = within + between + u * u;
        return new(readings.MeanAfter - readings.MeanBefore + correction, Math.Sqrt(variance), Math.Sqrt(within), scatter.Freedom)
        {
            Before = Side(readings.Before, scatter),
            After = Side(readings.After, scatter),
        };
    }

    private static Interval Side(IReadOnlyList<FlightValue> side, FlightScatter scatter) =>
        Interval.Around(
            side.Average(r => r.Value),
            Math.Sqrt(Within(side) + scatter.Sigma * scatter.Sigma / side.Count) * StudentT.InvCDF(0, 1, scatter.Freedom, 0.975)
        );

    private static double Within(IReadOnlyList<FlightValue> side) => side.Sum(r => r.U * r.U) / side.Count / side.Count;
}
