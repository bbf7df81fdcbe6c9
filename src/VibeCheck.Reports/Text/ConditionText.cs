using System.Globalization;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text about the conditions of a comparison.</summary>
internal static class ConditionText
{
    /// <summary>Name of a condition.</summary>
    internal static string Name(ConditionKind kind) =>
        kind switch
        {
            ConditionKind.Dates => "dates",
            ConditionKind.HoverTime => "hover time",
            ConditionKind.GroupSpeed => "rotor speed from the vibration",
            ConditionKind.HoverSpeed => "hover speed",
            ConditionKind.HoverCommand => "hover command",
            ConditionKind.EscTelemetry => "ESC telemetry",
            ConditionKind.RotorSpeeds => "rotor speeds",
            ConditionKind.MotorsInLog => "motors in the log",
            ConditionKind.AmbientTemperature => "ambient temperature",
            ConditionKind.ImuRate => "IMU rate",
            ConditionKind.ImuAxes => "IMU axes",
            ConditionKind.Battery => "battery",
            _ => "survey",
        };

    /// <summary>The value on one side as text; null for null.</summary>
    internal static string? Of(ConditionValue? value) =>
        value switch
        {
            null => null,
            FlownAt f => f.StartsUtc.Count == 1 ? Minute(f.StartsUtc[0]) : $"{Minute(f.StartsUtc[0])} to {Minute(f.StartsUtc[^1])}",
            HoverTimes h => string.Join(
                ", ",
                h.Flights.Select(f =>
                    $"{Format.Number(f.SecondsUsed, 0)} s ({Format.Number(100 * f.ShareOfFound, 0)} % of the hover found)"
                )
            ),
            AboutRpm r => $"about {Format.Number(r.Rpm, 0)} rpm",
            AtRpm r => $"{Format.Number(r.Rpm, 0)} rpm",
            AtCommand c => $"{Format.Number(100 * c.Command, 1)} % command",
            ReportedChannels c => c.Channels.Count == 0 ? "none" : string.Join(", ", c.Channels.Select(Channel)),
            SpeedOrigins s => string.Join("; ", s.Found.Select(f => f.Count > 0 ? $"{string.Join(", ", f)} found" : "as logged")),
            MotorSets m => Sets(m.Sets),
            AmbientTemperatures a => string.Join(
                ", ",
                a.AmbientC.Select(c => c is double known ? $"{Format.Short(known)} °C" : Format.NotKnown)
            ),
            SampleRates r => string.Join(", ", r.RatesHz.Select(hz => $"{Format.Number(hz, 0)} Hz").Distinct()),
            GravityWithin g => $"gravity within {Format.Number(g.Degrees, 1)}°",
            BatteryVoltage v => $"{Format.Number(v.Volts, 1)} V",
            MotorsRead m => $"{Grammar.Count(m.Count, "motor")} read",
            _ => throw new InvalidOperationException($"no words for {value.GetType().Name}"),
        };

