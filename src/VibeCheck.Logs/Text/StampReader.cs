namespace VibeCheck.Logs.Text;

/// <summary>Reads the time column: numbers in their unit, or times written for people in seconds; kept relative to the first.</summary>
internal sealed class StampReader(byte decimalMark, bool isText)
{
    private long _base;
    private bool _started;

    /// <summary>Whether times are written for people.</summary>
    internal bool IsText { get; } = isText;

    /// <summary>Whether they have a date.</summary>
    internal bool HasDate { get; private set; }

    /// <summary>Whole part of the first stamp (100 ns ticks where times are text), which all others are relative to.</summary>
    internal long Base => _base;

    /// <summary>Reads one cell; false when it is no stamp.</summary>
    internal bool TryRead(ReadOnlySpan<byte> line, ref int at, int end, out double relative)
    {
        relative = double.NaN;
        if (!IsText)
        {
            if (!NumberText.TryReadStamp(line, ref at, decimalMark, out long whole, out double fraction))
            {
                return false;
            }

            Start(whole);
            relative = (double)(whole - _base) + fraction;
            return true;
        }

        if (!StampText.TryRead(line[at..end], out long ticks, out double restS, out bool hasDate))
        {
            return false;
        }

        HasDate |= hasDate;
        Start(ticks);
        relative = (ticks - _base) / (double)TimeSpan.TicksPerSecond + restS;
        at = end;
        return true;
    }

    private void Start(long whole)
    {
        if (!_started)
        {
            _base = whole;
            _started = true;
        }
    }
}
