using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Words for how a hover was found, or why there is none.</summary>
internal static class HoverText
{
    /// <summary>One sentence or two; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            HoverGiven => "As given.",
            NoFlightInVibration => "No hover: the log has no motor telemetry, and its vibration never rises above that of standing still.",
            MotorsNeverRun m => $"No hover: judged by {Name(m.By)}, the motors never run.",
            NoSteadyHover n => $"No hover: no {Format.Short(n.LeastS)} s of steady flight, judged by {Name(n.By)} (within "
                + $"{Format.Short(100 * n.Tolerance)} % of its usual level), turning and climbing.",
            NoHoverWithin n => $"No hover: between {Format.Short(n.FromS)} and {Format.Short(n.ToS)} s, the part of the flight that was "
                + $"chosen, there is no {Format.Short(n.LeastS)} s of it.",
            HoverNarrowed n => $"{Of(n.Found)} Narrowed by hand to the part from {Format.Short(n.FromS)} to {Format.Short(n.ToS)} s.",
            HoverFound f => Found(f),
            HoverMatched m => $"{Of(m.Found)} Matched with the other flights: {Format.Number(100 * m.KeptShare, 0)} % of it lies within "
                + $"{Format.Number(100 * m.Window, 0)} % of "
                + $"{(m.By == HoverBasis.Rpm ? $"{Format.Number(m.Level, 0)} rpm" : $"{Format.Number(100 * m.Level, 1)} % command")}.",
            _ => null,
        };

    private static string Found(HoverFound found)
    {
        string also = (found.WithoutTurning ? ", no turning" : "") + (found.AtSteadyHeight ? ", steady height" : "");
        string few = found.IsShort ? " It is short: intervals are wide." : "";
        return $"By {Name(found.By)}: within {Format.Short(100 * found.Tolerance)} % of its usual level in flight{also}; "
            + $"take-off, landing and manoeuvres left out.{few}";
    }

    private static string Name(HoverSource source) =>
        source switch
        {
            HoverSource.Rpm => "rotor speed squared",
            HoverSource.Command => "motor command",
            HoverSource.Current => "motor current",
            _ => "the vibration itself, because there is no motor telemetry",
        };
}
