namespace VibeCheck.FlightMaker.Damage.ImuLevel;

/// <summary>Axes that are dead, frozen or exchanged, or that hold another signal.</summary>
internal static class AxisDamage
{
    private const string NoChange = "the vector sum of the axes is the same";

    internal static IReadOnlyList<DamageKind> Kinds { get; } =
    [
        DamageKind.Of("an axis at zero", Answers.Vibration, s => Any(s).Map(_ => 0)),
        DamageKind.Of("a horizontal axis at zero", Answers.Vibration, s => s.Imu.Acceleration[s.Random.Next(2)].Map(_ => 0)),
        DamageKind.Of("an axis empty", Answers.Vibration, s => Any(s).Map(_ => double.NaN)),
        DamageKind.Of("an axis left out", Answers.Vibration, s => s.Imu.Remove(Any(s))),
        DamageKind.Of(
            "an axis constant",
            Answers.Vibration,
            s =>
            {
                LogColumn a = Any(s);
                double mean = a.Mean();
                a.Map(_ => mean);
            }
        ),
        DamageKind.Of(
            "an axis frozen from a moment on",
            Answers.Vibration,
            "of the flight",
            [0.1, 0.3, 0.5, 0.7, 0.9],
            s => FreezeFrom([Any(s)], s.Severity)
        ),
        DamageKind.Of(
            "all axes frozen from a moment on",
            Answers.Vibration,
            "of the flight",
            [0.3, 0.6, 0.9],
            s => FreezeFrom([.. s.Imu.Acceleration, .. s.Imu.Rates], s.Severity)
        ),
        DamageKind.Of("an axis frozen until a moment", Answers.Vibration, "of the flight", [0.3, 0.7], FreezeUntil),
        DamageKind.Of(
            "an axis frozen in stretches",
            Answers.Vibration,
            "share",
            [0.02, 0.05, 0.2, 0.5],
            s => FreezeStretches(s, [Any(s)], 0.5, 3)
        ),
        DamageKind.Of(
            "all axes frozen in stretches",
            Answers.Vibration,
            "share",
            [0.02, 0.05, 0.2, 0.5],
            s => FreezeStretches(s, [.. s.Imu.Acceleration, .. s.Imu.Rates], 0.3, 2)
        ),
        DamageKind.Of(
            "all axes frozen in short stretches",
            Answers.Vibration,
            "share",
            [0.05, 0.2, 0.5],
            s => FreezeStretches(s, [.. s.Imu.Acceleration, .. s.Imu.Rates], 0.02, 0.1)
        ),
        DamageKind.Of(
            "an axis at zero from a moment on",
            Answers.Vibration,
            "of the flight",
            [0.3, 0.6],
            s =>
            {
                LogColumn a = Any(s);
                a.Map((v, i) => i > s.Severity * a.Values.Length ? 0 : v);
            }
        ),
        DamageKind.Of("an axis is a copy of another", Answers.Vibration, Copy),
        DamageKind.Of(
            "an axis is a copy of another with its sign turned",
            Answers.Vibration,
            s =>
            {
                Copy(s);
                s.Imu.Acceleration[1].Map(v => -v);
            }
        ),
        DamageKind.Of("x and y swapped", Answers.None, s => Swap(s.Imu.Acceleration[0], s.Imu.Acceleration[1])).Hide(NoChange),
        DamageKind.Of(
            "z swapped with a horizontal axis",
            Answers.None,
            s => Swap(s.Imu.Acceleration[2], s.Imu.Acceleration[s.Random.Next(2)])
        ),
        DamageKind
            .Of("a horizontal axis with its sign turned", Answers.None, s => s.Imu.Acceleration[s.Random.Next(2)].Map(v => -v))
            .Hide(NoChange),
        DamageKind.Of("z with its sign turned", Answers.None, s => s.Imu.Acceleration[2].Map(v => -v)),
        DamageKind.Of("rates in the acceleration columns", Answers.Vibration, s => Into(s.Imu.Rates, s.Imu.Acceleration, both: false)),
        DamageKind.Of("rates and acceleration swapped", Answers.Vibration, s => Into(s.Imu.Rates, s.Imu.Acceleration, both: true)),
        DamageKind.Of("acceleration in the rate columns", Answers.None, s => Into(s.Imu.Acceleration, s.Imu.Rates, both: false)),
        DamageKind.Of(
            "a rate in an acceleration column",
            Answers.Vibration,
            s => Into([s.Imu.Rates[0]], [s.Imu.Acceleration[s.Random.Next(2)]], both: false)
        ),
        DamageKind.Of("the sensor turned", Answers.None, "°", [10, 45, 90], Turn),
        DamageKind.Of(
            "an axis replaced by noise",
            Answers.Vibration,
            "m/s² rms",
            [0.05, 0.5, 3],
            s =>
            {
                LogColumn a = Any(s);
                double mean = a.Mean();
                a.Map(_ => mean + a.Factor * s.Severity * s.Normal());
            }
        ),
        DamageKind.Of("an axis drops out to zero now and then", Answers.Vibration, "share", [0.02, 0.1, 0.4], DropOut),
        DamageKind.Of("a loose cable: an axis weakened in stretches", Answers.Vibration, "share", [0.1, 0.4], Loose),
        DamageKind.Of("another IMU of the aircraft in one axis", Answers.Vibration, s => Mix(s)),
        DamageKind
            .Of(
                "rates left out",
                Answers.None,
                s =>
                {
                    foreach (LogColumn c in s.Imu.Rates)
                    {
                        s.Imu.Remove(c);
                    }
                }
            )
            .Hide("many loggers record no rates"),
        DamageKind.Of("rates at zero", Answers.None, s => DamageScene.Each(s.Imu.Rates, _ => 0)),
    ];

