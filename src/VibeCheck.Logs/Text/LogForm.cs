namespace VibeCheck.Logs.Text;

/// <summary>The layout of the text of a log.</summary>
internal sealed record LogForm
{
    internal required byte Separator { get; init; }

    internal required byte DecimalMark { get; init; }

    /// <summary>Headers, one for each column.</summary>
    internal required IReadOnlyList<string> Headers { get; init; }

    /// <summary>Units row below the header; null when there is none.</summary>
    internal IReadOnlyList<string>? UnitsRow { get; init; }

    /// <summary>Whether a header names the columns; otherwise they are called column 1, column 2 and so on.</summary>
    internal bool HasHeader { get; init; } = true;

    /// <summary>Line of the header, from 1; the first data line where there is none.</summary>
    internal required int HeaderLine { get; init; }

    /// <summary>Bytes of the header line, to recognise it where it is repeated within the data.</summary>
    internal required byte[] HeaderBytes { get; init; }

    /// <summary>Start of the data: byte in the head, and line from 1.</summary>
    internal required int DataOffset { get; init; }

    internal required int DataLine { get; init; }

    /// <summary>Whether the first data rows have quotes.</summary>
    internal required bool QuotedBody { get; init; }

    /// <summary>Fields of the first data rows, as text.</summary>
    internal required IReadOnlyList<string[]> FirstRows { get; init; }

    /// <summary>How the form was found, in short phrases for the user.</summary>
    internal required IReadOnlyList<string> Phrases { get; init; }

    internal static string NameOf(byte separator) =>
        separator switch
        {
            (byte)',' => "comma",
            (byte)';' => "semicolon",
            (byte)'\t' => "tab",
            (byte)'|' => "pipe",
            _ => "space",
        };
}
