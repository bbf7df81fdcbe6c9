using System.Text;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Text;

/// <summary>The first part of a log, from which its form is found: bytes and their lines.</summary>
internal sealed class LogHead
{
    /// <summary>Longest line allowed, bytes: enough for a header of a hundred thousand columns.</summary>
    internal const int LongestLine = 8 << 20;

    private const int Enough = 128 << 10;
    private const int EnoughLines = 40;
    private const int MostLines = 4000;

    private LogHead(byte[] bytes, int count, bool whole, List<(int From, int To)> lines, bool latin1)
    {
        Bytes = bytes;
        Count = count;
        IsWhole = whole;
        Lines = lines;
        IsLatin1 = latin1;
    }

    internal byte[] Bytes { get; }

    internal int Count { get; }

    /// <summary>Whether the head is the whole file.</summary>
    internal bool IsWhole { get; }

    /// <summary>Complete lines without their line breaks.</summary>
    internal IReadOnlyList<(int From, int To)> Lines { get; }

    internal bool IsLatin1 { get; }

    internal ReadOnlySpan<byte> Line(int index) => Bytes.AsSpan(Lines[index].From, Lines[index].To - Lines[index].From);

    internal string Text(int index) => Decode(Line(index));

    internal string Decode(ReadOnlySpan<byte> bytes) => (IsLatin1 ? Encoding.Latin1 : Encoding.UTF8).GetString(bytes);

    internal static LogHead Read(LogSource source)
    {
        byte[] bytes = new byte[Enough];
        int count = 0;
        bool whole = false;
        while (true)
        {
            int got = source.Read(bytes.AsSpan(count));
            count += got;
            whole = count < bytes.Length;
            int breaks = LineBreaks(bytes.AsSpan(0, count));
            if (whole || breaks >= EnoughLines || bytes.Length >= 2 * LongestLine)
            {
                break;
            }

            Array.Resize(ref bytes, Math.Min(bytes.Length * 4, 2 * LongestLine));
        }

        RefuseBinary(source.Path, bytes.AsSpan(0, Math.Min(count, 4096)));
        List<(int, int)> lines = SplitLines(bytes.AsSpan(0, count), whole);
        foreach ((int from, int to) in lines)
        {
            if (to - from > LongestLine)
            {
                throw TooLong(source.Path, lines.IndexOf((from, to)) + 1);
            }
        }

        if (lines.Count == 0)
        {
            throw TooLong(source.Path, 1);
        }

        return new(bytes, count, whole, lines, !IsUtf8(bytes.AsSpan(0, lines[^1].Item2)));
    }

    internal static InputFaultException TooLong(string path, int line) =>
        new(
            new InputFault(
                path,
                line,
                null,
                $"this line is longer than {LongestLine >> 20} MB",
                "This is not a log that the tool can read; check the export."
            )
        );

    private static int LineBreaks(ReadOnlySpan<byte> bytes)
    {
        int lf = bytes.Count((byte)'\n');
        return lf > 0 ? lf : bytes.Count((byte)'\r');
    }

    private static List<(int, int)> SplitLines(ReadOnlySpan<byte> bytes, bool whole)
    {
        byte end = bytes.IndexOf((byte)'\n') < 0 ? (byte)'\r' : (byte)'\n';
        var lines = new List<(int, int)>();
        int from = 0;
        while (from < bytes.Length && lines.Count < MostLines)
        {
            int length = bytes[from..].IndexOf(end);
            if (length < 0)
            {
                if (whole)
                {
                    lines.Add((from, bytes.Length));
                }

                break;
            }

            int to = from + length;
            lines.Add((from, to > from && bytes[to - 1] == '\r' ? to - 1 : to));
            from = to + 1;
        }

        return lines;
    }

    private static bool IsUtf8(ReadOnlySpan<byte> bytes) => System.Text.Unicode.Utf8.IsValid(bytes);

    private static void RefuseBinary(string path, ReadOnlySpan<byte> start)
    {
        int odd = 0;
        foreach (byte b in start)
        {
            odd += b < 32 && b is not ((byte)'\t' or (byte)'\r' or (byte)'\n' or 0x0c or 0x1a) ? 1 : 0;
        }

        if (odd > start.Length / 50 + 1)
        {
            throw new InputFaultException(
                new InputFault(
                    path,
                    null,
                    null,
                    "this is not a text file (it holds bytes that no text has)",
                    "Export the log as CSV and give that file."
                )
            );
        }
    }
}
