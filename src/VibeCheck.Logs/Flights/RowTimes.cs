using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Checks;
using VibeCheck.Logs.Clocks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;
using VibeCheck.Logs.Units;

namespace VibeCheck.Logs.Flights;

/// <summary>The step from a raw table to one with the time of each row.</summary>
internal static class RowTimes
{
    /// <exception cref="InputFaultException">The stamps cannot be used.</exception>
    internal static TimedTable Of(RawTable raw, ColumnPlan plan, StampReader? stamps, ReadOptions options)
    {
        if (stamps is null)
        {
            return ByRate(raw, plan, (options.RowsPerSecond ?? options.Columns?.RowsPerSecond)!.Value);
        }

        double[] timeS = raw.Numbers.TakeDense(plan.Time!.Index);
        if (stamps.FirstApart is double apart && timeS.Length > 0 && raw.Rows.LineOf(0) == stamps.FirstLine)
        {
            timeS[0] = apart;
        }

        return ClockBounds.Checked(stamps.IsText ? OfText(raw, plan, timeS, stamps) : OfCounts(raw, plan, timeS, stamps));
    }

    private static TimedTable ByRate(RawTable raw, ColumnPlan plan, double rateHz)
    {
        double[] timeS = new double[raw.Rows.Kept];
        for (int i = 0; i < timeS.Length; i++)
        {
            timeS[i] = i / rateHz;
        }

        return new()
        {
            Rows = raw.Rows,
            Plan = plan,
            Numbers = raw.Numbers,
            TimeS = timeS,
            Phrases = [string.Create(CultureInfo.InvariantCulture, $"no time column, {rateHz} rows a second as given")],
        };
    }

    /// <summary>Times written for people are read in seconds.</summary>
    private static TimedTable OfText(RawTable raw, ColumnPlan plan, double[] timeS, StampReader stamps)
    {
        DateTime? startedUtc = stamps.HasDate ? new DateTime(stamps.Base, DateTimeKind.Utc) : null;
        return Rising(
            new()
            {
                Rows = raw.Rows,
                Plan = plan,
                Numbers = raw.Numbers,
                TimeS = timeS,
                StartedUtc = startedUtc,
                OriginS = startedUtc is { } start
                    ? (start - DateTime.UnixEpoch).TotalSeconds
                    : stamps.Base / (double)TimeSpan.TicksPerSecond,
                Phrases = [stamps.HasDate ? "time as date and time" : "time as hh:mm:ss"],
            },
            ticks: 0
        );
    }

    /// <param name="raw">The table.</param>
    /// <param name="plan">Its columns.</param>
    /// <param name="counts">The stamps in the unit of the log, taken from the table; they become seconds in place.</param>
    /// <param name="stamps">Read the stamps.</param>
    private static TimedTable OfCounts(RawTable raw, ColumnPlan plan, double[] counts, StampReader stamps)
    {
        PlannedColumn column = TimeUnit.Resolve(raw.Rows, plan.Time!, counts, plan.HasImu);
        double ticks = column.Unit!.Factor * column.Scale;
        for (int i = 0; i < counts.Length; i++)
        {
            counts[i] *= ticks;
        }

        double originS = stamps.Base * ticks;
        return Rising(
            new()
            {
                Rows = raw.Rows,
                Plan = plan.With([column]),
                Numbers = raw.Numbers,
                TimeS = counts,
                OriginS = originS,
                StartedUtc = originS is > 1.0e9 and < 4.0e9 ? DateTime.UnixEpoch.AddTicks((long)(originS * TimeSpan.TicksPerSecond)) : null,
                Phrases = [$"time in {column.Unit.Symbol}"],
            },
            ticks
        );
    }

    /// <summary>Makes the stamps rise. The times were taken from the log for this table, so they are corrected where they stand.</summary>
    private static TimedTable Rising(TimedTable table, double ticks)
    {
        if (table.Plan.MotorId is not null && !table.Plan.HasImu)
        {
            // One motor after the other in one file: each has its own run of stamps.
            return table;
        }

        var warnings = new List<Warning>();
        if (RowOrder.Find(table.TimeS, table.Numbers.AreAlike) is { } order)
        {
            table = table with { TimeS = Array.ConvertAll(order, row => table.TimeS[row]), Numbers = table.Numbers.Reordered(order) };
            warnings.Add(new("rows-sorted", "Rows were out of order in time; they were sorted by their time stamps."));
        }

        StampNotes stamps = StampCleaner.Clean(table.TimeS, ticks);
        void Warn(int count, string code, string text)
        {
            if (count > 0)
            {
                warnings.Add(new(code, string.Create(CultureInfo.InvariantCulture, $"{count} × {text}")));
            }
        }

        Warn(
            stamps.Wraps,
            "clock-wrapped",
            table.Plan.TimeIsText
                ? "the clock passed midnight; corrected."
                : "the time counter overflowed and restarted at zero; corrected."
        );
        Warn(
            stamps.Resets,
            "clock-reset",
            "the time jumped back for good: the logger restarted. The pause is not in the log; 1 s was put there, and nothing is "
                + "calculated across it."
        );
        Warn(stamps.StepsBack, "steps-back", "a row was out of order in time and was left out.");
        return table with { Stamps = stamps, Warnings = warnings };
    }
}