    /// <summary>What was done about a condition, or why it forbids a comparison; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            DatesUnknown => "The logs do not all say when they were flown: the order is as the job file gives it.",
            DatesReversed =>
                "By the logs' own clocks a flight given as before was flown after one given as after. Were they swapped in the job file?",
            DatesInOrder => "The flights before come before those after by the logs' own clocks.",
            NoHoverInFlights n => $"no hover was found in {Grammar.Named("flight", n.Flights)}",
            HoverIsShort h =>
                $"The shortest hover lasts {Format.Number(h.ShortestS, 0)} s: intervals are wide, and temperatures may not be known.",
            HoverLongEnough => "Long enough on both sides.",
            AmbientNotNeeded => "Not needed, because no temperatures are logged.",
            AmbientMissing a =>
                $"Not known for {Grammar.Named("flight", a.Flights)}, so steady rises are not known. Write ambient_c in the job file.",
            AmbientFromColdStarts a =>
                $"Taken from the cold start of {Grammar.Named("flight", a.Flights)}, with its uncertainty. Temperatures are compared as rises "
                    + "above ambient.",
            AmbientTakenOut => "Corrected for: temperatures are compared as rises above ambient.",
            RatesAlike => "The same.",
            RatesDiffer => "Different: levels and orders are compared in the band that all loggers have.",
            AxesTakenAlike => "Gravity is not in the logs, so the axes are assumed to be the same on both sides.",
            AxesAlike => "The IMU had the same orientation; it is assumed to be in the same place on the airframe.",
            ImuTurned => "The IMU seems to have been turned: levels of single axes cannot be compared; "
                + "rotor orders, which combine all three axes, still can if it sits in the same place.",
            BatteryAlike => "Alike in hover.",
            BatteryDiffers => "Another battery or charge: currents and ESC losses differ with it.",
            ComparedWithoutSurvey => "There is no survey, so tilts are not compared.",
            TiltsAfterUnknown => "No tilt was measured after the work, so the effect of tilt is not calculated.",
            TiltsBeforeUnknown => "No tilt was measured before the work, so the effect of tilt is not calculated.",
            TiltsKnown => "Tilts were read before and after.",
            _ => Speeds(cause) ?? Telemetry(cause),
        };

    private static string? Speeds(Reason cause) =>
        cause switch
        {
            OperatingPointsApart o => $"They differ by {Format.Percent(o.Share)}: a different mass, different propellers, or a "
                + $"different way of flying.",
            GroupSpeedsAlike =>
                "Alike as far as the vibration shows; where they differ by more than 2 %, levels are corrected with the square "
                    + "of speed.",
            OperatingPointUnknown => "No rotor speed or command is known in all flights, so the operating point could not be matched.",
            CommandsNotCorrected => "Commands also depend on the battery; nothing was corrected.",
            SpeedsCorrected s =>
                $"They differ by {Format.Percent(s.Share)}: orders are corrected with the square of speed, rises with its cube "
                    + "(its square as far as the air temperature explains it); the uncertainty of these exponents is added.",
            SpeedsAlike s =>
                $"Alike within {Format.Short(100 * s.Within)} %; the remaining difference is corrected with the square (orders) "
                    + $"and the cube (rises) of speed.",
            GroupSpeedsApart g =>
                $"by the vibration the rotors hovered at about {Format.Number(g.BeforeRpm, 0)} rpm before and {Format.Number(g.AfterRpm, 0)} "
                    + $"rpm after, "
                    + $"{Format.Percent(g.Share)} apart: the mass or the propellers were not the same",
            HoverSpeedsApart h =>
                $"the rotors hovered at {Format.Number(h.BeforeRpm, 0)} rpm before and {Format.Number(h.AfterRpm, 0)} rpm after, "
                    + $"{Format.Percent(h.Share)} apart: the mass or the propellers were not the same",
            HoverCommandsApart h =>
                $"the motors hovered at {Format.Number(100 * h.Before, 0)} % command before and {Format.Number(100 * h.After, 0)} % after: "
                    + "not the same aircraft or mass",
            SpeedsFoundInFlights s =>
                $"No speeds were logged for {string.Join(", and for ", s.Flights.Select(f => $"{Grammar.List(f.Motors)} in flight {f.Flight}"))}. They "
                    + "were found from lines in the vibration, and the orders of these motors depend on them.",
            _ => null,
        };

    private static string? Telemetry(Reason cause) =>
        cause switch
        {
            NoTelemetry n => n.GroupIsKnown
                ? "No flight has ESC telemetry. The rotors are measured together. Single motors and temperatures are not known."
                : "No flight has ESC telemetry, so rotor orders and temperatures are not known.",
            SomeWithoutTelemetry s => s.GroupIsKnown
                ? $"{Grammar.Capital(WithoutTelemetry(s.Flights))}. The rotors are compared together, not motor by motor. Temperatures cannot be "
                    + $"compared with {Grammar.Agree(s.Flights.Count, "it", "them")}."
                : $"{Grammar.Capital(WithoutTelemetry(s.Flights))}, so rotor orders and temperatures cannot be compared with "
                    + $"{Grammar.Agree(s.Flights.Count, "it", "them")}.",
            TelemetryOnOneSide t =>
                $"{WithoutTelemetry(t.Flights)}, so neither rotor orders nor temperatures can be compared with the other side",
            TelemetryAlike => "The same on both sides.",
            TelemetryPartlyShared => "Only what both sides have is compared.",
            MotorsDiffer m =>
                $"the logs hold different motors ({Sets(m.Before)} before, {Sets(m.After)} after): flights of different aircraft?",
            MotorMissingFromLog => "A motor is missing from a log; the total covers the motors that are in all flights.",
            _ => null,
        };

    private static string WithoutTelemetry(IReadOnlyList<string> flights) =>
        $"{Grammar.Named("flight", flights)} {Grammar.Agree(flights.Count, "has", "have")} no ESC telemetry";

    private static string Sets(IReadOnlyList<IReadOnlyList<string>> sets) => string.Join("; ", sets.Select(s => string.Join(", ", s)));

    private static string Minute(DateTime utc) => utc.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    private static string Channel(TelemetryChannel channel) =>
        channel switch
        {
            TelemetryChannel.Speed => "speed",
            TelemetryChannel.Command => "command",
            TelemetryChannel.Current => "current",
            TelemetryChannel.MotorTemperature => "motor temperature",
            _ => "ESC temperature",
        };
}
