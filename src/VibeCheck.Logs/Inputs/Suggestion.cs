namespace VibeCheck.Logs.Inputs;

/// <summary>Finds the known word that a mistyped word was probably meant to be.</summary>
internal static class Suggestion
{
    // A longer word is not a typing error, and the cost of the distance grows with the square of the length.
    private const int LongestWord = 60;

    /// <summary>"; did you mean 'mass_kg'?", or an empty text where no known word is similar.</summary>
    internal static string For(string word, IEnumerable<string> known) =>
        Nearest(word, known) is string near ? $"; did you mean '{near}'?" : "";

    /// <summary>The known word with the fewest typing errors relative to the given word, at most one for every three letters; null where
    /// none is that similar.</summary>
    internal static string? Nearest(string word, IEnumerable<string> known)
    {
        string typed = Plain(word);
        if (typed.Length is 0 or > LongestWord)
        {
            return null;
        }

        (string Word, int Slips)[] near =
        [
            .. known.Select(k => (k, Slips(typed, Plain(k)))).Where(c => c.Item2 <= Math.Max(1, Math.Min(typed.Length, c.k.Length) / 3)),
        ];
        return near.Length == 0 ? null : near.MinBy(c => c.Slips).Word;
    }

    private static string Plain(string word) => word.Trim().ToLowerInvariant().Replace('-', '_').Replace(' ', '_');

    /// <summary>Number of letters inserted, deleted or replaced, and of neighbours exchanged (optimal string alignment distance: F.
    /// Damerau, Comm. ACM 7, 1964).</summary>
    private static int Slips(string a, string b)
    {
        int[,] d = new int[a.Length + 1, b.Length + 1];
        for (int i = 0; i <= a.Length; i++)
        {
            for (int j = 0; j <= b.Length; j++)
            {
                d[i, j] =
                    i == 0 ? j
                    : j == 0 ? i
                    : Math.Min(Math.Min(d[i - 1, j], d[i, j - 1]) + 1, d[i - 1, j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1));
                if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                {
                    d[i, j] = Math.Min(d[i, j], d[i - 2, j - 2] + 1);
                }
            }
        }

        return d[a.Length, b.Length];
    }
}
