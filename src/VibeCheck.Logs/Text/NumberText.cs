using System.Buffers.Text;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace VibeCheck.Logs.Text;

/// <summary>Reads numbers from bytes, as fast as the file can be read.</summary>
internal static class NumberText
{
    private const ulong MostExact = 1UL << 53;

    private static ReadOnlySpan<double> PowersOf10 =>
        [1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22];

    /// <summary>Reads a decimal number at <paramref name="at"/> and moves it behind the number. The result is the double nearest to the
    /// text.</summary>
    /// <remarks>A whole number below 2^53 times or divided by a power of ten up to 10^22 is exact in one operation (Clinger, PLDI 1990).
    /// Longer numbers go to the framework's parser.</remarks>
    internal static bool TryRead(ReadOnlySpan<byte> line, ref int at, byte decimalMark, out double value)
    {
        int i = at;
        ref byte start = ref MemoryMarshal.GetReference(line);
        int length = line.Length;
        bool negative = false;
        if (i < length && Unsafe.Add(ref start, i) is (byte)'-' or (byte)'+')
        {
            negative = Unsafe.Add(ref start, i) == '-';
            i++;
        }

        int digitsFrom = i;
        ulong mantissa = 0;
        uint digit;
        while (i < length && (digit = (uint)(Unsafe.Add(ref start, i) - '0')) <= 9)
        {
            mantissa = mantissa * 10 + digit;
            i++;
        }

        int digits = i - digitsFrom;
        int scale = 0;
        if (i < length && Unsafe.Add(ref start, i) == decimalMark)
        {
            int fractionFrom = ++i;
            while (i < length && (digit = (uint)(Unsafe.Add(ref start, i) - '0')) <= 9)
            {
                mantissa = mantissa * 10 + digit;
                i++;
            }

            scale = i - fractionFrom;
            digits += scale;
        }

        if (digits == 0)
        {
            value = double.NaN;
            return false;
        }

        if (digits > 18 || scale > 22 || mantissa > MostExact || (i < line.Length && (line[i] | 0x20) == 'e'))
        {
            return TryReadLong(line, ref at, i, decimalMark, out value);
        }

        double magnitude = scale == 0 ? mantissa : mantissa / PowersOf10[scale];
        value = negative ? -magnitude : magnitude;
        at = i;
        return true;
    }

    /// <summary>Reads a whole cell with thousands separators: 1,234.5 or 1.234,5 or 1'234.5 or 1 234,5 (blank, no-break or narrow
    /// blank).</summary>
    /// <param name="cell">The cell, without blanks around it.</param>
    /// <param name="decimalMark">Decimal mark of the log; it cannot separate thousands.</param>
    /// <param name="isClear">Whether the cell has no other meaning: two groups, a decimal mark after them, or a separator that is never a
    /// decimal mark.</param>
    /// <param name="value">The number; NaN where there is none.</param>
    internal static bool TryReadGrouped(ReadOnlySpan<byte> cell, byte decimalMark, out bool isClear, out double value)
    {
        (value, isClear) = (double.NaN, false);
        if (cell.Length is < 5 or > 40)
        {
            return false;
        }

        Span<byte> plain = stackalloc byte[40];
        int count = 0,
            groups = 0,
            sinceGroup = 0,
            i = 0;
        ReadOnlySpan<byte> mark = default;
        if (cell[0] is (byte)'-' or (byte)'+')
        {
            plain[count++] = cell[i++];
        }

        while (i < cell.Length && cell[i] != decimalMark)
        {
            if ((uint)(cell[i] - '0') <= 9)
            {
                plain[count++] = cell[i++];
                sinceGroup++;
                continue;
            }

            ReadOnlySpan<byte> here = GroupMark(cell[i..]);
            if (
                here.Length == 0
                || (groups > 0 && (!here.SequenceEqual(mark) || sinceGroup != 3))
                || (groups == 0 && sinceGroup is < 1 or > 3)
            )
            {
                return false;
            }

            mark = here;
            (groups, sinceGroup) = (groups + 1, 0);
            i += here.Length;
        }

        if (groups == 0 || sinceGroup != 3)
        {
            return false;
        }

        isClear = groups > 1 || i < cell.Length || mark[0] is not ((byte)',' or (byte)'.');
        cell[i..].CopyTo(plain[count..]);
        count += cell.Length - i;
        int at = 0;
        return TryRead(plain[..count], ref at, decimalMark, out value) && at == count;
    }

    private static ReadOnlySpan<byte> GroupMark(ReadOnlySpan<byte> text) =>
        text[0] is (byte)',' or (byte)'.' or (byte)'\'' or (byte)' ' ? text[..1]
        : text.StartsWith("\u00A0"u8) ? text[..2]
        : text.StartsWith("\u202F"u8) || text.StartsWith("\u2019"u8) ? text[..3]
        : text[0] == 0xA0 ? text[..1]
        : default;

