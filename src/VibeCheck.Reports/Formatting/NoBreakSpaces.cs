using System.Text.RegularExpressions;

namespace VibeCheck.Reports.Formatting;

/// <summary>Keeps a number with its unit (dB, °C, m/s², %, s), and the ends of an interval, on one line by no-break spaces
/// (U+00A0).</summary>
internal static partial class NoBreakSpaces
{
    internal static string Insert(string sentence) => Loose().Replace(sentence, "\u00A0");

    [GeneratedRegex(@"(?<=\d) (?=(dB|°C|m/s²|%|s|to)(?!\w))|(?<=\bto) (?=[−+\d])")]
    private static partial Regex Loose();
}
