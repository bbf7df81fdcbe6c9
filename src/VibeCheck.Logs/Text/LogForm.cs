namespace VibeCheck.Logs.Text;

/// <summary>How the text of a log is laid out.</summary>
internal sealed record LogForm
{
    internal required byte Separator { get; init; }

    internal required byte DecimalMark { get; init; }

    /// <summary>Headers, one a column.</summary>
    internal required IReadOnlyList<string> Headers { get; init; }

    /// <summary>Units row below the header; null when there is none.</summary>
    internal IReadOnlyList<string>? UnitsRow { get; init; }

    /// <summary>Whether a header names the columns; without one they are called column 1, column 2 and on.</summary>
    internal bool HasHeader { get; init; } = true;

    /// <summary>Line of the header, from 1; the first data line where there is none.</summary>
    internal required int HeaderLine { get; init; }

    /// <summary>Bytes of the header line, to recognise it where it is repeated among the data.</summary>
    internal required byte[] HeaderBytes { get; init; }

    /// <summary>Where the data start: byte in the head and line from 1.</summary>
    internal required int DataOffset { get; init; }

    internal required int DataLine { get; init; }

    /// <summary>Whether the first data rows have quotes.</summary>
    internal required bool QuotedBody { get; init; }

    /// <summary>Fields of the first data rows, as text.</summary>
    internal required IReadOnlyList<string[]> FirstRows { get; init; }

    /// <summary>How the form was read, in short phrases for the user.</summary>
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
