namespace VibeCheck.Logs.Text;

/// <summary>Reads the time column: numbers in their unit, or times written as text, in seconds; values are stored relative to the
/// first.</summary>
/// <remarks>Where the first stamp is so far from the second that differences to it are no longer exact, all stamps are relative to the
/// second, and <see cref="FirstApart"/> holds where the first is.</remarks>
internal sealed class StampReader(byte decimalMark, bool isText)
{
    // Whole numbers up to this size are exact, with a fraction of a thousandth (double precision).
    private const double MostExact = 1L << 43;

    private long _base;
    private int _read;

    /// <summary>Line of the row that is read, from 1.</summary>
    internal int Line { get; set; }

    /// <summary>Line of the first stamp.</summary>
    internal int FirstLine { get; private set; }

    /// <summary>Whether times are written as text.</summary>
    internal bool IsText { get; } = isText;

    /// <summary>Whether they have a date.</summary>
    internal bool HasDate { get; private set; }

    /// <summary>Whole part of the first stamp (100 ns ticks where times are text), or of the second; all other stamps are relative to
    /// it.</summary>
    internal long Base => _base;

    /// <summary>The first stamp relative to <see cref="Base"/>, in the unit of the others, where the second is the base; else null.</summary>
    internal double? FirstApart { get; private set; }

    /// <summary>Reads one cell; false when it is not a time stamp.</summary>
    internal bool TryRead(ReadOnlySpan<byte> line, ref int at, int end, out double relative)
    {
        relative = double.NaN;
        if (!IsText)
        {
            if (!NumberText.TryReadStamp(line, ref at, decimalMark, out long whole, out double fraction))
            {
                return false;
            }

            relative = Apart(whole) + fraction;
            return true;
        }

        if (!StampText.TryRead(line[at..end], out long ticks, out double restS, out bool hasDate))
        {
            return false;
        }

        HasDate |= hasDate;
        relative = Apart(ticks) / TimeSpan.TicksPerSecond + restS;
        at = end;
        return true;
    }

    private double Apart(long whole)
    {
        if (_read < 2)
        {
            Begin(whole);
        }

        // Stamps at both ends of the range are further apart than a whole number can hold.
        long apart = unchecked(whole - _base);
        return ((whole ^ _base) & (whole ^ apart)) < 0 ? (double)whole - _base : apart;
    }

    private void Begin(long whole)
    {
        double apart = (double)whole - _base;
        if (_read == 0 || Math.Abs(apart) > MostExact)
        {
            FirstApart =
                _read == 0 ? null
                : IsText ? -apart / TimeSpan.TicksPerSecond
                : -apart;
            FirstLine = _read == 0 ? Line : FirstLine;
            _base = whole;
        }

        _read++;
    }
}
