using System.Globalization;
using System.Text;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Columns;

/// <summary>A guess from the first values about columns whose header does not identify them. A guess is used only after the user confirms
/// it.</summary>
/// <param name="Headers">The columns, in the order of the file.</param>
/// <param name="Is">Word of the columns file for each column, such as command or acc_x; as many as headers.</param>
/// <param name="Motors">Motor of each column; null where they belong to none.</param>
/// <param name="Text">The guess in words: "commands: M1 to M6".</param>
/// <param name="Why">What their values show.</param>
public sealed record ColumnGuess(
    IReadOnlyList<string> Headers,
    IReadOnlyList<string> Is,
    IReadOnlyList<string>? Motors,
    string Text,
    string Why
)
{
    private const int LeastRows = 5;
    private const int LeastMotors = 3;
    private const int MostMotors = 16;

    // Largest ratio between the medians of one quantity over the motors of one aircraft in flight: common practice.
    private const double MostApart = 3;
    private const double MostSpeedsApart = 2;

    /// <summary>Entries of a columns file.</summary>
    public IEnumerable<ColumnEntry> Entries => Headers.Select((h, i) => new ColumnEntry(h, Is[i], Motors?[i], null));

    /// <summary>The columns in a few words: "'u1' to 'u6'".</summary>
    public string Columns =>
        Headers.Count == 1 ? $"'{CellText.Cut(Headers[0])}'" : $"'{CellText.Cut(Headers[0])}' to '{CellText.Cut(Headers[^1])}'";

    /// <summary>Guesses for the columns of which nothing is known.</summary>
    internal static IReadOnlyList<ColumnGuess> Of(LogForm form, IReadOnlyList<PlannedColumn> columns)
    {
        var guesses = new List<ColumnGuess>();
        Values?[] open = [.. columns.Select(c => c.Channel is null && c.HowKnown is null ? Values.Of(form, c) : null)];
        bool Known(Quantity quantity) => columns.Any(c => c.Channel?.Quantity == quantity);
        if (!form.HasHeader && !Known(Quantity.Time) && Array.FindIndex(open, v => v is { Rises: true }) is >= 0 and int time)
        {
            guesses.Add(new([open[time]!.Header], ["time"], null, "the time", "it rises evenly"));
            open[time] = null;
        }

        if (!form.HasHeader && !Known(Quantity.Acceleration))
        {
            FindImu(open, guesses);
        }

        FindMotors(open, guesses, Known);
        return guesses;
    }

    private static void FindImu(Values?[] open, List<ColumnGuess> guesses)
    {
        for (int i = 0; i + 3 <= open.Length; i++)
        {
            if (
                open[i..(i + 3)] is [Values a, Values b, Values c]
                && Math.Sqrt(a.MeanSquare + b.MeanSquare + c.MeanSquare) is (> 8.8 and < 11) or (> 0.9 and < 1.12)
            )
            {
                guesses.Add(
                    new(
                        [a.Header, b.Header, c.Header],
                        ["acc_x", "acc_y", "acc_z"],
                        null,
                        "acceleration: x, y, z",
                        "together they are as large as gravity"
                    )
                );
                if (
                    i + 6 <= open.Length
                    && open[(i + 3)..(i + 6)] is [Values p, Values q, Values r]
                    && new[] { p, q, r }.All(v => v.Changes && v.Min < 0 && v.Max > 0)
                )
                {
                    guesses.Add(
                        new(
                            [p.Header, q.Header, r.Header],
                            ["rate_x", "rate_y", "rate_z"],
                            null,
                            "rates of turn: x, y, z",
                            "they stand behind the acceleration and swing about zero"
                        )
                    );
                    Array.Clear(open, i + 3, 3);
                }

                Array.Clear(open, i, 3);
                return;
            }
        }
    }

    private static void FindMotors(Values?[] open, List<ColumnGuess> guesses, Func<Quantity, bool> known)
    {
        for (int i = 0; i < open.Length; i++)
        {
            if (open[i] is not Values first || KindOf(first) is not { } kind || known(kind.Quantity))
            {
                continue;
            }

            int to = i + 1;
            while (
                to < open.Length
                && to - i < MostMotors
                && open[to] is Values next
                && KindOf(next) == kind
                && Apart(first, next) <= kind.MostApart
            )
            {
                to++;
            }

            if (to - i >= LeastMotors)
            {
                string[] motors = [.. Enumerable.Range(1, to - i).Select(m => string.Create(CultureInfo.InvariantCulture, $"M{m}"))];
                guesses.Add(
                    new(
                        [.. open[i..to].Select(v => v!.Header)],
                        [.. motors.Select(_ => kind.Word)],
                        motors,
                        $"{kind.Plural}: M1 to {motors[^1]}",
                        string.Create(CultureInfo.InvariantCulture, $"{to - i} similar columns {kind.Range}")
                    )
                );
                Array.Clear(open, i, to - i);
            }
        }
    }

    private static Kind? KindOf(Values v) =>
        !v.Changes ? null
        : v.Min >= 0 && v.Max <= 1 && v.Median is > 0.03 and < 0.97
            ? new(Quantity.Command, "command", "commands", "between 0 and 1", MostApart)
        : v.Min >= 800 && v.Max <= 2200 && v.Median is > 1020 and < 2000
            ? new(Quantity.Command, "command", "commands", "between 1000 and 2000", MostSpeedsApart)
        : v.Min >= 0 && v.Median is > 2200 and < 80_000 ? new(Quantity.RotorSpeed, "rpm", "speeds", "of some thousands", MostSpeedsApart)
        : null;

    private static double Apart(Values a, Values b) => Math.Max(a.Median / b.Median, b.Median / a.Median);

    private sealed record Kind(Quantity Quantity, string Word, string Plural, string Range, double MostApart);

    private sealed record Values(string Header, double Min, double Max, double Median, double MeanSquare, bool Rises, bool Changes)
    {
        internal static Values? Of(LogForm form, PlannedColumn column)
        {
            double[] values =
            [
                .. form
                    .FirstRows.Select(r => column.Index < r.Length ? Number(r[column.Index], form.DecimalMark) : double.NaN)
                    .Where(v => !double.IsNaN(v)),
            ];
            if (values.Length < LeastRows || values.Length * 2 < form.FirstRows.Count)
            {
                return null;
            }

            double[] sorted = [.. values.Order()];
            bool rises = values.Zip(values.Skip(1)).All(p => p.Second > p.First);
            return new(
                column.Header,
                sorted[0],
                sorted[^1],
                sorted[sorted.Length / 2],
                values.Average(v => v * v),
                rises,
                sorted[^1] > sorted[0]
            );
        }

        private static double Number(string cell, byte decimalMark)
        {
            byte[] text = Encoding.UTF8.GetBytes(cell.Trim());
            int at = 0;
            return NumberText.TryRead(text, ref at, decimalMark, out double value) && at == text.Length ? value : double.NaN;
        }
    }
}
