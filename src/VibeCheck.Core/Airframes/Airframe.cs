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

    /// <summary>Bolts of every motor mount that has none of its own (<see cref="BoltsOf"/>); null
    /// when not given (then there is no shim plan).</summary>
    public BoltPattern? Bolts { get; init; }

    /// <summary>Shims at hand; null when not given.</summary>
    public ShimKit? ShimKit { get; init; }

    /// <summary>Screws that hold a motor; null when not given.</summary>
    public MountScrews? Screws { get; init; }

    /// <summary>What the maker of the gauge states, as far as the owner gave it; null when not given.</summary>
    public GaugeData? Gauge { get; init; }

    /// <summary>Motors in the order of the file, ids unique; one or more, none only where no
    /// airframe was given and the log names none.</summary>
    public required IReadOnlyList<Motor> Motors { get; init; }

    /// <summary>Whether the owner described the motors. When false only their ids are known, from a log: arms, senses of rotation and
    /// blade counts are placeholders, and nothing may be concluded from them.</summary>
    public bool HasLayout { get; init; } = true;

    /// <summary>Keys of the file that mean nothing to the tool, each with its line: a slip of
    /// the pen is not passed over in silence.</summary>
    public IReadOnlyList<string> Remarks { get; init; } = [];

    /// <summary>An aircraft of which only the ids of its motors are known; see <see cref="HasLayout"/>.</summary>
    /// <param name="name">What to call it.</param>
    /// <param name="motorIds">Ids in the order to list them; may be empty.</param>
    public static Airframe OfMotorIds(string name, IReadOnlyList<string> motorIds)
    {
        ArgumentNullException.ThrowIfNull(motorIds);
        return new()
        {
            Name = name,
            HasLayout = false,
            Motors =
            [
                .. motorIds.Select((id, i) => new Motor(id, 360.0 * i / motorIds.Count, 1, Spin.Clockwise, MotorLevel.Single, 2, null)),
            ],
        };
    }

    /// <summary>Bolts of a motor's mount: its own, else those of the airframe; null when neither is given.</summary>
    public BoltPattern? BoltsOf(Motor motor) => motor.Bolts ?? Bolts;

    /// <summary>The motor of that id, or null.</summary>
    public Motor? Find(string id) => Motors.FirstOrDefault(m => string.Equals(m.Id, id, StringComparison.OrdinalIgnoreCase));
}
