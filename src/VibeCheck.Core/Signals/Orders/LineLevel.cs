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

    /// <summary>How much neighbours raise the variance.</summary>
    internal required double Gain { get; init; }

    /// <summary>This stretch's part of the hover.</summary>
    /// <param name="share">Its share of the time.</param>
    internal LineLevel Weighted(double share) => new()
    {
        Square = share * Square,
        Deviation = share * Deviation,
        PerAxis = Array.ConvertAll(PerAxis, p => share * p),
        Gain = share * Gain,
    };

    /// <summary>Parts of two stretches together.</summary>
    internal LineLevel Plus(LineLevel other) => new()
    {
        Square = Square + other.Square,
        Deviation = Math.Sqrt(Deviation * Deviation + other.Deviation * other.Deviation),
        PerAxis = [.. PerAxis.Zip(other.PerAxis, (a, b) => a + b)],
        Gain = Gain + other.Gain,
    };
}
