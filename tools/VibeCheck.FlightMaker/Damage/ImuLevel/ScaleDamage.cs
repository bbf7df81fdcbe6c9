namespace VibeCheck.FlightMaker.Damage.ImuLevel;

/// <summary>Acceleration in another unit than the header states, or multiplied by a factor.</summary>
internal static class ScaleDamage
{
    private const string OneGain = "a usual accelerometer is off by as much, so a gain this near 1 on all of a flight looks like none";

    private const string Mount = "gravity is right, and lines and floor fall alike: a calmer aircraft looks the same";

    internal static IReadOnlyList<DamageKind> Kinds { get; } =
    [
        DamageKind.Of(
            "acceleration in g under m/s², or the other way",
            Answers.Vibration,
            s => Scale(s, s.Flight.Form.AccPerMps2 < 0.5 ? 9.80665 : 1 / 9.80665)
        ),
        DamageKind.Of("acceleration in mg under another unit", Answers.Vibration, s => Scale(s, 1000 / 9.80665 / s.Flight.Form.AccPerMps2)),
        DamageKind.Of("acceleration in cm/s² under another unit", Answers.Vibration, s => Scale(s, 100 / s.Flight.Form.AccPerMps2)),
        DamageKind.Of("acceleration in ft/s² under another unit", Answers.Vibration, s => Scale(s, 1 / 0.3048 / s.Flight.Form.AccPerMps2)),
        DamageKind.Of("acceleration in raw counts (2048 a g)", Answers.Vibration, s => Scale(s, 2048 / 9.80665 / s.Flight.Form.AccPerMps2)),
        DamageKind
            .Of(
                "all axes times a factor",
                Answers.Vibration,
                "×",
                [0.1, 0.25, 0.5, 0.7, 0.9, 1.02, 1.1, 1.4, 2, 4, 10],
                s => Scale(s, s.Severity)
            )
            .Hide(OneGain, f => Math.Abs(f - 1) < 0.03),
        DamageKind.Of(
            "a horizontal axis times a factor",
            Answers.Vibration,
            "×",
            [0.1, 0.5, 2, 10],
            s => s.Imu.Acceleration[s.Random.Next(2)].Map(v => v * s.Severity)
        ),
        DamageKind.Of(
            "the vertical axis times a factor",
            Answers.Vibration,
            "×",
            [0.1, 0.5, 0.9, 1.1, 2, 10],
            s => s.Imu.Acceleration[2].Map(v => v * s.Severity)
        ),
        DamageKind.Of("vibration times a factor, gravity right", Answers.Vibration, "×", [0.5, 0.7, 0.9, 1.1, 1.4, 2], About).Hide(Mount),
        DamageKind.Of("rates times a factor", Answers.None, "×", [0.1, 2, 57.3], s => DamageScene.Each(s.Imu.Rates, v => v * s.Severity)),
        DamageKind.Of("gain drifts through the flight", Answers.Vibration, "dB", [1, 2, 3, 6, 12], s => Drift(s, withGravity: true)),
        DamageKind.Of(
            "gain of the vibration drifts, gravity right",
            Answers.Vibration,
            "dB",
            [3, 6, 12],
            s => Drift(s, withGravity: false)
        ),
        DamageKind.Of("gain steps in mid-flight", Answers.Vibration, "dB", [-12, -6, -3, 3, 6, 12], Step),
        DamageKind.Of("gain switches to and fro", Answers.Vibration, "dB", [-6, 6], Switch),
        DamageKind.Of(
            "an axis off by a constant",
            Answers.Vibration,
            "m/s²",
            [0.5, 2, 5, 20],
            s =>
            {
                LogColumn axis = s.Pick(s.Imu.Acceleration);
                axis.Map(v => v + axis.Factor * s.Severity);
            }
        ),
        DamageKind.Of("an axis wanders off slowly", Answers.Vibration, "m/s²", [1, 5, 20], Wander),
        DamageKind.Of(
            "gravity taken out",
            Answers.Vibration,
            s => s.Imu.Acceleration[2].Map(v => v + (s.Flight.GravityWritten * (s.Imu.Acceleration[2].Values[0] < 0 ? 1 : -1)))
        ),
        DamageKind.Of("acceleration summed up to velocity", Answers.Vibration, Summed),
        DamageKind.Of("differences instead of acceleration", Answers.Vibration, Differences),
        DamageKind.Of("resultant in all three columns", Answers.Vibration, Resultant),
        DamageKind.Of("levels (rms over some samples) instead of samples", Answers.Vibration, "samples", [5, 20], Levels),
        DamageKind.Of("sign lost", Answers.Vibration, s => DamageScene.Each(s.Imu.Acceleration, Math.Abs)),
        DamageKind.Of(
            "noise added to all axes",
            Answers.Vibration,
            "m/s² rms",
            [0.5, 2, 8],
            s => DamageScene.Each(s.Imu.Acceleration, v => v + s.Flight.Form.AccPerMps2 * s.Severity * s.Normal())
        ),
    ];

