using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text that explains why the rotors cannot be measured as a group.</summary>
internal static class GroupText
{
    /// <summary>One sentence; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            NoRotorLines => "The log has no rotor speeds, and the vibration shows no lines at one frequency and its multiples.",
            GroupSpeedAmbiguous a =>
                $"The log has no rotor speeds, and the lines in the vibration fit {Format.Number(a.SlowerRpm, 0)} rpm as well as "
                    + $"{Format.Number(a.FasterRpm, 0)} rpm.",
            TooSlowForRotors t =>
                $"The log has no rotor speeds, and its sample rate of {Format.Number(t.RateHz, 0)} Hz is too low to show rotors.",
            HoverTooBroken => "The hover has no part without a gap in the acceleration that is long enough to follow the rotors.",
            OrderAboveLog o =>
                $"It lies at about {Format.Number(o.Hz, 0)} Hz; the log shows rotors only up to {Format.Number(o.TopHz, 0)} Hz.",
            Core.Flights.Accounting.NoTimeAtRest => "The log shows no time at rest before or after the flight.",
            Core.Flights.Accounting.RotorFrequenciesUnknown => "No rotor frequency is known, so the lines cannot be told apart.",
            Core.Flights.Accounting.LinePassedByOrders l =>
                $"Orders of the rotors pass over the steady line at {Format.Number(l.Hz, 0)} Hz nearly all the time.",
            RotorsInNoise => "The rotors' lines do not rise clearly above the noise.",
            _ => null,
        };
}
