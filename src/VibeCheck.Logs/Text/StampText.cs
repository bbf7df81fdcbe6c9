namespace VibeCheck.Logs.Text;

/// <summary>Times written for people: ISO date-times and clock times.</summary>
internal static class StampText
{
    private const long TicksPerSecond = TimeSpan.TicksPerSecond;

    /// <summary>Reads "2026-05-01T12:00:00.123Z", "2026-05-01 12:00:00,123+02:00", "12:00:00.123" or "03:12.5".</summary>
    /// <param name="cell">The cell, without quotes.</param>
    /// <param name="ticks">Whole 100 ns: since 0001-01-01 UTC (a time without zone counts as UTC) or since midnight.</param>
    /// <param name="restS">What lies below 100 ns, s.</param>
    /// <param name="hasDate">Whether there was a date.</param>
    internal static bool TryRead(ReadOnlySpan<byte> cell, out long ticks, out double restS, out bool hasDate)
    {
        ticks = 0;
        restS = 0;
        hasDate = false;
        ReadOnlySpan<byte> text = NumberText.Trim(cell);
        if (text.Length is < 4 or > 48)
        {
            return false;
        }

        int at = 0;
        if (text.Length >= 10 && text[4] is (byte)'-' or (byte)'/' or (byte)'.' && text[7] == text[4])
        {
            if (!TryDate(text, out long dayTicks) || text.Length < 11 || text[10] is not ((byte)'T' or (byte)'t' or (byte)' ' or (byte)'_'))
            {
                return false;
            }

            ticks = dayTicks;
            hasDate = true;
            at = 11;
        }

        return TryClock(text, ref at, ref ticks, ref restS) && TryZone(text[at..], ref ticks);
    }

    private static bool TryDate(ReadOnlySpan<byte> text, out long ticks)
    {
        ticks = 0;
        int y = Digits(text, 0, 4), m = Digits(text, 5, 2), d = Digits(text, 8, 2);
        if (y is < 1900 or > 9000 || m is < 1 or > 12 || d < 1 || d > DateTime.DaysInMonth(y, m))
        {
            return false;
        }

        ticks = new DateTime(y, m, d, 0, 0, 0, DateTimeKind.Utc).Ticks;
        return true;
    }

    /// <summary>h:mm:ss[.f], mm:ss[.f] (the last part always seconds).</summary>
    private static bool TryClock(ReadOnlySpan<byte> text, ref int at, ref long ticks, ref double restS)
    {
        Span<long> parts = stackalloc long[3];
        int count = 0;
        while (count < 3)
        {
            int from = at;
            long part = 0;
            while (at < text.Length && (uint)(text[at] - '0') <= 9 && at - from < 6)
            {
                part = part * 10 + (text[at++] - '0');
            }

            if (at == from)
            {
                return false;
            }

            parts[count++] = part;
            if (at == text.Length || text[at] != ':')
            {
                break;
            }

            at++;
        }

        if (count < 2 || parts[count - 1] > 60 || (count == 3 && parts[1] > 59))
        {
            return false;
        }

        ticks += (count == 3 ? parts[0] * 3600 + parts[1] * 60 + parts[2] : parts[0] * 60 + parts[1]) * TicksPerSecond;
        if (at < text.Length && text[at] is (byte)'.' or (byte)',')
        {
            at++;
            double unit = 1;
            double fraction = 0;
            while (at < text.Length && (uint)(text[at] - '0') <= 9)
            {
                unit /= 10;
                fraction += (text[at++] - '0') * unit;
            }

            long more = (long)(fraction * TicksPerSecond);
            ticks += more;
            restS = fraction - (double)more / TicksPerSecond;
        }

        return true;
    }

    private static bool TryZone(ReadOnlySpan<byte> zone, ref long ticks)
    {
        if (zone.Length == 0 || (zone.Length == 1 && (zone[0] | 0x20) == 'z'))
        {
            return true;
        }

        if (zone[0] is not ((byte)'+' or (byte)'-') || zone.Length is not (3 or 5 or 6))
        {
            return false;
        }

        int hours = Digits(zone, 1, 2);
        int minutes = zone.Length == 3 ? 0 : Digits(zone, zone.Length - 2, 2);
        if (hours is < 0 or > 14 || minutes is < 0 or > 59)
        {
            return false;
        }

        ticks -= (zone[0] == '-' ? -1 : 1) * (hours * 60L + minutes) * 60 * TicksPerSecond;
        return true;
    }

    private static int Digits(ReadOnlySpan<byte> text, int from, int count)
    {
        int number = 0;
        for (int i = from; i < from + count; i++)
        {
            if (i >= text.Length || (uint)(text[i] - '0') > 9)
            {
                return -1;
            }

            number = number * 10 + (text[i] - '0');
        }

        return number;
    }
}