    private static void Scale(DamageScene s, double factor) => DamageScene.Each(s.Imu.Acceleration, v => v * factor);

    private static void About(DamageScene s)
    {
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            double mean = axis.Mean();
            axis.Map(v => mean + s.Severity * (v - mean));
        }
    }

    private static void Drift(DamageScene s, bool withGravity)
    {
        double sign = s.Random.Next(2) == 0 ? 1 : -1;
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            double mean = withGravity ? 0 : axis.Mean();
            axis.Map((v, i) => mean + (v - mean) * Math.Pow(10, sign * s.Severity * i / axis.Values.Length / 20));
        }
    }

    private static void Wander(DamageScene s)
    {
        LogColumn axis = s.Pick(s.Imu.Acceleration);
        axis.Map((v, i) => v + axis.Factor * s.Severity * i / axis.Values.Length);
    }

    private static void Step(DamageScene s)
    {
        double at = s.Uniform(0.3, 0.7),
            gain = Math.Pow(10, s.Severity / 20);
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            axis.Map((v, i) => i < at * axis.Values.Length ? v : v * gain);
        }
    }

    private static void Switch(DamageScene s)
    {
        bool[] within = s.Stretches(s.Imu, 0.4, 2, 8);
        double gain = Math.Pow(10, s.Severity / 20);
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            axis.Map((v, i) => within[i] ? v * gain : v);
        }
    }

    private static void Summed(DamageScene s)
    {
        double[] times = s.Imu.TimesS();
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            double sum = 0,
                mean = axis.Mean();
            axis.Map((v, i) => sum += i == 0 ? 0 : (v - mean) * (times[i] - times[i - 1]));
        }
    }

    private static void Differences(DamageScene s)
    {
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            double last = axis.Values[0];
            axis.Map(v =>
            {
                double d = v - last;
                last = v;
                return d;
            });
        }
    }

    private static void Resultant(DamageScene s)
    {
        IReadOnlyList<LogColumn> axes = s.Imu.Acceleration;
        double[] size = [.. Enumerable.Range(0, s.Imu.Rows).Select(i => Math.Sqrt(axes.Sum(a => a.Values[i] * a.Values[i])))];
        foreach (LogColumn axis in axes)
        {
            axis.Map((_, i) => size[i]);
        }
    }

    private static void Levels(DamageScene s)
    {
        int length = (int)s.Severity;
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            double[] from = [.. axis.Values];
            axis.Map(
                (_, i) =>
                {
                    int first = Math.Max(0, i - length + 1);
                    double sum = 0;
                    for (int j = first; j <= i; j++)
                    {
                        sum += from[j] * from[j];
                    }

                    return Math.Sqrt(sum / (i - first + 1));
                }
            );
        }
    }
}
