using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Surveys;

/// <summary>Finds quotes that are not closed on their line.</summary>
/// <remarks>CSV lets a quoted field run over many lines, so one quote left open would take the readings below it for a note. A reading
/// stands on one line.</remarks>
internal static class SurveyQuotes
{
    internal static IReadOnlyList<InputFault> Faults(string path, string text, char separator)
    {
        var faults = new List<InputFault>();
        int line = 0;
        foreach (string row in text.Split('\n'))
        {
            line++;
            if (!row.StartsWith('#') && Fault(row.TrimEnd('\r'), separator) is (int column, string problem))
            {
                faults.Add(
                    new(path, line, column, problem, "Write a quoted text as \"like this\" within its line, and a quote in it twice: \"\".")
                );
            }
        }

        return faults;
    }

    /// <summary>The field of a row whose quotes are wrong, from 1, and what is wrong with them; null where none is.</summary>
    private static (int Column, string Problem)? Fault(string row, char separator)
    {
        int field = 1;
        for (int i = 0; i < row.Length; i++)
        {
            int start = i;
            while (start < row.Length && row[start] is ' ' or '\t' && row[start] != separator)
            {
                start++;
            }

            if (start < row.Length && row[start] == '"')
            {
                int close = Close(row, start + 1);
                if (close < 0)
                {
                    return (field, "a quote is opened here and not closed on this line");
                }

                int next = row.IndexOf(separator, close);
                if (row[(close + 1)..(next < 0 ? row.Length : next)].Trim().Length > 0)
                {
                    return (field, "text stands behind the closing quote");
                }

                i = close;
            }

            i = row.IndexOf(separator, i);
            if (i < 0)
            {
                return null;
            }

            field++;
        }

        return null;
    }

    private static int Close(string row, int from)
    {
        for (int i = from; i < row.Length; i++)
        {
            if (row[i] == '"')
            {
                if (i + 1 < row.Length && row[i + 1] == '"')
                {
                    i++;
                }
                else
                {
                    return i;
                }
            }
        }

        return -1;
    }
}
