namespace VibeCheck.Core.Flights.Lines;

/// <summary>A peak of a spectrum and its cause.</summary>
public sealed record SpectralPeak
{
    /// <summary>acc_x, acc_y, acc_z, rate_x and so on.</summary>
    public required string Channel { get; init; }

    /// <summary>Frequency, Hz, between bins.</summary>
    public required double Hz { get; init; }

    /// <summary>Root mean square of the line in <see cref="Unit"/>.</summary>
    public required double Amplitude { get; init; }

    /// <summary>Unit of the amplitude.</summary>
    public required string Unit { get; init; }

    /// <summary>Motors and orders at this frequency; empty when there are none.</summary>
    public required IReadOnlyList<MotorOrder> Assigned { get; init; }

    /// <summary>The cause of the peak.</summary>
    public required PeakKind Kind { get; init; }

    /// <summary>True frequency, Hz, of a line folded at half the sample rate; null otherwise.</summary>
    public double? FoldedFromHz { get; init; }
}

/// <summary>An order of a motor.</summary>
public readonly record struct MotorOrder(string Motor, int Order);

/// <summary>The cause of a spectral peak.</summary>
public enum PeakKind
{
    /// <summary>Moves with a rotor's speed.</summary>
    Rotor,

    /// <summary>Stays while speeds vary.</summary>
    Structure,

    /// <summary>Neither is shown.</summary>
    Unknown,
}