    /// <summary>Reads a stamp as whole part and fraction, so that nanoseconds since 1970 keep every digit.</summary>
    internal static bool TryReadStamp(ReadOnlySpan<byte> line, ref int at, byte decimalMark, out long whole, out double fraction)
    {
        int i = at;
        bool negative = i < line.Length && line[i] == '-';
        i += negative || (i < line.Length && line[i] == '+') ? 1 : 0;
        int from = i;
        long number = 0;
        while (i < line.Length && (uint)(line[i] - '0') <= 9 && i - from < 18 + 1)
        {
            number = number * 10 + (line[i] - '0');
            i++;
        }

        bool longer = i - from > 18 && (number < 0 || (i < line.Length && (uint)(line[i] - '0') <= 9));
        int digits = i - from;
        long part = 0;
        int places = 0;
        if (i < line.Length && line[i] == decimalMark)
        {
            i++;
            while (i < line.Length && (uint)(line[i] - '0') <= 9)
            {
                if (places < 18)
                {
                    part = part * 10 + (line[i] - '0');
                    places++;
                }

                digits++;
                i++;
            }
        }

        whole = 0;
        fraction = 0;
        if (digits == 0)
        {
            return false;
        }

        if (longer || (i < line.Length && (line[i] | 0x20) == 'e'))
        {
            if (!TryReadLong(line, ref at, i, decimalMark, out double value) || Math.Abs(value) > 9e18)
            {
                return false;
            }

            double floor = Math.Floor(value);
            whole = (long)floor;
            fraction = value - floor;
            return true;
        }

        whole = negative ? -number : number;
        fraction = part / PowersOf10[places];
        fraction = negative ? -fraction : fraction;
        at = i;
        return true;
    }

    private static bool TryReadLong(ReadOnlySpan<byte> line, ref int at, int digitsEnd, byte decimalMark, out double value)
    {
        int end = digitsEnd;
        if (end < line.Length && (line[end] | 0x20) == 'e')
        {
            int exponent = end + 1;
            exponent += exponent < line.Length && line[exponent] is (byte)'-' or (byte)'+' ? 1 : 0;
            int from = exponent;
            while (exponent < line.Length && (uint)(line[exponent] - '0') <= 9)
            {
                exponent++;
            }

            end = exponent > from ? exponent : end;
        }

        value = double.NaN;
        int length = end - at;
        if (length > 400)
        {
            return false;
        }

        Span<byte> copy = stackalloc byte[length];
        line.Slice(at, length).CopyTo(copy);
        int mark = copy.IndexOf(decimalMark);
        if (mark >= 0)
        {
            copy[mark] = (byte)'.';
        }

        ReadOnlySpan<byte> text = copy[0] == '+' ? copy[1..] : copy;
        if (!Utf8Parser.TryParse(text, out value, out int used) || used != text.Length || !double.IsFinite(value))
        {
            value = double.NaN;
            return false;
        }

        at = end;
        return true;
    }

    /// <summary>Whether the text is one of the spellings that loggers use for "no value".</summary>
    internal static bool IsMissing(ReadOnlySpan<byte> cell)
    {
        cell = Trim(cell);
        if (cell.Length == 0)
        {
            return true;
        }

        if (cell.Length > 5)
        {
            return false;
        }

        Span<byte> lower = stackalloc byte[5];
        for (int i = 0; i < cell.Length; i++)
        {
            lower[i] = (byte)(cell[i] is >= (byte)'A' and <= (byte)'Z' ? cell[i] | 0x20 : cell[i]);
        }

        ReadOnlySpan<byte> text = lower[..cell.Length];
        return text.SequenceEqual("nan"u8)
            || text.SequenceEqual("null"u8)
            || text.SequenceEqual("none"u8)
            || text.SequenceEqual("-"u8)
            || text.SequenceEqual("--"u8)
            || text.SequenceEqual("---"u8)
            || text.SequenceEqual("na"u8)
            || text.SequenceEqual("n/a"u8)
            || text.SequenceEqual("#n/a"u8)
            || text.SequenceEqual("-nan"u8)
            || text.SequenceEqual("\\n"u8)
            || text.SequenceEqual("nil"u8);
    }

    internal static ReadOnlySpan<byte> Trim(ReadOnlySpan<byte> cell)
    {
        int from = 0,
            to = cell.Length;
        while (from < to && cell[from] is (byte)' ' or (byte)'\t' or (byte)'\r')
        {
            from++;
        }

        while (to > from && cell[to - 1] is (byte)' ' or (byte)'\t' or (byte)'\r')
        {
            to--;
        }

        return cell[from..to];
    }
}
