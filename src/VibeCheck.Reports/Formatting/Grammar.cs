namespace VibeCheck.Reports.Formatting;

/// <summary>Joins words into lists, clauses and sentences, and counts things.</summary>
internal static class Grammar
{
    /// <summary>A count with its noun, such as "1 knock" and "2 knocks". The only place that decides on a plural of a noun.</summary>
    /// <param name="count">How many; written as a whole number.</param>
    /// <param name="one">The noun for one.</param>
    /// <param name="many">The noun for any other count; null where it takes an s.</param>
    internal static string Count(double count, string one, string? many = null)
    {
        string number = Format.Number(count, 0);
        return $"{number} {(number == "1" ? one : many ?? one + "s")}";
    }

    /// <summary>The form of a word that goes with a count, such as "has" with one flight and "have" with two.</summary>
    internal static string Agree(int count, string one, string many) => count == 1 ? one : many;

    /// <summary>Things with their noun in front, such as "flight before" and "flights before 1 and before 2".</summary>
    internal static string Named(string one, IReadOnlyList<string> names) => $"{Agree(names.Count, one, one + "s")} {List(names)}";

    /// <summary>Joins with commas, and with "and" before the last item.</summary>
    internal static string List(IReadOnlyList<string> items) =>
        items.Count switch
        {
            0 => "",
            1 => items[0],
            _ => string.Join(", ", items.Take(items.Count - 1)) + " and " + items[^1],
        };

    /// <summary>Upper case for the first letter.</summary>
    internal static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];

    /// <summary>A sentence: capital first, one full stop at the end.</summary>
    internal static string Sentence(string text)
    {
        string trimmed = text.TrimEnd();
        return trimmed.Length == 0 || ".!?".Contains(trimmed[^1], StringComparison.Ordinal) ? Capital(trimmed) : Capital(trimmed) + ".";
    }

    /// <summary>A reason to follow "because" or a colon: no full stop, and its first letter in lower case unless a capital or a digit
    /// follows it, as in "ESC" and "M1".</summary>
    internal static string Because(string? why)
    {
        string text = (why ?? "").Trim().TrimEnd('.');
        bool plain = text.Length > 1 && char.IsUpper(text[0]) && (char.IsLower(text[1]) || text[1] == ' ');
        return plain ? char.ToLowerInvariant(text[0]) + text[1..] : text;
    }
}
