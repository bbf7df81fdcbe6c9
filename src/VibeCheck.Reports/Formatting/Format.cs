using System.Globalization;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Reports.Formatting;

/// <summary>Formats numbers, changes and intervals for a reader: the same on pages and on the console, whatever the culture of the
/// machine.</summary>
internal static class Format
{
    /// <summary>U+2212, as wide as a digit and not to be mistaken for a hyphen.</summary>
    internal const char Minus = '\u2212';

    /// <summary>The text for an unknown number.</summary>
    internal const string NotKnown = "not known";

    /// <summary>A number with fixed decimals; a value that rounds to zero has no sign.</summary>
    internal static string Number(double value, int decimals)
    {
        string text = Math.Abs(value).ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        return value < 0 && text.AsSpan().ContainsAnyInRange('1', '9') ? Minus + text : text;
    }

    /// <summary>The same with a plus sign for values above zero: for changes.</summary>
    internal static string Signed(double value, int decimals)
    {
        string text = Number(value, decimals);
        return value > 0 && text.AsSpan().ContainsAnyInRange('1', '9') ? "+" + text : text;
    }

    /// <summary>A whole number.</summary>
    internal static string Whole(int count) => count.ToString(CultureInfo.InvariantCulture);

    /// <summary>A number with one decimal, which is left out where it is zero.</summary>
    internal static string Short(double value) => Trimmed(value, 0, 1);

    /// <summary>A number without trailing zeros.</summary>
    /// <param name="value">The number.</param>
    /// <param name="least">Decimals that are always written.</param>
    /// <param name="most">Decimals to which it is rounded; <paramref name="least"/> or more.</param>
    internal static string Trimmed(double value, int least, int most)
    {
        string text = Math.Abs(value).ToString("0." + new string('0', least) + new string('#', most - least), CultureInfo.InvariantCulture);
        return value < 0 && text.AsSpan().ContainsAnyInRange('1', '9') ? Minus + text : text;
    }

    /// <summary>A share, 0 to 1, in percent, such as "4.0 %".</summary>
    internal static string Percent(double share) => $"{Number(100 * share, 1)} %";

    /// <summary>A size of vibration with its unit, such as "1.24 m/s²"; below 0.1 m/s² with three decimals.</summary>
    internal static string Mps2(double mps2) => $"{Number(mps2, mps2 < 0.1 ? 3 : 2)} m/s²";

    /// <summary>An interval of a change in brackets, such as "(−5.0 to −3.2)".</summary>
    internal static string Bracket(Interval? interval, int decimals) =>
        interval is Interval ci ? $"({SignedRange(ci, decimals)})" : "(no interval)";

    /// <summary>An interval in brackets for a change whose direction is given in words, such as "(3.2 to 5.0)" after "fell by".</summary>
    internal static string SizeBracket(Interval interval, bool falls, int decimals) => $"({SizeRange(interval, falls, decimals)})";

    /// <summary>The same without brackets.</summary>
    internal static string SizeRange(Interval interval, bool falls, int decimals) =>
        Range(falls ? new Interval(-interval.High, -interval.Low) : interval, decimals);

    /// <summary>An interval, such as "3.2 to 5.0".</summary>
    internal static string Range(Interval interval, int decimals) =>
        $"{Number(interval.Low, decimals)} to {Number(interval.High, decimals)}";

    /// <summary>An interval of a change, such as "−5.0 to +3.2".</summary>
    internal static string SignedRange(Interval interval, int decimals) =>
        $"{Signed(interval.Low, decimals)} to {Signed(interval.High, decimals)}";

    /// <summary>Amount, unit and interval, such as "4.1 dB (3.2 to 5.0)".</summary>
    internal static string Amount(Estimate estimate, int decimals, string unit) =>
        (estimate.Value, estimate.Ci95) switch
        {
            (double value, Interval ci) => $"{Number(value, decimals)}{Unit(unit)} ({Range(ci, decimals)})",
            (double value, null) => $"{Number(value, decimals)}{Unit(unit)} (no interval)",
            _ => NotKnown,
        };

    /// <summary>A change with its sign, unit and interval, such as "−4.1 dB (−5.0 to −3.2)".</summary>
    internal static string Change(Estimate estimate, int decimals, string unit) =>
        (estimate.Value, estimate.Ci95) switch
        {
            (double value, Interval ci) => $"{Signed(value, decimals)}{Unit(unit)} ({SignedRange(ci, decimals)})",
            (double value, null) => $"{Signed(value, decimals)}{Unit(unit)} (no interval)",
            _ => NotKnown,
        };

    /// <summary>A change in words, such as "fell by 4.1 dB (3.2 to 5.0)"; the interval is written without a minus too.</summary>
    internal static string Moved(Estimate change, int decimals, string unit)
    {
        if (change.Value is not double value)
        {
            return NotKnown;
        }

        bool falls = value < 0;
        string range = change.Ci95 is Interval ci ? $" {SizeBracket(ci, falls, decimals)}" : "";
        return $"{(falls ? "fell" : "rose")} by {Number(Math.Abs(value), decimals)} {unit}{range}";
    }

    /// <summary>Decimals that show a size to three figures, but never more than three decimals; the same for a whole table.</summary>
    internal static int DecimalsFor(double largest) =>
        largest switch
        {
            >= 100 => 0,
            >= 10 => 1,
            >= 1 => 2,
            > 0 => 3,
            _ => 2,
        };

    // A degree sign follows the number without a space, any other unit with one: "0.42°", "4.2 %".
    private static string Unit(string unit) => unit.Length == 0 || unit == "°" ? unit : " " + unit;
}
