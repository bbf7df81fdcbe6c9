namespace VibeCheck.Core.Airframes;

/// <summary>One motor with its rotor: its position and direction of rotation.</summary>
/// <param name="Id">Name used in logs, survey and results, such as "M1". Unique in an airframe.</param>
/// <param name="AzimuthDeg">Direction of the arm, degrees clockwise from the nose, seen from above.</param>
/// <param name="ArmM">Distance from the hub's centre to the rotor axis, metres, above 0.</param>
/// <param name="Spin">Sense of rotation from above.</param>
/// <param name="Level">Single, or upper or lower of a coaxial pair.</param>
/// <param name="Blades">Blades of the rotor, 1 or more.</param>
/// <param name="PolePairs">Magnet pole pairs, for eRPM; null when not given.</param>
public sealed record Motor(string Id, double AzimuthDeg, double ArmM, Spin Spin, MotorLevel Level, int Blades, int? PolePairs)
{
    /// <summary>Bolts of this motor's mount where they differ from the airframe's; null where they are the same.</summary>
    public BoltPattern? Bolts { get; init; }
}
