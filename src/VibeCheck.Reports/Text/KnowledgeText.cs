using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text that explains why an amount is not known on both sides of a comparison.</summary>
internal static class KnowledgeText
{
    /// <summary>One clause; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            NotMeasured => "not measured",
            KnownOnOneSide one => $"not known {(one.After ? "before" : "after")}: {ReasonText.Clause(one.Cause)}",
            FlightWithoutTelemetry f => $"flight {f.Flight} has no ESC telemetry",
            NoFlightWithTelemetry => "no flight has ESC telemetry",
            FlightWithoutTemperatures f => $"flight {f.Flight} has no {Unit(f.Esc)} temperatures",
            NoFlightWithTemperatures f => $"no flight has {Unit(f.Esc)} temperatures",
            MotorNotInFlight m => $"{m.Motor} is not in flight {m.Flight}",
            ChannelNotInFlight c => $"{c.Channel} is not in flight {c.Flight}",
            FewerThanTwoUnitsKnown => "fewer than two units are known in all flights",
            NoUnitKnownInAllFlights => "no unit's temperature is known in all flights",
            LoadNotKnownOnBothSides => "the load of the motor is not known on both sides",
            OrderNotInFlight o => $"order {Format.Whole(o.Order)} of {o.Motor} was not measured in flight {o.Flight}",
            MotorMergedInFlight m =>
                $"{m.Motor} turns at nearly the same speed as {Grammar.List(m.Others)} and cannot be separated in flight " + $"{m.Flight}",
            OrdersUnknownWithoutSpeeds o =>
                $"{Grammar.Named("flight", o.Flights)} {Grammar.Agree(o.Flights.Count, "has", "have")} no rotor speeds, so the rotor orders "
                    + $"of {Grammar.Agree(o.Flights.Count, "that flight", "those flights")} are not known",
            NoOrderKnownInAllFlights => "no rotor order is known in all flights",
            GroupNotMeasured => "the rotors were not measured as a group",
            NoWindowUsable => "no window of the hover could be used",
            NoIntervalKnown => "no interval is known",
            OtherSideUnknown => "it is not known in the other stage of this step",
            _ => Tilt(cause),
        };

    private static string? Tilt(Reason cause) =>
        cause switch
        {
            NoSurvey => "there is no survey",
            NothingReadAsFound => "the survey has no as-found readings",
            NothingReadAsLeft => "the survey has no as-left readings",
            SplitUnknown => "the split is not known",
            TooFewTiltsKnown t =>
                $"tilt and order 1 are known before and after for {Grammar.Count(t.Motors, "motor")}, and {Format.Whole(t.Needed)} "
                    + $"{Grammar.Agree(t.Needed, "is", "are")} needed",
            TiltsChangedAlike => "the tilts of all motors changed by nearly the same amount",
            TiltEffectNotShown t =>
                "not shown by these flights: the change in order 1 does not follow the change in tilt more closely than by chance "
                    + $"(rank correlation {Format.Number(t.RankCorrelation, 2)}, p {Format.Number(t.PValue, 2)})",
            _ => null,
        };

    private static string Unit(bool esc) => esc ? "ESC" : "motor";
}
