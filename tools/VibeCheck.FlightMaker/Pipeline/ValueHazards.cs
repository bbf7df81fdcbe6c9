using VibeCheck.FlightMaker.Damage;
using static VibeCheck.FlightMaker.Pipeline.StampHazards;

namespace VibeCheck.FlightMaker.Pipeline;

/// <summary>Values that no sensor gives, and columns without information.</summary>
internal static class ValueHazards
{
    private static readonly double[] s_odd =
    [
        1e308,
        -1e308,
        1e300,
        1e155,
        -1e155,
        1e77,
        1e40,
        1e18,
        -1e12,
        1e9,
        2147483647,
        -2147483648,
        4294967295,
        65535,
        32767,
        -32768,
        9999,
        -1,
        0,
    ];

    private static readonly string[] s_texts =
    [
        "nan",
        "NaN",
        "inf",
        "-inf",
        "Infinity",
        "null",
        "1e400",
        "-",
        "?",
        "0x7f",
        "1,2,3",
        "\"",
        "--5",
        "1e5e5",
        "\0",
        "12:00",
        "+",
        "1e-400",
    ];

    internal static IReadOnlyList<SheetHazard> All { get; } =
    [
        SheetHazard.Of("odd numbers in some cells of one column", (s, r) => Odd([Any(s, r)], r)),
        SheetHazard.Of("odd numbers in some cells of all columns", (s, r) => Odd(s.Columns.Where(c => c.Role != LogRole.Time), r)),
        SheetHazard.Of("odd numbers in stamps too", (s, r) => Odd(s.Columns, r)),
        SheetHazard.Of("one column scaled", (s, r) => Scale([Any(s, r)], r)),
        SheetHazard.Of("all columns scaled", (s, r) => Scale(s.Columns.Where(c => c.Role != LogRole.Time), r)),
        SheetHazard.Of(
            "one column constant",
            (s, r) =>
            {
                double v = s_odd[r.Next(s_odd.Length)];
                Each(Any(s, r), (_, _) => v);
            }
        ),
        SheetHazard.Of(
            "all columns constant",
            (s, r) =>
            {
                double v = s_odd[r.Next(s_odd.Length)];
                EveryValue(s, (_, _) => v);
            }
        ),
        SheetHazard.Of("one column frozen from some row on", (s, r) => Freeze([Any(s, r)], s, r)),
        SheetHazard.Of("all columns frozen from some row on", (s, r) => Freeze(s.Columns.Where(c => c.Role != LogRole.Time), s, r)),
        SheetHazard.Of("all columns frozen", (s, _) => EveryValue(s, Frozen(s))),
        SheetHazard.Of("one column empty", (s, r) => Each(Any(s, r), (_, _) => double.NaN)),
        SheetHazard.Of(
            "cells empty",
            (s, r) =>
            {
                double share = r.NextDouble();
                EveryValue(s, (v, _) => r.NextDouble() < share ? double.NaN : v);
            }
        ),
        SheetHazard.Of(
            "all but one cell in many empty",
            (s, r) =>
            {
                int one = 2 + r.Next(1000);
                EveryValue(s, (v, i) => i % one == 0 ? v : double.NaN);
            }
        ),
        SheetHazard.Of("texts in cells", (s, r) => Texts(s, r)),
        SheetHazard.Of(
            "columns swapped",
            (s, r) =>
            {
                LogColumn a = Any(s, r),
                    b = Any(s, r);
                (a.Values, b.Values) = (b.Values, a.Values);
            }
        ),
        SheetHazard.Of("column copied", (s, r) => Any(s, r).Values = [.. Any(s, r).Values]),
        SheetHazard.Of(
            "noise of any size",
            (s, r) =>
            {
                LogColumn c = Any(s, r);
                double size = Decades(r, -6, 12);
                Each(c, (v, _) => v + size * (r.NextDouble() - 0.5));
            }
        ),
        SheetHazard.Of(
            "plus and minus by turns",
            (s, r) =>
            {
                LogColumn c = Any(s, r);
                double size = Decades(r, -6, 12);
                Each(c, (_, i) => i % 2 == 0 ? size : -size);
            }
        ),
        SheetHazard.Of(
            "a ramp",
            (s, r) =>
            {
                LogColumn c = Any(s, r);
                double slope = Decades(r, -6, 6);
                Each(c, (_, i) => slope * i);
            }
        ),
        SheetHazard.Of("negative values", (s, r) => Each(Any(s, r), (v, _) => -v)),
    ];

    private static LogColumn Any(LogSheet sheet, Random random) => sheet.Columns[random.Next(sheet.Columns.Count)];

    private static void EveryValue(LogSheet sheet, Func<double, int, double> change)
    {
        foreach (LogColumn column in sheet.Columns.Where(c => c.Role != LogRole.Time))
        {
            Each(column, change);
        }
    }

    private static Func<double, int, double> Frozen(LogSheet sheet)
    {
        Queue<double> firsts = new(sheet.Columns.Where(c => c.Role != LogRole.Time && c.Values.Length > 0).Select(c => c.Values[0]));
        double held = double.NaN;
        return (_, i) => held = i == 0 ? firsts.Dequeue() : held;
    }

    private static void Odd(IEnumerable<LogColumn> columns, Random random)
    {
        double share = Decades(random, -3.5, 0),
            value = s_odd[random.Next(s_odd.Length)];
        bool mixed = random.Next(2) == 0;
        foreach (LogColumn column in columns)
        {
            Each(
                column,
                (v, _) =>
                    random.NextDouble() >= share ? v
                    : mixed ? s_odd[random.Next(s_odd.Length)]
                    : value
            );
        }
    }

    private static void Scale(IEnumerable<LogColumn> columns, Random random)
    {
        double by = random.Next(3) == 0 ? Decades(random, -300, 300) : Decades(random, -9, 9);
        foreach (LogColumn column in columns)
        {
            Each(column, (v, _) => double.IsFinite(v * by) ? v * by : 1e308);
        }
    }

    private static void Freeze(IEnumerable<LogColumn> columns, LogSheet sheet, Random random)
    {
        int from = random.Next(Math.Max(1, sheet.Rows));
        foreach (LogColumn column in columns)
        {
            Each(column, (v, i) => i > from ? column.Values[from] : v);
        }
    }

    private static void Texts(LogSheet sheet, Random random)
    {
        LogColumn column = Any(sheet, random);
        double share = Decades(random, -3.5, 0);
        column.EmptyText = s_texts[random.Next(s_texts.Length)];
        Each(column, (v, _) => random.NextDouble() < share ? double.NaN : v);
    }
}
