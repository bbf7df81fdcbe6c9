namespace VibeCheck.Logs.Text;

/// <summary>Times written as text: ISO date-times, dates in national formats, and clock times, of 24 hours or of 12.</summary>
/// <remarks>A date with points or dashes is day first (1.5.2026). A date with slashes is month first where the clock has 12 hours or the
/// second part is above 12, else day first. Only the date of the log depends on this, not the time between its rows.</remarks>
internal static class StampText
{
    private const long TicksPerSecond = TimeSpan.TicksPerSecond;

    /// <summary>Reads "2026-05-01T12:00:00.123Z", "2026-05-01 12:00:00,123+02:00", "1.5.2026 12:00:00", "5/1/2026 1:00:00 PM",
    /// "12:00:00.123" or "03:12.5". Between date and time stands a T, a blank or an underscore; after a national date a comma too.</summary>
    /// <param name="cell">The cell, without quotes.</param>
    /// <param name="ticks">Whole 100 ns ticks: since 0001-01-01 UTC (a time without zone counts as UTC) or since midnight.</param>
    /// <param name="restS">The remainder below 100 ns, s.</param>
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

        int half = TakeHalf(ref text);
        if (!hasDate && TryLocalDate(text, half >= 0, ref at, ref ticks))
        {
            hasDate = true;
        }

        long before = ticks;
        return TryClock(text, half >= 0, ref at, ref ticks, ref restS)
            && (half < 0 ? TryZone(text[at..], ref ticks) : at == text.Length && TryHalf(half, before, ref ticks));
    }

    /// <summary>Removes am or pm from the end: 0 for am, 1 for pm, -1 for neither.</summary>
    private static int TakeHalf(ref ReadOnlySpan<byte> text)
    {
        ReadOnlySpan<byte> rest = text[^1] == '.' ? text[..^1] : text;
        if (rest.Length < 5 || (rest[^1] | 0x20) != 'm')
        {
            return -1;
        }

        rest = rest[^2] == '.' ? rest[..^2] : rest[..^1];
        int half = (rest[^1] | 0x20) switch
        {
            'a' => 0,
            'p' => 1,
            _ => -1,
        };
        if (half >= 0)
        {
            text = NumberText.Trim(rest[..^1]);
        }

        return half;
    }

    /// <summary>Adds the half of the day; twelve o'clock is the start of a half.</summary>
    private static bool TryHalf(int half, long before, ref long ticks)
    {
        const long HalfDay = 12 * TimeSpan.TicksPerHour;
        long clock = ticks - before;
        if (clock < TimeSpan.TicksPerHour || clock >= HalfDay + TimeSpan.TicksPerHour)
        {
            return false;
        }

        ticks = before + clock % HalfDay + half * HalfDay;
        return true;
    }

    /// <summary>Day, month and year with points, dashes or slashes; a comma, blanks or a T before the clock time.</summary>
    private static bool TryLocalDate(ReadOnlySpan<byte> text, bool twelveHours, ref int at, ref long ticks)
    {
        Span<int> parts = stackalloc int[3];
        int i = at,
            mark = 0;
        for (int n = 0; n < 3; n++)
        {
            int from = i,
                number = 0;
            while (i < text.Length && i - from < 4 && (uint)(text[i] - '0') <= 9)
            {
                number = number * 10 + (text[i++] - '0');
            }

            parts[n] = number;
            if (i == from || i >= text.Length || (n < 2 ? i - from > 2 : i - from != 4))
            {
                return false;
            }

            if (n < 2)
            {
                mark = n == 0 ? text[i] : mark;
                if (text[i++] != mark || mark is not ('.' or '-' or '/'))
                {
                    return false;
                }
            }
        }

        int blanks = i;
        while (i < text.Length && text[i] is (byte)' ' or (byte)',' or (byte)'T' or (byte)'_')
        {
            i++;
        }

        bool monthFirst = mark == '/' && (parts[1] > 12 || (twelveHours && parts[0] <= 12));
        (int day, int month) = monthFirst ? (parts[1], parts[0]) : (parts[0], parts[1]);
        if (i == blanks || parts[2] is < 1900 or > 9000 || month is < 1 or > 12 || day < 1 || day > DateTime.DaysInMonth(parts[2], month))
        {
            return false;
        }

        at = i;
        ticks = new DateTime(parts[2], month, day, 0, 0, 0, DateTimeKind.Utc).Ticks;
        return true;
    }

    private static bool TryDate(ReadOnlySpan<byte> text, out long ticks)
    {
        ticks = 0;
        int y = Digits(text, 0, 4),
            m = Digits(text, 5, 2),
            d = Digits(text, 8, 2);
        if (y is < 1900 or > 9000 || m is < 1 or > 12 || d < 1 || d > DateTime.DaysInMonth(y, m))
        {
            return false;
        }

        ticks = new DateTime(y, m, d, 0, 0, 0, DateTimeKind.Utc).Ticks;
        return true;
    }

    /// <summary>h:mm:ss[.f], mm:ss[.f]: the last part is always seconds, except for h:mm on a 12-hour clock.</summary>
    private static bool TryClock(ReadOnlySpan<byte> text, bool twelveHours, ref int at, ref long ticks, ref double restS)
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

        if (count == 2 && twelveHours)
        {
            ticks += (parts[0] * 3600 + parts[1] * 60) * TicksPerSecond;
            return true;
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
