using System.Globalization;

namespace VibeCheck.FlightMaker.Damage.ImuSamples;

/// <summary>Cells that are empty, hold a filler value, repeat the last value or are corrupted.</summary>
internal static class CellDamage
{
    internal static IReadOnlyList<DamageKind> Kinds { get; } =
    [
        DamageKind.Of("cells empty in one axis", Answers.Vibration, "%", [1, 5, 20, 50, 90], s => Cells(s, [Any(s)], (_, _) => double.NaN)),
        DamageKind.Of(
            "cells empty in all axes, each by itself",
            Answers.Vibration,
            "%",
            [1, 5, 20, 50],
            s => Cells(s, s.Imu.Acceleration, (_, _) => double.NaN)
        ),
        DamageKind.Of("cells empty in stretches of one axis", Answers.Vibration, "%", [5, 20, 50], EmptyStretches),
        DamageKind.Of("cells say nan", Answers.Vibration, "%", [1, 20], s => Words(s, "nan")),
        DamageKind.Of("cells say ERR", Answers.Vibration, "%", [1, 8], s => Words(s, "ERR")),
        Filler(9999),
        Filler(-1),
        Filler(0),
        Filler(255),
        Filler(32767),
        Filler(65535),
        Filler(-999),
        DamageKind.Of("all axes filled with 0 in rows", Answers.Vibration, "%", [0.1, 1, 5, 20], s => Rows(s, 0)),
        DamageKind.Of("all axes filled with -1 in rows", Answers.Vibration, "%", [0.1, 1, 5, 20], s => Rows(s, -1)),
        DamageKind.Of("all axes filled with 9999 in rows", Answers.Vibration, "%", [0.01, 0.1, 1, 5, 20], s => Rows(s, 9999)),
        DamageKind.Of("all axes filled with 0 in stretches", Answers.Vibration, "%", [2, 10, 40], ZeroStretches),
        DamageKind.Of("spikes", Answers.Vibration, "of 100 m/s²", [1, 20, 500, 5000], s => Spikes(s, 100)),
        DamageKind.Of("strong spikes", Answers.Vibration, "of 5000 m/s²", [1, 20, 500], s => Spikes(s, 5000)),
        DamageKind.Of("small spikes", Answers.Vibration, "of 15 m/s²", [20, 500, 5000], s => Spikes(s, 15)),
        DamageKind.Of("spikes at an even rhythm", Answers.Vibration, "Hz", [1, 10, 50], Rhythm),
        DamageKind.Of("bursts of noise", Answers.Vibration, "%", [1, 5, 20], Bursts),
        DamageKind.Of(
            "every sample held for several rows",
            Answers.Vibration,
            "rows",
            [2, 3, 5, 10],
            s => Held(s, i => i % (int)s.Severity == 0)
        ),
        DamageKind.Of("samples held at random", Answers.Vibration, "%", [5, 20, 50, 80], s => Held(s, _ => !s.Chance(s.Severity / 100))),
        DamageKind.Of(
            "samples of a slower sensor, held",
            Answers.Vibration,
            "of the rate",
            [0.9, 0.7, 0.3],
            s =>
            {
                double phase = 0;
                Held(
                    s,
                    _ =>
                    {
                        phase += s.Severity;
                        bool next = phase >= 1;
                        phase -= next ? 1 : 0;
                        return next;
                    }
                );
            }
        ),
        DamageKind.Of(
            "one axis held for several rows",
            Answers.Vibration,
            "rows",
            [2, 5],
            s => HeldColumns(s, [Any(s)], i => i % (int)s.Severity == 0)
        ),
        DamageKind.Of(
            "sign lost in some cells",
            Answers.Vibration,
            "%",
            [1, 10, 50],
            s => Cells(s, s.Imu.Acceleration, (_, v) => Math.Abs(v))
        ),
        DamageKind.Of(
            "decimal mark lost in some cells",
            Answers.Vibration,
            "%",
            [0.1, 1, 10],
            s => Cells(s, s.Imu.Acceleration, (c, v) => v * Math.Pow(10, c.Decimals))
        ),
        DamageKind.Of(
            "a digit wrong in some cells",
            Answers.Vibration,
            "%",
            [1, 10, 50],
            s => Cells(s, s.Imu.Acceleration, (_, v) => v + Math.Pow(10, s.Random.Next(-2, 2)) * s.Random.Next(-9, 10))
        ),
        DamageKind.Of("columns slid by one in some rows", Answers.Vibration, "%", [0.1, 1, 10], Slid),
        DamageKind.Of("rows filled up with the mean", Answers.Vibration, "%", [2, 10, 40], Means),
        DamageKind.Of("lost rows filled up along a line", Answers.Vibration, "%", [5, 20, 50], Interpolated),
    ];

