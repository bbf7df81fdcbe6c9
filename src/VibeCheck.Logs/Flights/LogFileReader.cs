using VibeCheck.Core.Airframes;
using VibeCheck.Logs.Checks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Forms;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;
using VibeCheck.Logs.Units;

namespace VibeCheck.Logs.Flights;

/// <summary>Reads one log file, stage by stage: form, columns, rows, times, motors, units. Each stage makes a new value of the one
/// before.</summary>
internal static class LogFileReader
{
    /// <exception cref="InputFaultException">The file cannot be used.</exception>
    internal static ScaledTable Read(string path, ReadOptions options, Airframe? airframe, CancellationToken cancellation)
    {
        using LogSource source = LogSource.Open(path);
        LogHead head = LogHead.Read(source);
        LogForm form = FormFinder.Find(head, source, options.Columns?.DecimalMark);
        ColumnPlan plan = ColumnPlan.Of(form, options, path);
        StampReader? stamps = plan.Time is null ? null : new StampReader(form.DecimalMark, plan.TimeIsText);
        var body = new LogBody(source, form, plan.Tasks(), stamps, options.MaxRows, options.Progress);
        RawTable raw = body.Read(head, cancellation);
        RowNotes notes = RowNotes.Of(raw.Rows, options.MaxUnusableShare);
        TimedTable timed = RowTimes.Of(raw, plan, stamps, options);
        NamedMotors named = NamedMotors.Of(timed.Plan, timed.Rows, airframe);
        RequireAcceleration(named.Plan, timed.Rows);
        UnitDecision units = UnitsFromData.Decide(timed, named.Plan);
        ScaledTable scaled = UnitScaling.Apply(
            timed,
            units,
            named.Names,
            [.. form.Phrases, .. notes.Phrases, .. timed.Phrases, .. named.Phrases],
            [.. plan.Warnings, .. notes.Warnings, .. timed.Warnings, .. named.Warnings, .. units.Warnings]
        );
        return NamedMotors.WithoutUnknown(SensorBounds.Applied(scaled, options.MaxUnusableShare));
    }

    private static void RequireAcceleration(ColumnPlan plan, LogRows rows)
    {
        int missing = Array.FindIndex(plan.Acceleration, a => a is null);
        if (!plan.HasImu || missing < 0)
        {
            return;
        }

        string found = string.Join(", ", plan.Acceleration.Where(a => a is not null).Select(a => $"'{CellText.Cut(a!.Header)}'"));
        throw rows.Fault(
            rows.Form.HeaderLine,
            null,
            $"acceleration along {"xyz"[missing]} is missing (found {found})",
            "Export all three axes, or name the columns in a columns file (vibecheck read --write-columns)."
        );
    }
}
