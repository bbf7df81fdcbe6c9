using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Words for what a careful reader of an analysis should know.</summary>
internal static class WarningText
{
    /// <summary>One sentence or more; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            ShortHover h =>
                $"The hover used is only {Format.Number(h.SecondsUsed, 1)} s long; intervals are wide. A minute of steady hover "
                    + $"gives far narrower ones.",
            AirframeNotGiven a => WithoutAirframe(a),
            SpeedsFromVibration s => FromVibration(s),
            SpeedsMissing m =>
                $"No usable speed of {string.Join(", ", m.Motors)} in the log: shares and yaw trim are those of the other motors, "
                    + $"and the vibration of {(m.Motors.Count == 1 ? "this motor" : "these motors")} may be counted with "
                    + $"that of the neighbours.",
            TrimFromCommands =>
                "Yaw trim and load shares are from motor commands, because speeds are missing; motors answer a command differently, "
                    + "so compare them only with other flights of this aircraft.",
            AmbientFromColdStart a => $"Ambient was taken from the cold start, {Format.Short(a.AmbientC)} °C, where all units agreed.",
            MostOrdersAboveHalfRate r =>
                $"At {Format.Number(r.RateHz, 0)} samples a second most rotor orders lie above half the sample rate "
                    + $"({Format.Number(r.RateHz / 2, 0)} Hz) and are folded (aliased) or filtered out.",
            OrdersFolded o =>
                $"Order {string.Join(", ", o.Orders.Select(Format.Whole))} lies above half the sample rate and is seen folded; "
                    + "the logger's filter may have weakened it.",
            MotorsMerged m =>
                $"{string.Join(", ", m.Motors)} turn at nearly the same speed and cannot be separated at some orders; there only their sum "
                    + $"is known.",
            OrdersFromParts p =>
                $"Orders were measured on {Format.Number(p.PartsS, 0)} s in parts spread evenly over the {Format.Number(p.HoverS, 0)} s of "
                    + $"hover; "
                    + "everything else on all of it.",
            SamplesClipped s =>
                $"{Format.Whole(s.Count)} samples reach the end of the sensor's range: levels are too low by an unknown amount.",
            SamplesNotNumbers s =>
                $"{Format.Whole(s.Count)} samples of the IMU are not numbers; windows that hold them were left out of the spectra.",
            _ => null,
        };

    private static string WithoutAirframe(AirframeNotGiven cause) =>
        (
            cause.MotorsInLog == 0
                ? "No airframe file was given, and the log names no motor. "
                : $"No airframe file was given: the log names {Format.Whole(cause.MotorsInLog)} motors. "
        )
        + "An airframe file adds which motor stands where, yaw trim, centre of gravity, blade pass, unbalance in g·mm and the shim plan. "
        + "Make one with: vibecheck airframe airframe.toml";

    private static string FromVibration(SpeedsFromVibration cause)
    {
        string others = cause.NotFound.Count > 0 ? $" Those of {string.Join(", ", cause.NotFound)} could not be found." : "";
        string trim = cause.SharesRestOnThem ? " Load shares and yaw trim depend on them too." : "";
        return $"Speeds of {string.Join(", ", cause.Motors)} are not in the log: they were found from lines in the vibration, "
            + $"each within {Format.Number(Math.Max(1, cause.WidestRpm), 0)} rpm with 95 % confidence.{others}{trim}";
    }
}
