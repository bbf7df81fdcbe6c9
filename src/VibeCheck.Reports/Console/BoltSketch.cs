using VibeCheck.Core.Airframes;

namespace VibeCheck.Reports.Console;

/// <summary>The bolts of a mount as a few lines of text, outwards up and the hub down, with a word at each bolt.</summary>
public static class BoltSketch
{
    private const int Rows = 5;
    private const int HalfWidth = 15;
    private const int Reach = 10;

    /// <summary>Draws the bolts.</summary>
    /// <param name="bolts">The pattern.</param>
    /// <param name="word">Text at a bolt, at most a few letters.</param>
    /// <param name="fromBelow">Whether the mount is seen from below, as that of a lower motor: right and left are then exchanged.</param>
    public static IReadOnlyList<string> Lines(BoltPattern bolts, Func<Bolt, string> word, bool fromBelow)
    {
        ArgumentNullException.ThrowIfNull(bolts);
        ArgumentNullException.ThrowIfNull(word);
        char[][] canvas = [.. Enumerable.Range(0, Rows).Select(_ => new string(' ', 2 * HalfWidth + 1).ToCharArray())];
        double across = Math.Max(1e-9, bolts.Bolts.Max(b => Math.Abs(b.AcrossMm))),
            along = Math.Max(1e-9, bolts.Bolts.Max(b => Math.Abs(b.AlongMm)));
        double reach = Math.Max(across, along);
        foreach (Bolt bolt in bolts.Bolts)
        {
            int column = HalfWidth + (fromBelow ? -1 : 1) * (int)Math.Round(Reach * bolt.AcrossMm / reach);
            int row = Rows / 2 - (int)Math.Round(Rows / 2 * bolt.AlongMm / reach);
            Put(canvas[row], column, word(bolt));
        }

        string left = fromBelow ? "right" : "left",
            right = fromBelow ? "left" : "right";
        string blank = new(' ', 6);
        return
        [
            Centred("out"),
            .. canvas.Select(
                (line, i) => ((i == Rows / 2 ? left.PadRight(6) : blank) + new string(line) + (i == Rows / 2 ? " " + right : "")).TrimEnd()
            ),
            Centred("hub this way"),
        ];
    }

    private static string Centred(string text) => new string(' ', 6 + HalfWidth - text.Length / 2) + text;

    private static void Put(char[] line, int middle, string text)
    {
        int from = Math.Clamp(middle - text.Length / 2, 0, Math.Max(0, line.Length - text.Length));
        for (int i = 0; i < text.Length && from + i < line.Length; i++)
        {
            line[from + i] = text[i];
        }
    }
}
