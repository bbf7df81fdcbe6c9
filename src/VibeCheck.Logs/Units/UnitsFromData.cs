using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;

namespace VibeCheck.Logs.Units;

/// <summary>Decides the units of a log: finds units that headers do not give from the data, and checks units that headers give against the
/// data. It only reads the data.</summary>
internal static class UnitsFromData
{
    /// <summary>Decides the unit of every column that is used.</summary>
    /// <param name="table">The numbers in the log's own units.</param>
    /// <param name="plan">Its columns, with the motors to which they belong.</param>
    /// <exception cref="InputFaultException">Header and data contradict each other, or a unit cannot be found.</exception>
    internal static UnitDecision Decide(TimedTable table, ColumnPlan plan)
    {
        var warnings = new List<Warning>();
        ColumnPlan decided = plan;
        bool usesRates = false;
        if (plan.HasImu)
        {
            decided = decided.With(new AccelerationUnits(table, warnings).Decide([.. plan.Acceleration.Select(c => c!)]));
            if (plan.Rates[0] is not null)
            {
                IReadOnlyList<PlannedColumn> rates = new RateUnits(table, warnings).Decide(decided);
                decided = decided.With(rates);
                usesRates = rates[0].Used;
            }
        }

        var telemetry = new TelemetryUnits(table.Rows, warnings);
        foreach (
            IGrouping<Quantity, PlannedColumn> group in plan
                .Columns.Where(c =>
                    c.Used && table.Numbers.IsSparse(c.Index) && c.Channel!.Quantity is not (Quantity.MotorId or Quantity.ImuId)
                )
                .GroupBy(c => c.Channel!.Quantity)
        )
        {
            decided = decided.With(telemetry.Decide(group.Key, [.. group]));
        }

        return new(decided, usesRates, warnings);
    }
}
