using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights.Accounting;

namespace VibeCheck.Reports.Formatting;

/// <summary>Names of the parts of the total vibration.</summary>
internal static class PartNames
{
    /// <summary>As a heading or label.</summary>
    internal static string Name(VibrationPartKind part) =>
        part switch
        {
            VibrationPartKind.RotorOrders => "rotor orders",
            VibrationPartKind.HalfOrders => "half orders",
            VibrationPartKind.RotorLocked => "other lines of the rotors",
            VibrationPartKind.SteadyLines => "steady lines",
            VibrationPartKind.Broadband => "broadband",
            _ => "knocks",
        };

    /// <summary>As the subject of a sentence.</summary>
    internal static string Subject(VibrationPartKind part) =>
        part switch
        {
            VibrationPartKind.RotorOrders => "vibration at the rotors' orders",
            VibrationPartKind.HalfOrders => "vibration at half orders (something loose)",
            VibrationPartKind.RotorLocked => "vibration at other multiples of rotor speed (a bearing)",
            VibrationPartKind.SteadyLines => "vibration at steady lines (no rotor)",
            VibrationPartKind.Broadband => "broadband vibration",
            _ => "vibration from knocks",
        };

    /// <summary>A part with its change, such as "broadband vibration rose by 8.0 dB (4.1 to 11.9)".</summary>
    internal static string Moved(PartChange part) => $"{Subject(part.Kind)} {Format.Moved(part.ChangeDb, 1, "dB")}";

    /// <summary>Fixed name for scripts.</summary>
    internal static string Code(this VibrationPartKind part) =>
        part switch
        {
            VibrationPartKind.RotorOrders => "rotor-orders",
            VibrationPartKind.HalfOrders => "half-orders",
            VibrationPartKind.RotorLocked => "rotor-locked",
            VibrationPartKind.SteadyLines => "steady-lines",
            VibrationPartKind.Broadband => "broadband",
            _ => "knocks",
        };
}
