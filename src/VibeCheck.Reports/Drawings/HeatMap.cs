using SkiaSharp;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Reports.Drawings;

/// <summary>A spectrogram as a picture: time to the right, frequency upwards, brighter is stronger.</summary>
/// <param name="Png">The picture as a PNG file.</param>
/// <param name="RangeDb">Levels of the darkest and the brightest colour, dB re 1 (m/s²)²/Hz.</param>
internal sealed record HeatMap(byte[] Png, Interval RangeDb)
{
    private const int MostColumns = 380,
        MostRows = 180;

    // Few shades keep the picture small; one step is finer than the scatter of a density.
    private const int Shades = 32;

    /// <summary>Six colours of cividis (Nuñez, Anderton and Renslow, PLoS ONE 13, 2018), whose lightness rises evenly for normal and
    /// colour-deficient vision; from memory. Colours between them are interpolated linearly.</summary>
    private static readonly SKColor[] s_scale =
    [
        new(0x00, 0x20, 0x4d),
        new(0x31, 0x44, 0x6b),
        new(0x66, 0x69, 0x70),
        new(0x95, 0x8f, 0x78),
        new(0xcb, 0xba, 0x69),
        new(0xff, 0xea, 0x46),
    ];

    /// <summary>The colours of the scale as CSS, dark to bright.</summary>
    internal static IReadOnlyList<string> Colours =>
        [.. s_scale.Select(c => FormattableString.Invariant($"#{c.Red:x2}{c.Green:x2}{c.Blue:x2}"))];

    /// <summary>Draws a spectrogram.</summary>
    /// <param name="spectrogram">At least one window and two bins.</param>
    /// <param name="time">The time that the picture covers, s; longer than 0.</param>
    /// <param name="toHz">Its upper end, Hz.</param>
    internal static HeatMap Of(Spectrogram spectrogram, TimeInterval time, double toHz)
    {
        int columns = Math.Clamp(spectrogram.TimeS.Length, 1, MostColumns),
            bins = Math.Clamp((int)(toHz / spectrogram.ResolutionHz), 1, spectrogram.Bins - 1);
        int rows = Math.Min(MostRows, bins);
        float[,] power = new float[columns, rows];
        bool[] seen = new bool[columns];
        for (int w = 0; w < spectrogram.TimeS.Length; w++)
        {
            int column = Math.Clamp((int)((spectrogram.TimeS[w] - time.FromS) / time.Seconds * columns), 0, columns - 1);
            seen[column] = true;
            for (int k = 1; k <= bins; k++)
            {
                // The largest density of a pixel counts, so that no line is lost.
                int row = Math.Min(rows - 1, (int)((k - 0.5) / bins * rows));
                power[column, row] = Math.Max(power[column, row], spectrogram.Density[w][k]);
            }
        }

        Fill(power, seen);
        Interval range = Range(power);
        return new(Draw(power, seen, range), range);
    }

    /// <summary>A single empty column between two others is a copy of the one before it; a wider gap stays empty.</summary>
    private static void Fill(float[,] power, bool[] seen)
    {
        for (int c = 1; c + 1 < seen.Length; c++)
        {
            if (!seen[c] && seen[c - 1] && seen[c + 1])
            {
                seen[c] = true;
                for (int r = 0; r < power.GetLength(1); r++)
                {
                    power[c, r] = power[c - 1, r];
                }
            }
        }
    }

    private static Interval Range(float[,] power)
    {
        double[] db = [.. power.Cast<float>().Where(p => p > 0).Select(p => 10 * Math.Log10(p)).Order()];
        if (db.Length == 0)
        {
            return new(-60, 0);
        }

        double low = 5 * Math.Floor(db[db.Length / 4] / 5),
            high = 5 * Math.Ceiling(db[(int)(0.998 * (db.Length - 1))] / 5);
        return new(low, Math.Max(low + 10, high));
    }

    private static byte[] Draw(float[,] power, bool[] seen, Interval range)
    {
        (int columns, int rows) = (power.GetLength(0), power.GetLength(1));
        using var bitmap = new SKBitmap(columns, rows, SKColorType.Rgba8888, SKAlphaType.Unpremul);
        for (int c = 0; c < columns; c++)
        {
            for (int r = 0; r < rows; r++)
            {
                double db = power[c, r] > 0 ? 10 * Math.Log10(power[c, r]) : range.Low;
                double share = Math.Round(Shades * Math.Clamp((db - range.Low) / range.Width, 0, 1)) / Shades;
                bitmap.SetPixel(c, rows - 1 - r, seen[c] ? Colour(share) : SKColors.Transparent);
            }
        }

        using SKData data = bitmap.Encode(SKEncodedImageFormat.Png, 100);
        return data.ToArray();
    }

    private static SKColor Colour(double share)
    {
        double place = share * (s_scale.Length - 1);
        int at = Math.Min(s_scale.Length - 2, (int)place);
        double rest = place - at;
        byte Mix(byte from, byte to) => (byte)Math.Round(from + rest * (to - from));
        return new(
            Mix(s_scale[at].Red, s_scale[at + 1].Red),
            Mix(s_scale[at].Green, s_scale[at + 1].Green),
            Mix(s_scale[at].Blue, s_scale[at + 1].Blue)
        );
    }
}
