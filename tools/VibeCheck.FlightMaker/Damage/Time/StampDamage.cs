namespace VibeCheck.FlightMaker.Damage.Time;

/// <summary>Wrong timestamps.</summary>
internal static class StampDamage
{
    private const string Counted = "the two recorders' clocks are brought together from the data, whatever they say";

    internal static IReadOnlyList<DamageKind> Kinds { get; } =
    [
        DamageKind.Of("IMU time runs fast or slow", Answers.All, "%", [-10, -3, -1, 1, 3, 10], s => Scale(s.Imu, 1 + s.Severity / 100)),
        DamageKind.Of(
            "IMU time runs fast or slow, ESC time right",
            Answers.Vibration,
            "%",
            [-10, -3, -1, -0.3, 0.3, 1, 3, 10],
            s => s.Flight.ChangeImu(i => Scale(i, 1 + s.Severity / 100))
        ),
        DamageKind.Of(
            "ESC time runs fast or slow",
            Answers.All,
            "%",
            [-10, -3, -1, 1, 3, 10],
            s => s.Flight.ChangeEsc(e => Scale(e, 1 + s.Severity / 100))
        ),
        DamageKind.Of(
            "all time runs fast or slow",
            Answers.All,
            "%",
            [-10, -3, 3, 10],
            s =>
            {
                Scale(s.Imu, 1 + s.Severity / 100);
                if (!s.Flight.OneFile)
                {
                    Scale(s.Flight.Esc!, 1 + s.Severity / 100);
                }
            }
        ),
        DamageKind.Of("time unit of the header wrong", Answers.All, "×", [1e-3, 1e3, 1e-6, 60], s => Units(s)),
        DamageKind
            .Of("time unit of the ESC header wrong", Answers.All, "×", [1e-3, 1e3], s => s.Flight.Esc!.Time.Map(v => v * s.Severity))
            .TwoFiles(),
        DamageKind
            .Of(
                "clock offset of the job wrong",
                Answers.All,
                "s",
                [-20, -5, -1, -0.2, 0.2, 1, 5, 20],
                s => s.ClockOffsetS = TrueOffset(s) + s.Severity
            )
            .TwoFiles(),
        DamageKind.Of("clock offset of the job with its sign turned", Answers.All, s => s.ClockOffsetS = -TrueOffset(s)).TwoFiles(),
        DamageKind
            .Of("ESC clock far off", Answers.None, "s", [30, 3600], s => s.Flight.Esc!.Stamp((_, t) => t + s.Severity))
            .TwoFiles()
            .Hide(Counted),
        DamageKind.Of(
            "ESC clock drifts",
            Answers.All,
            "ppm",
            [500, 3000, 20000],
            s => s.Flight.ChangeEsc(e => Scale(e, 1 + s.Severity * 1e-6))
        ),
        DamageKind.Of(
            "ESC reports late by some seconds",
            Answers.All,
            "s",
            [0.2, 1, 4],
            s => s.Flight.ChangeEsc(e => e.Stamp((_, t) => t + s.Severity))
        ),
        DamageKind.Of("IMU stamps in coarse steps", Answers.Vibration, "ms", [1, 5, 10, 50, 1000], s => Steps(s.Imu, s.Severity / 1000)),
        DamageKind.Of(
            "ESC stamps in coarse steps",
            Answers.Vibration,
            "ms",
            [100, 1000, 10000],
            s => s.Flight.ChangeEsc(e => Steps(e, s.Severity / 1000))
        ),
        DamageKind.Of("IMU stamps jitter", Answers.Vibration, "periods", [0.1, 0.5, 2, 10], s => Jitter(s)),
        DamageKind.Of("samples taken unevenly under even stamps", Answers.Vibration, "periods", [0.1, 0.3, 0.5, 1], Uneven),
        DamageKind.Of("stamps given in bursts", Answers.Vibration, "rows", [8, 64, 512], s => Bursts(s)),
        DamageKind.Of("clock jumps forward", Answers.All, "s", [0.02, 0.5, 5, 3600], s => Jump(s, s.Severity)),
        DamageKind.Of("clock jumps back", Answers.All, "s", [0.02, 0.5, 5, 100], s => Jump(s, -s.Severity)),
        DamageKind.Of("clock jumps to and fro", Answers.All, "s", [0.1, 2], ToAndFro),
        DamageKind.Of("clock stands still for a while", Answers.Vibration, "s", [0.1, 2, 20], s => Stands(s)),
        DamageKind.Of("clock runs wrong in half of the flight", Answers.All, "%", [-5, -1, 1, 5], s => Bend(s)),
        DamageKind.Of(
            "clock wanders slowly",
            Answers.Vibration,
            "ms",
            [2, 20, 200],
            s => s.Imu.Stamp((_, t) => t + s.Severity / 1000 * Math.Sin(2 * Math.PI * t / 13))
        ),
        DamageKind.Of("sample time wanders under even stamps", Answers.Vibration, "ms", [2, 20], s => Wanders(s)),
        DamageKind.Of("row number instead of time", Answers.All, s => s.Imu.Time.Map((_, i) => i)),
        DamageKind.Of("time left out", Answers.All, s => s.Imu.Remove(s.Imu.Time)),
        DamageKind.Of("all stamps alike", Answers.All, s => s.Imu.Time.Map(_ => 5)),
        DamageKind.Of(
            "one wild stamp",
            Answers.None,
            "s",
            [1e4, 1e9],
            s => s.Imu.Time.Values[s.Random.Next(s.Imu.Rows)] = s.Imu.Time.Written(s.Severity)
        ),
        DamageKind.Of("last stamp wild", Answers.None, "s", [1e4, 1e9], s => s.Imu.Time.Values[^1] = s.Imu.Time.Written(s.Severity)),
        DamageKind.Of(
            "stamps wild in a share of rows",
            Answers.None,
            "%",
            [0.1, 2],
            s => s.Imu.Time.Map(v => s.Chance(s.Severity / 100) ? s.Imu.Time.Written(s.Uniform(-1e5, 1e5)) : v)
        ),
        DamageKind.Of(
            "stamps empty in a share of rows",
            Answers.None,
            "%",
            [1, 8, 30],
            s => s.Imu.Time.Map(v => s.Chance(s.Severity / 100) ? double.NaN : v)
        ),
        DamageKind.Of("ESC stamps shuffled", Answers.Vibration, "s apart", [0.2, 2], EscShuffled),
    ];

