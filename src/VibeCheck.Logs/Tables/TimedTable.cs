using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Clocks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Tables;

/// <summary>A raw table with the time of each row; time stamps rise and rows are in order.</summary>
internal sealed record TimedTable
{
    internal required LogRows Rows { get; init; }

    internal required ColumnPlan Plan { get; init; }

    /// <summary>The numbers in the log's own units, without the time stamps.</summary>
    internal required ColumnNumbers Numbers { get; init; }

    /// <summary>Time of each row, s from <see cref="OriginS"/>; NaN where the row's stamp could not be used.</summary>
    internal required double[] TimeS { get; init; }

    /// <summary>Clock reading of the first row, s, on the logger's own clock (since 1970 where <see cref="StartedUtc"/> is
    /// known).</summary>
    internal double OriginS { get; init; }

    /// <summary>Wall clock time of the first row; null for a relative clock.</summary>
    internal DateTime? StartedUtc { get; init; }

    /// <summary>Findings about the raw time stamps.</summary>
    internal StampNotes Stamps { get; init; } = new();

    /// <summary>How the time was read, for people.</summary>
    internal required IReadOnlyList<string> Phrases { get; init; }

    internal IReadOnlyList<Warning> Warnings { get; init; } = [];
}
