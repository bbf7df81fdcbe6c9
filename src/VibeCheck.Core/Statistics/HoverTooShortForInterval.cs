namespace VibeCheck.Core.Statistics;

/// <summary>What an interval is made from.</summary>
public enum IndependentValues
{
    /// <summary>Windows of a spectrum.</summary>
    Windows,

    /// <summary>Readings of telemetry.</summary>
    Readings,
}

/// <summary>The hover is too short for an interval: it has fewer than three independent values.</summary>
/// <param name="Values">Which values.</param>
public sealed record HoverTooShortForInterval(IndependentValues Values) : Reason;
