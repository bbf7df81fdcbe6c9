using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text about faults of telemetry and of the ambient temperature.</summary>
internal static class TelemetryText
{
    /// <summary>One sentence for a fault; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            ReadingsDropped d => $"Up to {Percent(d.MostShare)} % of the readings of {d.Columns} are fillers or spikes and were left out.",
            ReportsRepeated r =>
                $"Telemetry repeats the previous reading for up to {Format.Number(r.LongestS, 1)} s ({r.Motors}). The repeats "
                    + "were left out.",
            SpeedsFrozen f =>
                $"A speed stays the same for up to {Format.Number(f.LongestS, 1)} s while the rotor turns ({f.Motors}). That part "
                    + "was left out.",
            SpeedsIdentical i =>
                $"Reported speeds of {i.Motors} are exactly the same at all times, so the columns seem to be copies. These speeds were left out "
                    + "and searched for in the vibration.",
            SpeedOutOfProportion o =>
                $"One speed is {Format.Number(o.RatioToOthers, 2)} times that of the other motors, which no hover allows ({o.Motors}). It was "
                    + "left out and searched for in the vibration.",
            TemperaturesIdentical i =>
                $"Readings of {i.Columns} are the same as those of another column: columns seem to have been copied.",
            TemperaturesFrozen f =>
                $"Readings of {f.Columns} stop changing at {Format.Number(f.FromS, 0)} s while the unit must still warm up. What follows was left "
                    + "out.",
            TemperaturesCapped c =>
                $"Readings of {c.Columns} stop at {Format.Number(c.AtC, 0)} °C although the unit must get hotter. Readings at that limit were left "
                    + "out.",
            TemperaturesFloored f =>
                $"Readings of {f.Columns} stay at {Format.Number(f.AtC, 0)} °C under load and then rise at once: lower readings are cut off.",
            TemperatureJumps j =>
                $"Readings of {j.Columns} jump by {Format.Number(j.JumpC, 0)} °C from one to the next. No motor or ESC changes so fast.",
            FlightsJoined j =>
                $"At {Format.Number(j.AtS, 0)} s {Grammar.Count(j.Columns, "temperature")} {Grammar.Agree(j.Columns, "jumps", "jump")} by up to "
                    + $"{Format.Number(j.JumpC, 0)} °C. The file seems to hold two flights, or a part is missing. Give each flight a file of "
                    + "its own.",
            TemperaturesImplausible i =>
                $"Readings of {i.Columns} are {Format.Number(i.LeastC, 0)} to {Format.Number(i.MostC, 0)} °C, so the unit seems to be wrong. Give "
                    + "the unit in a columns file.",
            AmbientImplausible a =>
                $"An ambient temperature of {Format.Number(a.AmbientC, 0)} °C is not plausible. Check it, and check that the temperatures are in "
                    + "°C.",
            AmbientContradictsStart a =>
                $"Motors and ESCs start at {Format.Number(a.StartC, 1)} °C, but the ambient temperature is given as "
                    + $"{Format.Number(a.AmbientC, 1)} °C.",
            UnitStartsApart u =>
                $"{u.Column} starts at {Format.Number(u.StartC, 0)} °C, while all others start at {Format.Number(u.OthersC, 0)} °C: its readings "
                    + "are offset.",
            TemperatureStepsCoarse s => $"Readings of {s.Columns} come in steps of {Format.Number(s.StepC, 0)} °C.",
            TemperaturesStepWithCurrent s =>
                $"Readings of {s.Columns} step by {Format.Number(s.StepC, 0)} °C when the motors start or stop: the current shifts them, or the "
                    + "sensor is on a part that warms up at once.",
            HeatingDoesNotFollowLoad h =>
                $"Readings of {h.Columns} do not follow the load as the temperature of a motor or an ESC does (they differ by up to "
                    + $"{Format.Number(h.MostResidualC, 1)} °C rms).",
            HottestUnitMissing m =>
                $"Temperatures of {m.Motors} are missing {(m.MissingAfter ? "after" : "before")}, and the hottest unit may be among them.",
            MotorAndEscSwapped s =>
                $"The motor and ESC temperatures of {s.Motors} changed places between the flights: the columns seem to be swapped in one of "
                    + "them.",
            MotorsRenumbered r =>
                $"{r.Motors} exchanged their temperatures between the flights: they seem to be numbered differently on one side.",
            TemperaturesOfOneFlight t => $"Readings of {t.Columns} are the same before and after: they come from one flight.",
            RisesScaledAlike r =>
                $"All temperature rises changed by the same factor, {Format.Number(r.Ratio, 2)}, but the load did not change. The unit or the "
                    + "scale seems to differ between before and after.",
            TimeConstantsDiffer t =>
                $"Motors and ESCs seem to warm up with {Format.Number(t.Ratio, 2)} times the time constant of the flight before. On one side the "
                    + "temperatures drift, lag or are smoothed.",
            TemperatureChangeUnsupported c =>
                $"{c.Columns} changed by {Format.Signed(c.ChangeC, 0)} °C, and neither the load nor the other temperatures support that.",
            FlightsAreOne f =>
                $"The speeds of all motors wander in the same way before and after (correlation {Format.Number(f.Likeness, 2)}): both "
                    + $"logs come from one flight.",
            AircraftDiffers { RiseSpreadC: double riseC } a =>
                $"{Orders(a)}, and so did the temperatures (by {Format.Number(riseC, 1)} °C). The flights before and after seem to come from "
                    + "different aircraft.",
            AircraftDiffers a =>
                $"{Orders(a)}. The flights before and after seem to come from different aircraft, or all propellers were changed.",
            SpeedsRenumbered s =>
                $"{s.Motors} exchanged their orders and their speeds between the flights: the speeds seem to be numbered differently on "
                    + $"one side.",
            TemperatureStepsDiffer s =>
                $"Temperatures come in steps of {Format.Number(s.BeforeC, 3)} °C before and {Format.Number(s.AfterC, 3)} °C after: one side "
                    + $"seems to be scaled.",
            SpeedStepsCoarse s =>
                $"Speeds are recorded in steps of {Format.Number(s.StepRpm, 0)} rpm at {Format.Number(s.MeanRpm, 0)} rpm. The load goes with the "
                    + "cube of speed, so it is uncertain.",
            _ => null,
        };

    private static string Orders(AircraftDiffers a) =>
        $"{Grammar.Count(a.Orders, "higher order")} of the motors changed without a pattern (by {Format.Number(a.SpreadDb, 1)} dB from one to the "
        + "next)";

    private static string Percent(double share) => Format.Number(100 * share, share < 0.095 ? 1 : 0);
}
