namespace VibeCheck.Core.Signals.Orders;

/// <summary>The squared size of one line over the hover.</summary>
internal sealed record LineLevel
{
    /// <summary>Mean over time of the squared rms vector sum, noise taken off, (m/s²)²; may fall below 0 by chance.</summary>
    internal required double Square { get; init; }

    /// <summary>Standard deviation of <see cref="Square"/>.</summary>
    internal required double Deviation { get; init; }

    /// <summary>The part of x, y, z.</summary>
    internal required double[] PerAxis { get; init; }

    /// <summary>Power close beside the line that is neither fitted nor noise, (m/s²)²: of lines whose angle is not quite followed.</summary>
    internal double Unexplained { get; init; }

    /// <summary>The line's part of what the fit explains, noise taken off, (m/s²)²: means little alone, but over a group of lines that can't be
    /// parted it sums to their common square.</summary>
    internal double Explained { get; init; }

    /// <summary>Square in each window.</summary>
    internal required double[] PerWindow { get; init; }

    /// <summary>How much neighbours raise the variance.</summary>
    internal required double Gain { get; init; }

    /// <summary>Window it was taken from, s.</summary>
    internal required double WindowS { get; init; }
}
