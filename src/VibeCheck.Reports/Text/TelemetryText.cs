using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Words for faults of telemetry and of the ambient temperature.</summary>
internal static class TelemetryText
{
    /// <summary>One sentence for a fault; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            ReadingsDropped d => $"Up to {Percent(d.MostShare)} % of the readings of {d.Columns} are fillers or spikes and were left out.",
            ReportsRepeated r => $"The telemetry of {r.Motors} repeats the reading before for up to {Format.Number(r.LongestS, 1)} s; the "
                + $"repeats were left out.",
            SpeedsFrozen f =>
                $"The speed of {f.Motors} does not change for up to {Format.Number(f.LongestS, 1)} s while the rotor turns; that part was "
                    + $"left out.",
            SpeedsIdentical i =>
                $"{i.Motors} report exactly the same speed at all times: the columns seem to be copies. Their speeds were left out "
                    + $"and looked for in the vibration.",
            SpeedOutOfProportion o =>
                $"{o.Motors} reports {Format.Number(o.RatioToOthers, 2)} times the speed of the other motors, which no hover allows. Its "
                    + $"speed was left out and looked for in the vibration.",
            TemperaturesIdentical i => $"{i.Columns} hold the same numbers as another column: columns seem to have been copied.",
            TemperaturesFrozen f =>
                $"{f.Columns} stop changing at {Format.Number(f.FromS, 0)} s while the unit must still warm up; what follows was left out.",
            TemperaturesCapped c =>
                $"{c.Columns} stop at {Format.Number(c.AtC, 0)} °C, which the unit would pass; readings at the limit were left out.",
            TemperaturesFloored f =>
                $"{f.Columns} stay at {Format.Number(f.AtC, 0)} °C under load and then rise at once: lower readings are cut off.",
            TemperatureJumps j =>
                $"{j.Columns} jump by {Format.Number(j.JumpC, 0)} °C from one reading to the next, faster than any motor or ESC.",
            FlightsJoined j =>
                $"At {Format.Number(j.AtS, 0)} s {Format.Whole(j.Columns)} temperatures jump at once, by up to {Format.Number(j.JumpC, 0)} °C: "
                    + $"the file seems to hold two flights, or a part is missing. Give each flight a file of its own.",
            TemperaturesImplausible i =>
                $"{i.Columns} read {Format.Number(i.LeastC, 0)} to {Format.Number(i.MostC, 0)} °C: the unit seems to be wrong. "
                    + $"Give it in a columns file.",
            AmbientImplausible a =>
                $"An ambient temperature of {Format.Number(a.AmbientC, 0)} °C is not plausible. Check it, and whether the temperatures "
                    + $"are in °C.",
            AmbientContradictsStart a =>
                $"Motors and ESCs start at {Format.Number(a.StartC, 1)} °C, but the ambient temperature is given as "
                    + $"{Format.Number(a.AmbientC, 1)} °C.",
            UnitStartsApart u =>
                $"{u.Column} starts at {Format.Number(u.StartC, 0)} °C where all others start at {Format.Number(u.OthersC, 0)} °C: its "
                    + $"reading is off.",
            TemperatureStepsCoarse s => $"{s.Columns} are recorded in steps of {Format.Number(s.StepC, 0)} °C.",
            HeatingDoesNotFollowLoad h =>
                $"{h.Columns} do not follow the load as units that warm up do (off by {Format.Number(h.MostResidualC, 1)} °C).",
            HottestUnitMissing m =>
                $"The temperature of {m.Motors} is missing {(m.MissingAfter ? "after" : "before")}, and it may be the hottest.",
            MotorAndEscSwapped s =>
                $"At {s.Motors} motor and ESC exchanged their temperatures between the flights: the columns seem to be swapped on "
                    + $"one side.",
            MotorsRenumbered r =>
                $"{r.Motors} exchanged their temperatures between the flights: they seem to be numbered differently on one side.",
            TemperaturesOfOneFlight t => $"{t.Columns} hold the same numbers before and after: they come from one flight.",
            RisesScaledAlike r =>
                $"All temperature rises changed by the same factor, {Format.Number(r.Ratio, 2)}, without a change of load: the unit or "
                    + $"scale seems to differ on one side.",
            TimeConstantsDiffer t =>
                $"Motors and ESCs seem to warm up at {Format.Number(t.Ratio, 2)} times the time constant of the flight before: "
                    + $"temperatures drift, or are late or smoothed, on one side.",
            TemperatureChangeUnsupported c =>
                $"{c.Columns} changed by {Format.Signed(c.ChangeC, 0)} °C, and neither load nor the other temperatures support that.",
            FlightsAreOne f =>
                $"The speeds of all motors wander in the same way before and after (correlation {Format.Number(f.Likeness, 2)}): both "
                    + $"logs come from one flight.",
            AircraftDiffers { RiseSpreadC: double riseC } a =>
                $"The {a.Orders} higher orders of the motors changed without a pattern (by {Format.Number(a.SpreadDb, 1)} dB from one to the "
                    + $"next), and so did the temperatures (by {Format.Number(riseC, 1)} °C): the flights before and after seem to come from "
                    + $"different aircraft.",
            AircraftDiffers a =>
                $"The {a.Orders} higher orders of the motors changed without a pattern (by {Format.Number(a.SpreadDb, 1)} dB from one to the "
                    + $"next): the flights before and after seem to come from different aircraft, or all propellers were changed.",
            SpeedsRenumbered s =>
                $"{s.Motors} exchanged their orders and their speeds between the flights: the speeds seem to be numbered differently on "
                    + $"one side.",
            TemperatureStepsDiffer s =>
                $"Temperatures come in steps of {Format.Number(s.BeforeC, 2)} °C before and {Format.Number(s.AfterC, 2)} °C after: one side "
                    + $"seems to be scaled.",
            SpeedStepsCoarse s =>
                $"Speeds are recorded in steps of {Format.Number(s.StepRpm, 0)} rpm at {Format.Number(s.MeanRpm, 0)} rpm: the load, which "
                    + $"goes with the cube of speed, is uncertain.",
            _ => null,
        };

    private static string Percent(double share) => Format.Number(100 * share, share < 0.095 ? 1 : 0);
}
