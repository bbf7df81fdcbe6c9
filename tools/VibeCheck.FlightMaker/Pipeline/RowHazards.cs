using VibeCheck.FlightMaker.Damage;

namespace VibeCheck.FlightMaker.Pipeline;

/// <summary>Rows that are too few, repeated or out of order, and columns that are missing, repeated or misnamed.</summary>
internal static class RowHazards
{
    private static readonly string[] s_headers =
    [
        "",
        " ",
        "time",
        "acc_x",
        "acc_x_g",
        "rpm",
        "M1_rpm",
        "M99_rpm",
        "esc1_erpm",
        "temp",
        "motor",
        "imu",
        "M1_motor_temp_f",
        "a\"b",
        "\u001b[31m",
        "acc_y [counts]",
        "1",
        "-",
        "M1_rpm [Hz]",
        "gyro_x [mdeg/s]",
    ];

    internal static IReadOnlyList<SheetHazard> All { get; } =
    [
        SheetHazard.Of("few rows", (s, r) => Take(s, Enumerable.Range(0, (int)StampHazards.Decades(r, 0, 3) - 1))),
        SheetHazard.Of(
            "cut off",
            (s, r) =>
            {
                double share = r.NextDouble();
                Take(s, Enumerable.Range(0, (int)(share * s.Rows)));
            }
        ),
        SheetHazard.Of(
            "one row in many",
            (s, r) =>
            {
                int one = 2 + r.Next(50);
                Take(s, Enumerable.Range(0, s.Rows).Where(i => i % one == 0));
            }
        ),
        SheetHazard.Of(
            "rows lost at random",
            (s, r) =>
            {
                double share = r.NextDouble();
                Take(s, Enumerable.Range(0, s.Rows).Where(_ => r.NextDouble() > share));
            }
        ),
        SheetHazard.Of(
            "rows doubled",
            (s, r) =>
            {
                int times = 2 + r.Next(4);
                Take(s, Enumerable.Range(0, s.Rows).Select(i => i / times));
            }
        ),
        SheetHazard.Of(
            "rows shuffled",
            (s, r) =>
            {
                int[] rows = [.. Enumerable.Range(0, s.Rows)];
                r.Shuffle(rows);
                s.Take(rows);
            }
        ),
        SheetHazard.Of("rows turned round", (s, _) => Take(s, Enumerable.Range(0, s.Rows).Reverse())),
        new(
            "a column left out",
            (s, r) =>
            {
                int gone = r.Next(s.Columns.Count);
                return new LogSheet([.. s.Columns.Where((_, i) => i != gone)]);
            }
        ),
        new("half the columns left out", (s, r) => new LogSheet([.. s.Columns.Where(c => c.Role == LogRole.Time || r.Next(2) == 0)])),
        new("a column twice", (s, r) => new LogSheet([.. s.Columns, s.Columns[r.Next(s.Columns.Count)] with { }])),
        new("another header", (s, r) => Renamed(s, r, s_headers[r.Next(s_headers.Length)])),
        new("a header of another column", (s, r) => Renamed(s, r, s.Columns[r.Next(s.Columns.Count)].Header)),
    ];

    private static void Take(LogSheet sheet, IEnumerable<int> rows) => sheet.Take([.. rows.Where(i => i < sheet.Rows)]);

    private static LogSheet Renamed(LogSheet sheet, Random random, string header)
    {
        int at = random.Next(sheet.Columns.Count);
        return new([.. sheet.Columns.Select((c, i) => i == at ? c with { Header = header } : c)]);
    }
}
