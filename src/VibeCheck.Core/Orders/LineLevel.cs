namespace VibeCheck.Core.Orders;

/// <summary>The squared size of one line over the hover.</summary>
internal sealed record LineLevel
{
    /// <summary>Mean over time of the squared rms vector sum, noise subtracted, (m/s²)²; may fall below 0 by chance.</summary>
    internal required double Square { get; init; }

    /// <summary>Standard deviation of <see cref="Square"/>.</summary>
    internal required double Deviation { get; init; }

    /// <summary>The part of x, y, z.</summary>
    internal required double[] PerAxis { get; init; }

    /// <summary>How many times neighbours raise the variance.</summary>
    internal required double VarianceInflation { get; init; }

    /// <summary>The size over the hover from the sizes in the segments measured.</summary>
    /// <param name="segments">One level a segment.</param>
    /// <param name="shares">Each one's share of the time measured; they add up to 1.</param>
    /// <param name="leftOut">Share of the hover that was not measured.</param>
    /// <remarks>What was not measured may differ from what was, as much as the segments differ among themselves beyond their own
    /// uncertainty: the variance of a mean of a sample from a finite whole (W. Cochran, Sampling Techniques, 1977; from
    /// memory).</remarks>
    internal static LineLevel Over(IReadOnlyList<LineLevel> segments, IReadOnlyList<double> shares, double leftOut)
    {
        double square = 0,
            variance = 0,
            inflation = 0,
            spread = 0,
            own = 0;
        double[] axes = new double[3];
        for (int s = 0; s < segments.Count; s++)
        {
            LineLevel level = segments[s];
            square += shares[s] * level.Square;
            variance += Math.Pow(shares[s] * level.Deviation, 2);
            own += shares[s] * level.Deviation * level.Deviation;
            inflation += shares[s] * level.VarianceInflation;
            for (int axis = 0; axis < axes.Length; axis++)
            {
                axes[axis] += shares[s] * level.PerAxis[axis];
            }
        }

        if (segments.Count > 1 && leftOut > 0)
        {
            spread =
                segments.Zip(shares, (level, share) => share * Math.Pow(level.Square - square, 2)).Sum()
                * segments.Count
                / (segments.Count - 1);
            variance += leftOut * Math.Max(0, spread - own) / segments.Count;
        }

        return new()
        {
            Square = square,
            Deviation = Math.Sqrt(variance),
            PerAxis = axes,
            VarianceInflation = inflation,
        };
    }
}
