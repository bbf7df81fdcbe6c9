using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports.Text;

/// <summary>Words for what keeps the rotors from being measured as a group.</summary>
internal static class GroupText
{
    /// <summary>One sentence; null where the cause is none of these.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            NoRotorLines => "The log has no rotor speeds, and no lines stand in the vibration at one frequency and its multiples.",
            GroupSpeedAmbiguous a =>
                $"The log has no rotor speeds, and the lines in the vibration fit {Say.Number(a.SlowerRpm, 0)} rpm as well as "
                    + $"{Say.Number(a.FasterRpm, 0)} rpm.",
            TooSlowForRotors t =>
                $"The log has no rotor speeds, and its {Say.Number(t.RateHz, 0)} samples a second are too few to show rotors.",
            HoverTooBroken =>
                "The hover holds no stretch without a gap in the acceleration that is long enough to follow the rotors in it.",
            OrderAboveLog o => $"It lies at about {Say.Number(o.Hz, 0)} Hz, and the log shows rotors up to {Say.Number(o.TopHz, 0)} Hz.",
            Core.Flights.Accounting.RotorFrequenciesUnknown => "No rotor's frequency is known, so lines cannot be told from each other.",
            RotorsInNoise => "The rotors' lines do not stand clear of the noise about them.",
            _ => null,
        };
}
