using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Text;

/// <summary>What is known about the rows of a log apart from their numbers: how many there are, which could not be used, and the place of
/// each in the file. All stages after reading share it.</summary>
internal sealed record LogRows
{
    internal required string Path { get; init; }

    internal required LogForm Form { get; init; }

    internal required string ContentHash { get; init; }

    /// <summary>Number of rows kept.</summary>
    internal required int Kept { get; init; }

    /// <summary>Number of all rows, including unusable ones; repeated headers and comments are not rows.</summary>
    internal required int Seen { get; init; }

    internal required int Unusable { get; init; }

    internal required int RepeatedHeaders { get; init; }

    internal required bool CutLastLine { get; init; }

    /// <summary>The first cells and rows that could not be used.</summary>
    internal required IReadOnlyList<BadCell> Examples { get; init; }

    /// <summary>Texts of the columns that name a motor or an IMU; the numbers in these columns are indices into this list.</summary>
    internal required IReadOnlyList<string> Labels { get; init; }

    /// <summary>Count and range of each column, in the log's own units.</summary>
    internal required IReadOnlyList<ColumnCount> Counts { get; init; }

    /// <summary>The difference between line number and row number, at each row where it changes.</summary>
    internal required IReadOnlyList<(int FromRow, int Ahead)> Lines { get; init; }

    /// <summary>Line of the file, from 1, of a kept row (from 0).</summary>
    internal int LineOf(int row) => row + Lines.LastOrDefault(l => l.FromRow <= row).Ahead;

    internal InputFaultException Fault(int? line, int? column, string problem, string remedy) =>
        new(new InputFault(Path, line, column, problem, remedy));
}
