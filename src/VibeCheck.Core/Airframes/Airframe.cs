using VibeCheck.Core.Surveys;

namespace VibeCheck.Core.Airframes;

/// <summary>The aircraft as its owner describes it: motors, mass, bolts and the shims at hand.</summary>
public sealed record Airframe
{
    /// <summary>Name the owner gave it.</summary>
    public required string Name { get; init; }

    /// <summary>Take-off mass, kg; null when not given.</summary>
    public double? MassKg { get; init; }

    /// <summary>Rotor torque over rotor thrust, metres; null when not given.</summary>
    public double? TorquePerThrustM { get; init; }

    /// <summary>Bolts of every motor mount; null when not given (then there is no shim plan).</summary>
    public BoltPattern? Bolts { get; init; }

    /// <summary>Shims at hand; null when not given.</summary>
    public ShimKit? ShimKit { get; init; }

    /// <summary>Screws that hold a motor; null when not given.</summary>
    public MountScrews? Screws { get; init; }

    /// <summary>What the maker of the gauge states, as far as the owner gave it; null when not given.</summary>
    public GaugeData? Gauge { get; init; }

    /// <summary>Motors in the order of the file; one or more, ids unique.</summary>
    public required IReadOnlyList<Motor> Motors { get; init; }

    /// <summary>Keys of the file that mean nothing to the tool, each with its line: a slip of the pen is not passed over in silence.</summary>
    public IReadOnlyList<string> Remarks { get; init; } = [];

    /// <summary>The motor of that id, or null.</summary>
    public Motor? Find(string id) => Motors.FirstOrDefault(m => string.Equals(m.Id, id, StringComparison.OrdinalIgnoreCase));
}
