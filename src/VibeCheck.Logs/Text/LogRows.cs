using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Text;

/// <summary>What is known of the rows of a log beside their numbers: how many there are, which could not be used, and where each
/// stands in the file. All stages after reading share it.</summary>
internal sealed record LogRows
{
    internal required string Path { get; init; }

    internal required LogForm Form { get; init; }

    internal required string ContentHash { get; init; }

    /// <summary>Rows kept.</summary>
    internal required int Kept { get; init; }

    /// <summary>Rows seen, unusable ones with them; repeated headers and comments not.</summary>
    internal required int Seen { get; init; }

    internal required int Unusable { get; init; }

    internal required int RepeatedHeaders { get; init; }

    internal required bool CutLastLine { get; init; }

    /// <summary>The first cells and rows that could not be used.</summary>
    internal required IReadOnlyList<BadCell> Examples { get; init; }

    /// <summary>Texts of the columns that name a motor or an IMU; their numbers are places in this list.</summary>
    internal required IReadOnlyList<string> Labels { get; init; }

    /// <summary>What each column gave, in the numbers of the log.</summary>
    internal required IReadOnlyList<ColumnCount> Counts { get; init; }

    /// <summary>From which kept row on lines run ahead of rows by how many.</summary>
    internal required IReadOnlyList<(int FromRow, int Ahead)> Lines { get; init; }

    /// <summary>Line of the file, from 1, in which a kept row stands.</summary>
    internal int LineOf(int row) => row + Lines.LastOrDefault(l => l.FromRow <= row).Ahead;

    internal InputFaultException Fault(int? line, int? column, string problem, string remedy) =>
        new(new InputFault(Path, line, column, problem, remedy));
}
