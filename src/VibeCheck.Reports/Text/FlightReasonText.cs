using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text that explains why a value of a flight is not known.</summary>
internal static class FlightReasonText
{
    /// <summary>One sentence; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            NoMotorTelemetry => "there is no motor telemetry",
            ChannelStill => "The channel is constant within the band.",
            HoverTooShortForInterval h => $"The hover is too short for an interval: it holds fewer than three independent "
                + $"{(h.Values == IndependentValues.Windows ? "windows" : "readings")}.",
            SpeedMissingInHover => "The log has no speed of this motor in the hover.",
            CurrentMissingInHover => "The log has no current of this motor in the hover.",
            SpeedAndCommandMissingInHover => "The log has no speed or command of this motor in the hover.",
            AllSpeedsAndCommandsMissingInHover => "The log has no speeds or commands of the motors in the hover.",
            AllSpeedsMissingInHover => "The log has no speeds of the motors in the hover.",
            SomeSpeedsUnknown => "The speeds of some motors are not known.",
            MotorsStandStill => "The motors stand still in the time used.",
            SpinsUnknown => "Which motors turn clockwise is not known without an airframe file.",
            LayoutUnknown => "The places of the motors are not known without an airframe file.",
            AllTurnTheSameWay => "All motors that report turn the same way.",
            OrderOneNotMeasured => "Order 1 was not measured.",
            OrderOneWithoutInterval => "Order 1 has no interval.",
            MotorSpeedUnknown => "The speed of the motor is not known.",
            _ => Speeds(cause) ?? Temperatures(cause),
        };

    private static string? Speeds(Reason cause) =>
        cause switch
        {
            OtherSpeedsUnknown =>
                "Not all speeds could be found from the vibration, so the lines of an unknown motor may overlap those of the others.",
            SpeedNotLogged => "The log has no speed of this motor, so its lines cannot be separated from those of other motors.",
            SpeedNotFound s => $"Its speed is not in the log and could not be found from the vibration: {LowerFirst(s.Cause)}",
            RotorSpeedsNotLogged => "The log has no rotor speeds.",
            RotorSpeedsNotFound r => $"The log has no rotor speeds, and they could not be found from the vibration: {LowerFirst(r.Cause)}",
            RotorLinesNotNamed r =>
                $"The log has no rotor speeds. The vibration shows rotors at {Range(r)} rpm, but not which motor makes which line.",
            RateTooLowForRotors r =>
                $"The log has no rotor speeds, and its sample rate of {Format.Number(r.RateHz, 0)} Hz is too low to show rotors.",
            _ => null,
        };

    private static string? Temperatures(Reason cause) =>
        cause switch
        {
            TemperatureNotLogged t => $"The log has no {(t.Esc ? "ESC" : "motor")} temperature of this motor.",
            LoadNotLogged => "The log has no current, speed or command of this motor in the hover, so its load is not known.",
            AmbientMotorsTurning => "ambient was not given, and the log starts with motors already turning",
            AmbientTooFewTemperatures => "ambient was not given, and too few temperatures are logged to find it from a cold start",
            AmbientUnitsNotCold a =>
                $"ambient was not given, and the units did not start cold: they differ by {Format.Short(a.SpreadC)} °C at the start",
            TooFewTemperatureReadings => "there are too few temperature readings for a fit",
            NoTemperatureReadings => "there are no temperature readings",
            AmbientNotFound => "ambient temperature was neither given nor found from a cold start",
            AmbientUnknown => "ambient temperature is not known",
            NoHoverFound => "no hover was found",
            LoadUnknown => "the load of the motor is not known",
            TemperatureRecordTooShort t =>
                $"{Format.Number(t.SpanS, 0)} s of temperature readings are too short; at least {Format.Number(t.LeastS, 0)} s are needed",
            TimeConstantNotFixed => "the record does not determine the time constant",
            TemperatureFrozen t => $"the reading never moved from {Format.Short(t.TempC)} °C",
            _ => null,
        };

    private static string Range(RotorLinesNotNamed r) =>
        r.LeastRpm == r.MostRpm
            ? $"about {Format.Number(r.LeastRpm, 0)}"
            : $"{Format.Number(r.LeastRpm, 0)} to {Format.Number(r.MostRpm, 0)}";

    private static string LowerFirst(Reason cause) =>
        ReasonText.Of(cause) is { Length: > 0 } text ? char.ToLowerInvariant(text[0]) + text[1..] : "";
}
