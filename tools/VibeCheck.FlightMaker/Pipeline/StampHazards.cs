using VibeCheck.FlightMaker.Damage;

namespace VibeCheck.FlightMaker.Pipeline;

/// <summary>Timestamps that make a record seem far longer, faster or emptier than it is.</summary>
internal static class StampHazards
{
    private const double DayS = 86_400;

    internal static IReadOnlyList<SheetHazard> All { get; } =
    [
        SheetHazard.Of("clock jumps ahead by days", (s, r) => Jumps(s, r, 1, _ => DayS * Decades(r, 0, 4))),
        SheetHazard.Of("clock jumps ahead often", (s, r) => Jumps(s, r, 3 + r.Next(40), _ => Decades(r, 0, 7))),
        SheetHazard.Of("clock jumps to and fro", (s, r) => Jumps(s, r, 2 + r.Next(20), k => (k % 2 == 0 ? 1 : -1) * Decades(r, 0, 7))),
        SheetHazard.Of("clock jumps back", (s, r) => Jumps(s, r, 1 + r.Next(3), _ => -Decades(r, 0, 7))),
        SheetHazard.Of("gaps of minutes", (s, r) => Jumps(s, r, 1 + r.Next(30), _ => 60 * Decades(r, 0, 2))),
        SheetHazard.Of("wild last stamp", (s, r) => Wild(s, s.Rows - 1, r)),
        SheetHazard.Of("wild first stamp", (s, r) => Wild(s, 0, r)),
        SheetHazard.Of(
            "wild stamps",
            (s, r) =>
            {
                for (int n = 1 + r.Next(30); n > 0; n--)
                {
                    Wild(s, r.Next(s.Rows), r);
                }
            }
        ),
        SheetHazard.Of("a few samples in ten seconds", (s, r) => Even(s, 10.0 / (1 + r.Next(5)))),
        SheetHazard.Of("another rate", (s, r) => Even(s, Decades(r, -9, 5))),
        SheetHazard.Of("all stamps equal", (s, r) => Even(s, 0)),
        SheetHazard.Of("stamps run backwards", (s, r) => s.Stamp((_, t) => -t)),
        SheetHazard.Of(
            "stamps scaled",
            (s, r) =>
            {
                double by = Decades(r, -12, 12);
                s.Stamp((_, t) => t * by);
            }
        ),
        SheetHazard.Of(
            "stamps shifted",
            (s, r) =>
            {
                double by = Decades(r, 0, 12) * (r.Next(2) - 0.5);
                s.Stamp((_, t) => t + by);
            }
        ),
        SheetHazard.Of(
            "stamps at random",
            (s, r) =>
            {
                double most = Decades(r, -3, 10);
                s.Stamp((_, _) => most * r.NextDouble());
            }
        ),
        SheetHazard.Of(
            "stamps grow by a share",
            (s, r) =>
            {
                double by = 1 + Decades(r, -5, -1),
                    t = 1e-3;
                s.Stamp((_, _) => t = Math.Min(t * by, 1e15));
            }
        ),
        SheetHazard.Of(
            "steps of every size",
            (s, r) =>
            {
                double t = 0;
                s.Stamp((_, _) => t += Decades(r, -6, 2));
            }
        ),
        SheetHazard.Of(
            "coarse stamps",
            (s, r) =>
            {
                double step = Decades(r, -2, 2);
                s.Stamp((_, t) => step * Math.Floor(t / step));
            }
        ),
        SheetHazard.Of(
            "two rates by turns",
            (s, r) =>
            {
                double t = 0,
                    a = Decades(r, -5, 0),
                    b = Decades(r, -5, 0);
                s.Stamp((i, _) => t += i / 100 % 2 == 0 ? a : b);
            }
        ),
        SheetHazard.Of(
            "bursts far apart",
            (s, r) =>
            {
                double t = 0,
                    apart = Decades(r, 0, 4);
                int burst = 2 + r.Next(300);
                s.Stamp((i, _) => t += i % burst == 0 ? apart : 0.004);
            }
        ),
        SheetHazard.Of(
            "stamps empty",
            (s, r) =>
            {
                double share = r.NextDouble();
                Each(s.Time, (v, _) => r.NextDouble() < share ? double.NaN : v);
            }
        ),
    ];

    /// <summary>A random number with a log-uniform distribution between two powers of ten.</summary>
    internal static double Decades(Random random, double from, double to) => Math.Pow(10, from + (to - from) * random.NextDouble());

    internal static void Each(LogColumn column, Func<double, int, double> change)
    {
        for (int i = 0; i < column.Values.Length; i++)
        {
            column.Values[i] = change(column.Values[i], i);
        }
    }

    private static void Even(LogSheet sheet, double stepS) => sheet.Stamp((i, _) => i * stepS);

    private static void Wild(LogSheet sheet, int row, Random random)
    {
        if (row >= 0 && row < sheet.Rows)
        {
            sheet.Time.Values[row] = sheet.Time.Written((random.Next(4) == 0 ? -1 : 1) * Decades(random, 1, 17));
        }
    }

    private static void Jumps(LogSheet sheet, Random random, int count, Func<int, double> byS)
    {
        int[] rows = [.. Enumerable.Range(0, count).Select(_ => random.Next(Math.Max(1, sheet.Rows))).Order()];
        double[] jumps = [.. rows.Select((_, k) => byS(k))];
        int next = 0;
        double sum = 0;
        sheet.Stamp(
            (i, t) =>
            {
                for (; next < rows.Length && rows[next] <= i; next++)
                {
                    sum += jumps[next];
                }

                return t + sum;
            }
        );
    }
}
