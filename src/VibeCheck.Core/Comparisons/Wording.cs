using System.Globalization;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Numbers in the sentences of a comparison.</summary>
internal static class Wording
{
    internal static string Db(double db) => Text($"{db:0.0} dB");

    internal static string C(double c) => Text($"{c:0.0} °C");

    internal static string Mps2(double mps2) => mps2 < 0.1 ? Text($"{mps2:0.000} m/s²") : Text($"{mps2:0.00} m/s²");

    internal static string Signed(double value, string unit) => Text($"{value:+0.0;-0.0;0.0} {unit}");

    internal static string Percent(double share, string format = "0.0") => string.Create(CultureInfo.InvariantCulture, $"{(100 * share).ToString(format, CultureInfo.InvariantCulture)} %");

    /// <summary>"(lo to hi)" of an interval.</summary>
    internal static string Range(Interval? interval) => interval is Interval i ? Text($"({i.Low:+0.0;-0.0;0.0} to {i.High:+0.0;-0.0;0.0})") : "(no interval)";

    /// <summary>"(lo to hi)" of the size of a change whose sense stands in words.</summary>
    internal static string SizeRange(Interval interval, bool falls) => falls
        ? Text($"({-interval.High:0.0} to {-interval.Low:0.0})")
        : Text($"({interval.Low:0.0} to {interval.High:0.0})");

    /// <summary>"M1", "M1 and M2", "M1, M2 and M3".</summary>
    internal static string List(IReadOnlyList<string> names) => names.Count switch
    {
        0 => "none",
        1 => names[0],
        _ => $"{string.Join(", ", names.Take(names.Count - 1))} and {names[^1]}",
    };

    internal static string Sentence(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..] + (text.EndsWith('.') ? "" : ".");

    private static string Text(FormattableString text) => FormattableString.Invariant(text);
}
