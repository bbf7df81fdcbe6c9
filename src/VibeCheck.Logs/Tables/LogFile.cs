using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Clocks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Tables;

/// <summary>One log file read into columns, units applied, stamps made to rise; not yet on an even clock.</summary>
internal sealed class LogFile
{
    internal LogFile(string path, LogForm form, ColumnPlan plan, LogBody body)
    {
        (Path, Form, Plan, Body) = (path, form, plan, body);
        Phrases = [.. form.Phrases];
        Warnings = [.. plan.Warnings];
    }

    internal string Path { get; }

    internal LogForm Form { get; }

    internal ColumnPlan Plan { get; }

    internal LogBody Body { get; }

    internal List<string> Phrases { get; }

    internal List<Warning> Warnings { get; }

    /// <summary>Time of each row, s from <see cref="OriginS"/>; NaN where the row's stamp could not be used.</summary>
    internal double[] TimeS { get; set; } = [];

    /// <summary>Clock reading of the first row, s, on the logger's own clock (since 1970
    /// where <see cref="StartedUtc"/> is known).</summary>
    internal double OriginS { get; set; }

    /// <summary>Wall clock time of the first row; null for a relative clock.</summary>
    internal DateTime? StartedUtc { get; set; }

    /// <summary>Clock reading of the first row where that is no wall clock or huge count; else 0.</summary>
    internal double OriginOrZero => StartedUtc.HasValue || OriginS is > 1e6 or < -1e6 ? 0 : OriginS;

    /// <summary>Time of the first usable row, s.</summary>
    internal double FirstTimeS => Array.Find(TimeS, t => !double.IsNaN(t));

    /// <summary>Time of the last usable row, s.</summary>
    internal double LastTimeS => Array.FindLast(TimeS, t => !double.IsNaN(t));

    /// <summary>Rows with acceleration or rates that no sensor gives.</summary>
    internal int RowsBeyondSensors { get; set; }

    internal StampNotes Stamps { get; set; } = new();

    /// <summary>Acceleration by row, m/s², x y z; null when the file has none. Handed over by <see cref="TakeInertial"/>.</summary>
    internal double[][]? AccelerationMps2 { get; set; }

    internal double[][]? RatesRadps { get; set; }

    /// <summary>For each row the label in the IMU number column; null when there is none.</summary>
    internal SparseColumn? ImuLabels => Plan.ImuId is { } id ? Body.Sparse[id.Index] : null;

    internal MotorNames Motors { get; set; } = new(null, []);

    internal string? ContentHash { get; set; }

    /// <summary>Hands over the inertial columns and forgets them, so that they stand in memory once.</summary>
    internal (double[][] AccelerationMps2, double[][]? RatesRadps) TakeInertial()
    {
        (double[][] acceleration, double[][]? rates) = (AccelerationMps2!, RatesRadps);
        (AccelerationMps2, RatesRadps) = (null, null);
        return (acceleration, rates);
    }

    internal void DropRates() => RatesRadps = null;

    internal SparseColumn Values(PlannedColumn column) => Body.Sparse[column.Index]!;

    internal InputFaultException Fault(int? line, int? column, string problem, string remedy) =>
        new(new InputFault(Path, line, column, problem, remedy));
}
