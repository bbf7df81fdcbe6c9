using VibeCheck.Core.Orders;
using VibeCheck.Core.Orders.SpeedSearch;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text that explains why orders of a motor, or its speed, are not known.</summary>
internal static class OrderText
{
    /// <summary>One sentence; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            HoverWithoutSegment h => $"The hover has no part of {Format.Number(h.LeastS, 1)} s or more without a gap in the acceleration.",
            MotorStoodStill => "The motor stood still over the hover.",
            SpeedReadingsMissing => "There are no speed readings over the hover.",
            SpeedReadingsSparse s => $"Speed readings cover only {Format.Number(100 * s.CoveredShare, 0)} % of the hover.",
            OrderAboveSampleRate => "Its frequency is more than one and a half times the sample rate.",
            OrderAtFold => "It folds onto zero or half the sample rate, where size and phase cannot be separated.",
            NoMeasurableOrder => "None of the orders asked for can be measured at this sample rate.",
            PerAxisNotMeasured => "not measured axis by axis",
            NoRotors => "No rotor was given.",
            OrderNotSeparable => "It could not be separated from its neighbours, which turn at nearly the same speed.",
            PhaseNotTracked => "Its speed could not be followed closely enough.",
            GroupInNoise => "The group does not rise above the noise.",
            BeatTooSlow => "Lines that could not be separated beat against each other too slowly for the flight to average the beat out.",
            _ => Search(cause),
        };

    private static string? Search(Reason cause) =>
        cause switch
        {
            OneOrderOnly o =>
                $"Rotors turn at about {Format.Number(o.RotorHz, 0)} Hz. A sample rate of {Format.Number(o.RateHz, 0)} Hz shows only one of "
                    + $"their orders.",
            LoggerTooSlowForRotors => "The log is too slow to show two orders of a rotor.",
            HoverTooShortForLines => "The hover is too short to follow lines in it.",
            NoLineAtTwoOrders => "The vibration shows no lines at two orders of one speed.",
            NoHarmonicLines => "The vibration shows no lines at one frequency and its multiples.",
            BladeLinesOnly => "The lines could be those of blade pass alone, and the rotors slower than they seem.",
            RotorSpeedAmbiguous => "The lines fit more than one rotor speed, one a multiple of the other.",
            MoreLinesThanMotors => "More lines are seen than there are motors to make them.",
            LinesNotNamed => "Without commands the lines in the vibration cannot be assigned to motors.",
            CommandNotDistinct => "Its command does not clearly separate its lines from those of other motors.",
            LineShared l => $"It turns at nearly the same speed as {Grammar.List(l.Motors)} and cannot be separated from "
                + $"{Grammar.Agree(l.Motors.Count, "it", "them")} in the vibration.",
            _ => null,
        };
}
