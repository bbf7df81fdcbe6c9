using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports.Text;

/// <summary>Words for why something of a flight is not known.</summary>
internal static class FlightReasonText
{
    /// <summary>One sentence; null where the cause is another.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            NoMotorTelemetry => "no telemetry",
            ChannelStill => "The channel does not move within the band.",
            HoverTooShortForInterval h => $"The hover is too short for an interval: it holds fewer than three independent "
                + $"{(h.Values == IndependentValues.Windows ? "windows" : "readings")}.",
            SpeedMissingInHover => "No speed of this motor in the hover.",
            CurrentMissingInHover => "No current of this motor in the hover.",
            SpeedAndCommandMissingInHover => "No speed or command of this motor in the hover.",
            AllSpeedsAndCommandsMissingInHover => "No speeds or commands of the motors in the hover.",
            AllSpeedsMissingInHover => "No speeds of the motors in the hover.",
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
                "Its speed was found from the vibration, but not that of all other motors, and their lines may lie in its own.",
            SpeedNotLogged => "No speed of this motor in the log, so its lines cannot be separated from those of other motors.",
            SpeedNotFound s => $"Its speed is not in the log and could not be found from the vibration: {LowerFirst(s.Cause)}",
            RotorSpeedsNotLogged => "The log has no rotor speeds.",
            RotorSpeedsNotFound r => $"The log has no rotor speeds, and they could not be found from the vibration: {LowerFirst(r.Cause)}",
            RotorLinesNotNamed r =>
                $"The log has no rotor speeds. In the vibration rotors turn at {Range(r)} rpm, but which motor makes which line could "
                    + $"not be told.",
            RateTooLowForRotors r =>
                $"The log has no rotor speeds, and its {Say.Number(r.RateHz, 0)} samples a second are too few to show rotors.",
            _ => null,
        };

    private static string? Temperatures(Reason cause) =>
        cause switch
        {
            TemperatureNotLogged t => $"No {(t.Esc ? "ESC" : "motor")} temperature of this motor in the log.",
            LoadNotLogged => "No current, speed or command of this motor in the hover, so its load is not known.",
            AmbientMotorsTurning => "ambient was not given, and the log starts with motors already turning",
            AmbientTooFewTemperatures => "ambient was not given, and too few temperatures are logged to tell it from a cold start",
            AmbientUnitsNotCold a =>
                $"ambient was not given, and the units did not start cold: they differ by {Say.Short(a.SpreadC)} °C at the start",
            TooFewTemperatureReadings => "too few temperature readings for a fit",
            NoTemperatureReadings => "no temperature readings",
            AmbientNotFound => "ambient temperature was neither given nor found from a cold start",
            AmbientUnknown => "ambient temperature is not known",
            NoHoverFound => "no hover was found",
            LoadUnknown => "the load of the motor is not known",
            TemperatureRecordTooShort t =>
                $"{Say.Number(t.SpanS, 0)} s of temperature readings are too short; at least {Say.Number(t.LeastS, 0)} s are needed",
            TimeConstantNotFixed => "the record does not fix the time constant",
            TemperatureFrozen t => $"the reading never moved from {Say.Short(t.TempC)} °C",
            _ => null,
        };

    private static string Range(RotorLinesNotNamed r) =>
        r.LeastRpm == r.MostRpm ? $"about {Say.Number(r.LeastRpm, 0)}" : $"{Say.Number(r.LeastRpm, 0)} to {Say.Number(r.MostRpm, 0)}";

    private static string LowerFirst(Reason cause) =>
        ReasonText.Of(cause) is { Length: > 0 } text ? char.ToLowerInvariant(text[0]) + text[1..] : "";
}
