using System.Text.Json.Serialization;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>A quantity is known on one side only.</summary>
/// <param name="After">Whether it is known after the work and not before; otherwise the other way round.</param>
/// <param name="Cause">Why it is not known on the other side.</param>
public sealed record KnownOnOneSide(bool After, Reason Cause) : Reason;

/// <summary>The flights cannot be compared.</summary>
/// <param name="Cause">The first obstacle.</param>
public sealed record FlightsNotComparable(Reason Cause) : Reason;

/// <summary>A change on which the verdict would be based is not known.</summary>
/// <param name="Quantity">Which.</param>
/// <param name="Cause">Why.</param>
public sealed record ChangeUnknown(Quantity Quantity, Reason Cause) : Reason;

/// <summary>According to the clocks of the logs, a flight given as before was flown after one given as after.</summary>
/// <param name="BeforeUtc">Start of the latest flight given as before.</param>
/// <param name="AfterUtc">Start of the earliest flight given as after.</param>
public sealed record StagesOutOfOrder(DateTime BeforeUtc, DateTime AfterUtc) : Reason;

/// <summary>The total vibration changed, whatever its cause.</summary>
/// <param name="BeforeMps2">Before, m/s².</param>
/// <param name="AfterMps2">After, m/s².</param>
/// <param name="ChangeDb">Change, dB.</param>
public sealed record AllVibrationChanged(double BeforeMps2, double AfterMps2, [property: JsonIgnore] Estimate ChangeDb) : Reason;

/// <summary>A part of the vibration other than that of the rotors' orders changed.</summary>
/// <param name="Part">Which.</param>
/// <param name="BeforeMps2">Before, m/s².</param>
/// <param name="AfterMps2">After, m/s².</param>
/// <param name="ChangeDb">Change, dB.</param>
public sealed record PartChanged(VibrationPartKind Part, double BeforeMps2, double AfterMps2, [property: JsonIgnore] Estimate ChangeDb)
    : Reason;

/// <summary>The load shares of motors changed.</summary>
/// <param name="Motors">Which, with their shares.</param>
public sealed record LoadSharesMoved(IReadOnlyList<MotorShare> Motors) : Reason;

/// <summary>A motor's share of the load; 1 is an even share.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Before">Before.</param>
/// <param name="After">After.</param>
public sealed record MotorShare(string Motor, double Before, double After);

/// <summary>Quantities on which a verdict is based.</summary>
public enum Quantity
{
    /// <summary>Vibration by rotor orders.</summary>
    Vibration,

    /// <summary>Steady rise of the hottest motor.</summary>
    MotorTemperature,

    /// <summary>Steady rise of the hottest ESC.</summary>
    EscTemperature,
}
