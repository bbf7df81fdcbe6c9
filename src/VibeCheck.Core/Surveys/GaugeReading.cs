namespace VibeCheck.Core.Surveys;

/// <summary>One reading of the gauge.</summary>
public sealed record GaugeReading
{
    /// <summary>The motor; null for a frame reference taken once at the hub, which looks to
    /// the nose as an arm of azimuth 0 would.</summary>
    public required string? MotorId { get; init; }

    /// <summary>As found or as left.</summary>
    public required SurveyTime When { get; init; }

    /// <summary>Frame or mount.</summary>
    public required GaugePlace Where { get; init; }

    /// <summary>Across or along the arm.</summary>
    public required TiltDirection Direction { get; init; }

    /// <summary>What the gauge shows, degrees, 0 or more; the lower one where it flickers between two.</summary>
    public required double LowDeg { get; init; }

    /// <summary>The higher one where it flickers between two, degrees; else the same.</summary>
    public required double HighDeg { get; init; }

    /// <summary>The side that is really low, whichever way round the gauge lies.</summary>
    public required LowSide LowSide { get; init; }

    /// <summary>Whether the gauge was turned end for end (180°), so that its zero error has the other sign.</summary>
    public bool Turned { get; init; }

    /// <summary>Before or after a knock on the arm.</summary>
    public Knock Knock { get; init; }

    /// <summary>What the surveyor noted; empty when nothing.</summary>
    public string Note { get; init; } = "";

    /// <summary>Shims that were put under the motor, noted with the reading; null when not noted.</summary>
    public FittedShims? Fitted { get; init; }

    /// <summary>Line of the file, counted from 1; null when it came from elsewhere.</summary>
    public int? Line { get; init; }

    /// <summary>Mean of the two values where it flickers, degrees, positive when right or out is low.</summary>
    public double SignedDeg => LowSide is LowSide.Left or LowSide.In ? -(LowDeg + HighDeg) / 2 : (LowDeg + HighDeg) / 2;
}
