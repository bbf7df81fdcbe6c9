using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Airframes;

/// <summary>Bolts as a person describes them in a word and its distances, and as they stand in the airframe file.</summary>
/// <param name="Pattern">The bolts.</param>
/// <param name="Toml">Lines of the airframe file.</param>
public sealed record BoltWords(BoltPattern Pattern, IReadOnlyList<string> Toml)
{
    /// <summary>What may be typed.</summary>
    public const string Forms =
        "square 28.6, rectangle 28.6x30 (across x along the arm), cross 25 (bolts on the arm's axis and square to it), "
        + "diagonals 16x19 (16 between right-out and left-in, 19 between the others), three 25 (circle), two 25 (across the arm)";

    private const double LeastMm = 1;
    private const double MostMm = 500;

    /// <summary>Reads a description such as <c>square 28.6</c>.</summary>
    /// <param name="text">A word and one or two lengths.</param>
    /// <param name="inch">Whether bare lengths are in inches.</param>
    /// <returns>The bolts, or null with what is wrong.</returns>
    public static (BoltWords? Bolts, string? Problem) Read(string text, bool inch)
    {
        ArgumentNullException.ThrowIfNull(text);
        string[] words = text.Trim()
            .ToLowerInvariant()
            .Split(' ', 2, StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        (string kind, string sizes) = words.Length switch
        {
            2 when char.IsLetter(words[0][0]) => (words[0], words[1]),
            0 => ("", ""),
            _ => ("square", text.Trim().ToLowerInvariant()),
        };
        double?[] lengths = [.. sizes.Split('x', 3).Select(s => TypedLength.ReadMm(s, inch))];
        if (lengths.Length is 0 or > 2 || lengths.Any(l => l is not (>= LeastMm and <= MostMm)))
        {
            string range = inch ? "0.04 to 19.6 inch, such as square 1.125" : "1 to 500 mm, such as square 28.6";
            return (null, $"Type the pattern and its distance between bolt centres, {range}.");
        }

        double a = lengths[0]!.Value,
            b = lengths[^1]!.Value;
        BoltWords? bolts = (kind, lengths.Length) switch
        {
            ("square", 1) => new(BoltPattern.Rectangle(a, a), Lines($"across_mm = {Mm(a)}", $"along_mm = {Mm(a)}")),
            ("square" or "rectangle", 2) => new(BoltPattern.Rectangle(a, b), Lines($"across_mm = {Mm(a)}", $"along_mm = {Mm(b)}")),
            ("cross", _) => new(BoltPattern.Cross(a, b), Lines("pattern = \"cross\"", $"across_mm = {Mm(a)}", $"along_mm = {Mm(b)}")),
            ("diagonals", 2) => new(
                BoltPattern.Pairs(a, b, 45),
                Lines($"pattern = \"{Mm(a)}x{Mm(b)}\"         # {Mm(a)} mm from right-out to left-in, {Mm(b)} mm from right-in to left-out")
            ),
            ("three", 1) => new(BoltPattern.Circle(3, a, 0), Lines("pattern = \"three\"", $"circle_mm = {Mm(a)}")),
            ("two", 1) => new(BoltPattern.At([(a / 2, 0), (-a / 2, 0)]), Lines("pattern = \"two\"", $"across_mm = {Mm(a)}")),
            _ => null,
        };
        return bolts is null ? (null, $"'{TomlSheet.Cut(text)}' is not a bolt pattern. Type one of: {Forms}.") : (bolts, null);
    }

    /// <summary>A description with its lengths in the other unit; the same text where a part of it is no length.</summary>
    /// <param name="text">A word and one or two lengths, as <see cref="Read"/> takes them.</param>
    /// <param name="fromInch">Whether bare lengths are in inches.</param>
    /// <param name="toInch">Whether they are to be in inches.</param>
    internal static string WithUnit(string text, bool fromInch, bool toInch)
    {
        int at = text.AsSpan().IndexOfAnyInRange('0', '9');
        double?[] mm = at < 0 ? [null] : [.. text[at..].ToLowerInvariant().Split('x').Select(s => TypedLength.ReadMm(s, fromInch))];
        return mm.Contains(null) ? text : text[..at] + string.Join('x', mm.Select(l => toInch ? Inch(l!.Value) : Mm(l!.Value)));
    }

    private static string Inch(double mm) => (mm / 25.4).ToString("0.####", CultureInfo.InvariantCulture);

    private static string[] Lines(params string[] keys) => ["[bolts]", .. keys];

    private static string Mm(double mm) => mm.ToString("0.###", CultureInfo.InvariantCulture);
}
