using System.Buffers.Text;
using System.Text;

namespace VibeCheck.FlightMaker.Damage;

/// <summary>Writes sheets as CSV. It is fast, because a campaign writes thousands of them.</summary>
public static class SheetWriter
{
    private static readonly double[] Powers = [1, 10, 100, 1e3, 1e4, 1e5, 1e6];

    /// <summary>Writes a sheet.</summary>
    /// <param name="sheet">The sheet.</param>
    /// <param name="form">Separator, decimal mark and whether values are repeated between reports.</param>
    /// <param name="path">Path of the file.</param>
    public static void Write(LogSheet sheet, LogFormRecipe form, string path)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(form);
        byte[] buffer = new byte[1 << 16];
        LogColumn[] columns = [.. sheet.Columns];
        byte[][] empty = [.. columns.Select(c => Encoding.UTF8.GetBytes(c.EmptyText))];
        double[] held = new double[columns.Length];
        Array.Fill(held, double.NaN);
        using FileStream file = new(path, FileMode.Create, FileAccess.Write, FileShare.None, 1);
        file.Write(Encoding.UTF8.GetBytes(string.Join(form.Separator, columns.Select(c => c.Header)) + form.LineEnd));
        int used = 0,
            widest = columns.Length * 32;
        for (int row = 0; row < sheet.Rows; row++)
        {
            if (used + widest > buffer.Length)
            {
                file.Write(buffer, 0, used);
                used = 0;
                buffer = widest > buffer.Length ? new byte[2 * widest] : buffer;
            }

            for (int c = 0; c < columns.Length; c++)
            {
                if (c > 0)
                {
                    buffer[used++] = (byte)form.Separator;
                }

                double value = columns[c].Values[row];
                if (form.Layout == "held" && columns[c].IsTelemetry)
                {
                    value = held[c] = double.IsNaN(value) ? held[c] : value;
                }

                Span<byte> rest = buffer.AsSpan(used);
                used += double.IsNaN(value) ? Copy(empty[c], rest) : Number(value, columns[c].Decimals, form.DecimalComma, rest);
            }

            buffer[used++] = (byte)'\n';
        }

        file.Write(buffer, 0, used);
    }

    private static int Copy(byte[] text, Span<byte> to)
    {
        text.CopyTo(to);
        return text.Length;
    }

    private static int Number(double value, int decimals, bool comma, Span<byte> to)
    {
        double scaled = Math.Round(value * Powers[decimals]);
        if (!(Math.Abs(scaled) < 1e15))
        {
            Utf8Formatter.TryFormat(value, to, out int written, new System.Buffers.StandardFormat('E', 9));
            return written;
        }

        long all = (long)Math.Abs(scaled),
            unit = (long)Powers[decimals],
            whole = all / unit,
            rest = all % unit;
        int at = 0;
        if (scaled < 0)
        {
            to[at++] = (byte)'-';
        }

        Utf8Formatter.TryFormat(whole, to[at..], out int digits);
        at += digits;
        if (rest == 0)
        {
            return at;
        }

        to[at++] = comma ? (byte)',' : (byte)'.';
        for (unit /= 10; rest > 0; unit /= 10)
        {
            to[at++] = (byte)('0' + rest / unit);
            rest %= unit;
        }

        return at;
    }
}
