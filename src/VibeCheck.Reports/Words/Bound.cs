using System.Text.RegularExpressions;

namespace VibeCheck.Reports.Words;

/// <summary>Keeps a number with its unit, and the ends of an interval, on one line.</summary>
internal static partial class Bound
{
    internal static string Together(string sentence) => Loose().Replace(sentence, "\u00A0");

    [GeneratedRegex(@"(?<=\d) (?=(dB|°C|m/s²|%|s|to)(?!\w))|(?<=\bto) (?=[−+\d])")]
    private static partial Regex Loose();
}
