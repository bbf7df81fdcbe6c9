using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text that explains how a hover was found, or why there is none.</summary>
internal static class HoverText
{
    /// <summary>One sentence or two; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            HoverGiven => "As given.",
            NoFlightInVibration => "The log has no motor telemetry, and its vibration never rises above that of standing still.",
            MotorsNeverRun m => $"By {Name(m.By)}, the motors never run.",
            NoSteadyHover n => NotSteady(n),
            NoHoverWithin n => $"The part that was chosen, {Format.Short(n.FromS)} to {Format.Short(n.ToS)} s, holds less than "
                + $"{Format.Short(n.LeastS)} s of hover.",
            HoverNarrowed n => $"{Of(n.Found)} Only the part from {Format.Short(n.FromS)} to {Format.Short(n.ToS)} s was chosen.",
            HoverFound f => Found(f),
            HoverMatched m => $"{Of(m.Found)} To match the other flights, only hover within {Format.Number(100 * m.Window, 0)} % of "
                + $"{(m.By == HoverBasis.Rpm ? $"{Format.Number(m.Level, 0)} rpm" : $"{Format.Number(100 * m.Level, 1)} % command")} is used: "
                + $"{Format.Number(100 * m.KeptShare, 0)} % of what was found.",
            _ => null,
        };

    private static string NotSteady(NoSteadyHover none)
    {
        string part =
                $"in {Format.Number(100 * none.UnmetShare, 0)} % of the time in the air; less than {Format.Short(none.LeastS)} s of hover in a row is left",
            check = "Where it did not, check the unit of this quantity and how finely it is logged.";
        return none.Unmet switch
        {
            HoverCriterion.NoTurn => $"By its rates of turn, the aircraft turns {part}. {check}",
            HoverCriterion.NoAcceleration => $"By its acceleration, the aircraft speeds up or slows down {part}. {check}",
            HoverCriterion.SteadyHeight => $"By its height, the aircraft climbs or sinks {part}. {check}",
            _ => $"{Grammar.Capital(Name(none.By))} never stays within {Format.Short(100 * none.Tolerance)} % of its usual level for "
                + $"{Format.Short(none.LeastS)} s without turning or climbing.",
        };
    }

    private static string Found(HoverFound found)
    {
        string also = (found.WithoutTurning, found.AtSteadyHeight) switch
        {
            (true, true) => ", without turning and at a steady height",
            (true, false) => ", without turning",
            (false, true) => ", at a steady height",
            _ => "",
        };
        string few = found.IsShort ? " The hover is short, so intervals are wide." : "";
        return $"Hover is where {Name(found.By)} stays within {Format.Short(100 * found.Tolerance)} % of its usual level in flight{also}. "
            + $"Take-off, landing and manoeuvres are left out.{few}";
    }

    private static string Name(HoverSource source) =>
        source switch
        {
            HoverSource.Rpm => "the square of rotor speed",
            HoverSource.Command => "the motor command",
            HoverSource.Current => "the motor current",
            _ => "the vibration (there is no motor telemetry)",
        };
}
