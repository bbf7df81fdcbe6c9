using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;
using VibeCheck.Reports.Files;

namespace VibeCheck.Cli;

/// <summary>Asks the user at the terminal about columns with unclear headers before a log is read. Without a terminal, a warning says how
/// to make a columns file.</summary>
internal static class ColumnQuestions
{
    /// <summary>The user's settings with the answers; unchanged where no terminal is there or nothing is open.</summary>
    internal static ReadOptions Ask(Terminal terminal, IEnumerable<string> logs, ReadOptions said)
    {
        if (!terminal.CanAsk || said.Columns is not null)
        {
            return said;
        }

        var entries = new List<ColumnEntry>();
        foreach (ColumnGuess guess in logs.Where(l => FilePlace.Of(l).Kind == FilePlaceKind.File).SelectMany(l => Guesses(l, said)))
        {
            if (guess.Headers.Any(h => entries.Any(e => e.Header == h)))
            {
                continue;
            }

            terminal.Error.Write(
                $"{guess.Columns}: {guess.Why}. {(guess.Headers.Count == 1 ? "This looks" : "These look")} like {guess.Text}? (y/n) "
            );
            bool yes = terminal.Input.ReadLine()?.Trim().ToLowerInvariant() is "" or "y" or "yes";
            entries.AddRange(yes ? guess.Entries : guess.Headers.Select(h => new ColumnEntry(h, "ignore", null, null)));
        }

        if (entries.Count == 0)
        {
            return said;
        }

        terminal.Error.WriteLine(
            "These answers apply to this run only. To keep them: vibecheck read LOG --write-columns columns.toml, then "
                + "--columns columns.toml."
        );
        return said with { Columns = new ColumnsFile { Columns = entries } };
    }

    private static IReadOnlyList<ColumnGuess> Guesses(string path, ReadOptions said)
    {
        try
        {
            return LogInspection.Samples(path, said).Guesses;
        }
        catch (InputFaultException)
        {
            // The fault is reported when the log is read.
            return [];
        }
    }
}
