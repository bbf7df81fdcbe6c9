using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text of the warnings about an analysis.</summary>
internal static class WarningText
{
    /// <summary>One sentence or more; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            ShortHover h =>
                $"The hover used is only {Format.Number(h.SecondsUsed, 1)} s long, so intervals are wide. A minute of steady hover gives far "
                    + "narrower ones.",
            AirframeNotGiven a => WithoutAirframe(a),
            SpeedsFromVibration s => FromVibration(s),
            SpeedsMissing m =>
                $"The log has no usable speed of {Grammar.List(m.Motors)}. Load shares and yaw trim are those of the other motors. The "
                    + $"vibration of {Grammar.Agree(m.Motors.Count, "this motor", "these motors")} may be counted with that of the others.",
            TrimFromCommands =>
                "The log lacks speeds, so yaw trim and load shares come from motor commands. Two motors can turn at different speeds on the "
                    + "same command, so compare these figures only with other flights of this aircraft.",
            AmbientFromColdStart a => $"Ambient was taken from the cold start, {Format.Short(a.AmbientC)} °C, where all units agreed.",
            MostOrdersAboveHalfRate r =>
                $"Most rotor orders lie above half the sample rate of {Format.Number(r.RateHz, 0)} Hz, so they are folded (aliased) or "
                    + "filtered out.",
            OrdersFolded o => $"{Grammar.Capital(Grammar.Named("order", [.. o.Orders.Select(Format.Whole)]))} "
                + $"{Grammar.Agree(o.Orders.Count, "lies", "lie")} above half the sample rate, so the log shows "
                + $"{Grammar.Agree(o.Orders.Count, "it", "them")} folded (aliased). The logger's filter may have weakened "
                + $"{Grammar.Agree(o.Orders.Count, "it", "them")}.",
            MotorsMerged m =>
                $"Some motors turn at nearly the same speed ({string.Join(", ", m.Motors)}) and cannot be separated at some orders. Only the sum "
                    + "of these orders is known.",
            OrdersFromParts p =>
                $"Orders were measured on {Format.Number(p.PartsS, 0)} s, in parts spread evenly over the {Format.Number(p.HoverS, 0)} s of "
                    + "hover. Everything else was measured on all of it.",
            SamplesClipped s =>
                $"{Grammar.Count(s.Count, "sample")} {Grammar.Agree(s.Count, "reaches", "reach")} the end of the sensor's range, so levels "
                    + "are too low by an unknown amount.",
            SamplesNotNumbers s =>
                $"{Grammar.Count(s.Count, "IMU sample")} {Grammar.Agree(s.Count, "is not a number", "are not numbers")}. The spectra leave out "
                    + $"the windows that hold {Grammar.Agree(s.Count, "it", "them")}.",
            _ => null,
        };

    private static string WithoutAirframe(AirframeNotGiven cause) =>
        (
            cause.MotorsInLog == 0
                ? "No airframe file was given, and the log names no motor. "
                : $"No airframe file was given. The log names {Grammar.Count(cause.MotorsInLog, "motor")}. "
        )
        + "With an airframe file this tool also shows where each motor stands, yaw trim, centre of gravity, blade pass, unbalance in g·mm and "
        + "a shim plan. Make one with: vibecheck airframe airframe.toml";

    private static string FromVibration(SpeedsFromVibration cause)
    {
        string others = cause.NotFound.Count > 0 ? $" Those of {Grammar.List(cause.NotFound)} could not be found." : "";
        string trim = cause.SharesRestOnThem ? " Load shares and yaw trim depend on them too." : "";
        return $"No speeds were logged for {Grammar.List(cause.Motors)}. They were found from lines in the vibration, "
            + $"each within ±{Format.Number(Math.Max(1, cause.WidestRpm), 0)} rpm (95 %).{others}{trim}";
    }
}