    private static LogColumn Any(DamageScene s) => s.Pick(s.Imu.Acceleration);

    private static void FreezeFrom(IReadOnlyList<LogColumn> columns, double share)
    {
        foreach (LogColumn column in columns)
        {
            int at = (int)(share * column.Values.Length);
            double held = column.Values[at];
            column.Map((v, i) => i > at ? held : v);
        }
    }

    private static void FreezeUntil(DamageScene s)
    {
        LogColumn axis = Any(s);
        double held = axis.Values[0];
        axis.Map((v, i) => i < s.Severity * axis.Values.Length ? held : v);
    }

    private static void FreezeStretches(DamageScene s, IReadOnlyList<LogColumn> columns, double fromS, double toS)
    {
        bool[] within = s.Stretches(s.Imu, s.Severity, fromS, toS);
        foreach (LogColumn column in columns)
        {
            double held = column.Values[0];
            column.Map((v, i) => held = within[i] ? held : v);
        }
    }

    private static void Copy(DamageScene s)
    {
        LogColumn from = s.Imu.Acceleration[s.Random.Next(2) == 0 ? 0 : 2],
            to = s.Imu.Acceleration[1];
        to.Map((_, i) => from.Values[i]);
    }

    private static void Swap(LogColumn a, LogColumn b) => (a.Values, b.Values) = (b.Values, a.Values);

    private static void Into(IReadOnlyList<LogColumn> from, IReadOnlyList<LogColumn> to, bool both)
    {
        for (int i = 0; i < from.Count; i++)
        {
            double[] old = to[i].Values;
            to[i].Values = both ? from[i].Values : [.. from[i].Values];
            from[i].Values = both ? old : from[i].Values;
        }
    }

    private static void Turn(DamageScene s)
    {
        (double sin, double cos) = Math.SinCos(s.Severity * Math.PI / 180);
        foreach (IReadOnlyList<LogColumn> axes in new[] { s.Imu.Acceleration, s.Imu.Rates })
        {
            LogColumn a = axes[0],
                b = axes[2];
            for (int i = 0; i < a.Values.Length; i++)
            {
                (a.Values[i], b.Values[i]) = (cos * a.Values[i] + sin * b.Values[i], cos * b.Values[i] - sin * a.Values[i]);
            }
        }
    }

    private static void DropOut(DamageScene s)
    {
        bool[] within = s.Stretches(s.Imu, s.Severity, 0.05, 0.5);
        Any(s).Map((v, i) => within[i] ? 0 : v);
    }

    private static void Loose(DamageScene s)
    {
        bool[] within = s.Stretches(s.Imu, s.Severity, 1, 6);
        LogColumn axis = s.Imu.Acceleration[s.Random.Next(2)];
        axis.Map((v, i) => within[i] ? 0.2 * v : v);
    }

    private static void Mix(DamageScene s)
    {
        LogColumn axis = s.Imu.Acceleration[s.Random.Next(2)];
        double[] from = s.OtherSide.Imu.Acceleration[0].Values;
        axis.Map((_, i) => from[i % from.Length]);
    }
}