    private static void Scale(LogSheet sheet, double factor)
    {
        double first = sheet.TimesS()[0];
        sheet.Stamp((_, t) => first + (t - first) * factor);
    }

    private static void Units(DamageScene s) => s.Imu.Time.Map(v => v * s.Severity);

    /// <summary>The offset to add to ESC time; both records start at the same true time.</summary>
    private static double TrueOffset(DamageScene s) => s.Imu.TimesS()[0] - s.Flight.Esc!.TimesS()[0];

    private static void Steps(LogSheet sheet, double stepS) => sheet.Stamp((_, t) => Math.Floor(t / stepS) * stepS);

    private static double PeriodS(LogSheet sheet)
    {
        double[] times = sheet.TimesS();
        return (times[^1] - times[0]) / (times.Length - 1);
    }

    private static void Jitter(DamageScene s)
    {
        double period = PeriodS(s.Imu);
        s.Imu.Stamp((_, t) => t + s.Severity * period * s.Normal());
    }

    private static void Uneven(DamageScene s)
    {
        double before = s.Normal(),
            keep = 0.7;
        Sampled(s, _ => s.Severity * (before = keep * before + Math.Sqrt(1 - keep * keep) * s.Normal()));
    }

    private static void Wanders(DamageScene s)
    {
        double period = PeriodS(s.Imu);
        Sampled(s, i => s.Severity / 1000 / period * Math.Sin(2 * Math.PI * i * period / 13));
    }

    /// <summary>Resamples the values as if each sample had been taken some rows earlier or later, by linear interpolation between
    /// neighbours.</summary>
    private static void Sampled(DamageScene s, Func<int, double> rowsLate)
    {
        double[] shift = [.. Enumerable.Range(0, s.Imu.Rows).Select(rowsLate)];
        foreach (LogColumn column in s.Imu.Columns.Where(c => c.IsAcceleration || c.IsRate))
        {
            double[] old = [.. column.Values];
            column.Map(
                (_, i) =>
                {
                    double at = Math.Clamp(i + shift[i], 0, old.Length - 1.001);
                    int k = (int)at;
                    return old[k] + (at - k) * (old[k + 1] - old[k]);
                }
            );
        }
    }

    private static void Bursts(DamageScene s)
    {
        double[] times = s.Imu.TimesS();
        int length = (int)s.Severity;
        s.Imu.Stamp((i, _) => times[Math.Min(times.Length - 1, i - i % length + length - 1)] + i % length * 1e-6);
    }

    private static void Jump(DamageScene s, double by)
    {
        int at = (int)(s.Uniform(0.3, 0.7) * s.Imu.Rows);
        s.Imu.Stamp((i, t) => i >= at ? t + by : t);
    }

    private static void ToAndFro(DamageScene s)
    {
        bool[] within = s.Stretches(s.Imu, 0.4, 2, 8);
        s.Imu.Stamp((i, t) => within[i] ? t + s.Severity : t);
    }

    private static void Stands(DamageScene s)
    {
        double from = DamageScene.MomentS(s.Imu, s.Uniform(0.3, 0.6));
        s.Imu.Stamp((_, t) => t > from && t < from + s.Severity ? from : t);
    }

    private static void Bend(DamageScene s)
    {
        double at = DamageScene.MomentS(s.Imu, s.Uniform(0.4, 0.6));
        s.Imu.Stamp((_, t) => t > at ? at + (t - at) * (1 + s.Severity / 100) : t);
    }

    private static void EscShuffled(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            double[] keys = [.. esc.TimesS().Select(t => t + s.Uniform(0, s.Severity))];
            int[] rows = [.. Enumerable.Range(0, esc.Rows)];
            Array.Sort(keys, rows);
            esc.TakeButStamps(rows);
        });
}