    private static LogColumn Any(DamageScene s) => s.Pick(s.Imu.Acceleration);

    private static DamageKind Filler(double filler) =>
        DamageKind.Of(
            string.Create(CultureInfo.InvariantCulture, $"cells filled with {filler}"),
            Answers.Vibration,
            "%",
            [0.01, 0.1, 1, 5, 20],
            s => Cells(s, s.Imu.Acceleration, (_, _) => filler)
        );

    private static void Words(DamageScene s, string word)
    {
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            axis.EmptyText = word;
        }

        Cells(s, s.Imu.Acceleration, (_, _) => double.NaN);
    }

    private static void Cells(DamageScene s, IReadOnlyList<LogColumn> columns, Func<LogColumn, double, double> change)
    {
        foreach (LogColumn column in columns)
        {
            column.Map(v => s.Chance(s.Severity / 100) ? change(column, v) : v);
        }
    }

    private static void Rows(DamageScene s, double filler)
    {
        bool[] hit = [.. Enumerable.Range(0, s.Imu.Rows).Select(_ => s.Chance(s.Severity / 100))];
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            axis.Map((v, i) => hit[i] ? filler : v);
        }
    }

    private static void EmptyStretches(DamageScene s)
    {
        bool[] hit = s.Stretches(s.Imu, s.Severity / 100, 0.2, 3);
        Any(s).Map((v, i) => hit[i] ? double.NaN : v);
    }

    private static void ZeroStretches(DamageScene s)
    {
        bool[] hit = s.Stretches(s.Imu, s.Severity / 100, 0.05, 1);
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            axis.Map((v, i) => hit[i] ? 0 : v);
        }
    }

    private static void Spikes(DamageScene s, double mps2)
    {
        for (int n = 0; n < s.Severity; n++)
        {
            LogColumn axis = Any(s);
            axis.Values[s.Random.Next(s.Imu.Rows)] += (s.Random.Next(2) == 0 ? 1 : -1) * mps2 * axis.Factor;
        }
    }

    private static void Rhythm(DamageScene s)
    {
        double[] times = s.Imu.TimesS();
        bool Beats(int i) => i > 0 && Math.Floor(times[i] * s.Severity) > Math.Floor(times[i - 1] * s.Severity);
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            axis.Map((v, i) => Beats(i) ? v + 60 * axis.Factor : v);
        }
    }

    private static void Bursts(DamageScene s)
    {
        bool[] hit = s.Stretches(s.Imu, s.Severity / 100, 0.05, 0.5);
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            axis.Map((v, i) => hit[i] ? v + 20 * axis.Factor * s.Normal() : v);
        }
    }

    private static void Held(DamageScene s, Func<int, bool> isNew) => HeldColumns(s, [.. s.Imu.Acceleration, .. s.Imu.Rates], isNew);

    private static void HeldColumns(DamageScene s, IReadOnlyList<LogColumn> columns, Func<int, bool> isNew)
    {
        int[] from = new int[s.Imu.Rows];
        for (int i = 1; i < from.Length; i++)
        {
            from[i] = isNew(i) ? i : from[i - 1];
        }

        foreach (LogColumn column in columns)
        {
            double[] old = [.. column.Values];
            column.Map((_, i) => old[from[i]]);
        }
    }

    private static void Slid(DamageScene s)
    {
        LogColumn[] columns = [.. s.Imu.Columns.Where(c => c.IsAcceleration || c.IsRate)];
        for (int i = 0; i < s.Imu.Rows; i++)
        {
            if (s.Chance(s.Severity / 100))
            {
                for (int c = 0; c + 1 < columns.Length; c++)
                {
                    columns[c].Values[i] = columns[c + 1].Values[i];
                }

                columns[^1].Values[i] = double.NaN;
            }
        }
    }

    private static void Means(DamageScene s)
    {
        bool[] hit = [.. Enumerable.Range(0, s.Imu.Rows).Select(_ => s.Chance(s.Severity / 100))];
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            double mean = axis.Mean();
            axis.Map((v, i) => hit[i] ? mean : v);
        }
    }

    private static void Interpolated(DamageScene s)
    {
        bool[] hit = [.. Enumerable.Range(0, s.Imu.Rows).Select(i => i > 0 && s.Chance(s.Severity / 100))];
        hit[^1] = false;
        foreach (LogColumn column in s.Imu.Columns.Where(c => c.IsAcceleration || c.IsRate))
        {
            for (int i = 1, last = 0; i < hit.Length; i++)
            {
                if (!hit[i])
                {
                    for (int j = last + 1; j < i; j++)
                    {
                        column.Values[j] = column.Values[last] + (column.Values[i] - column.Values[last]) * (j - last) / (i - last);
                    }

                    last = i;
                }
            }
        }
    }
}
