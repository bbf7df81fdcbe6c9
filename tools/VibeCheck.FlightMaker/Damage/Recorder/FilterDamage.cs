namespace VibeCheck.FlightMaker.Damage.Recorder;

/// <summary>A filter in one of the two flights.</summary>
internal static class FilterDamage
{
    internal static IReadOnlyList<DamageKind> Kinds { get; } =
    [
        DamageKind.Of("moving average", Answers.Vibration, "samples", [2, 3, 5, 9, 25], s => All(s, x => Mean(x, (int)s.Severity))),
        DamageKind.Of("moving average of one axis", Answers.Vibration, "samples", [3, 9], s => One(s, x => Mean(x, (int)s.Severity))),
        DamageKind.Of(
            "low pass, first order",
            Answers.Vibration,
            "Hz",
            [20, 50, 100, 200],
            s => All(s, x => FirstOrder(x, s.Severity / RateHz(s)))
        ),
        DamageKind.Of(
            "low pass, second order",
            Answers.Vibration,
            "Hz",
            [20, 50, 100, 150, 200],
            s => All(s, x => Biquad.LowPass(s.Severity / RateHz(s), Math.Sqrt(0.5)).Run(x))
        ),
        DamageKind.Of(
            "low pass, fourth order",
            Answers.Vibration,
            "Hz",
            [50, 100, 150],
            s => All(s, x => Biquad.LowPass(s.Severity / RateHz(s), 1.307).Run(Biquad.LowPass(s.Severity / RateHz(s), 0.541).Run(x)))
        ),
        DamageKind.Of(
            "low pass from a moment on",
            Answers.Vibration,
            "Hz",
            [30, 80],
            s => Partly(s, x => Biquad.LowPass(s.Severity / RateHz(s), Math.Sqrt(0.5)).Run(x))
        ),
        DamageKind.Of(
            "high pass, second order",
            Answers.Vibration,
            "Hz",
            [5, 50, 100, 150],
            s => All(s, x => Biquad.HighPass(s.Severity / RateHz(s), Math.Sqrt(0.5)).Run(x))
        ),
        DamageKind.Of(
            "notch at a fixed frequency",
            Answers.Vibration,
            "Q",
            [1, 3, 10],
            s =>
            {
                double hz = RotorHz(s, s.Random.Next(s.Flight.Motors));
                All(s, x => Biquad.Notch(hz / RateHz(s), s.Severity).Run(x));
            }
        ),
        DamageKind.Of(
            "notch that follows a rotor",
            Answers.Vibration,
            "Q",
            [1, 3, 10],
            s => Following(s, [s.Random.Next(s.Flight.Motors)], [1])
        ),
        DamageKind.Of(
            "notches that follow all rotors",
            Answers.Vibration,
            "Q",
            [1, 3, 10],
            s => Following(s, [.. Enumerable.Range(0, s.Flight.Motors)], [1])
        ),
        DamageKind.Of(
            "notches that follow all rotors, orders 1 and 2",
            Answers.Vibration,
            "Q",
            [2, 5],
            s => Following(s, [.. Enumerable.Range(0, s.Flight.Motors)], [1, 2])
        ),
        DamageKind.Of("running median", Answers.Vibration, "samples", [3, 5, 9], s => All(s, x => Median(x, (int)s.Severity))),
        DamageKind.Of(
            "a softer sensor mount (resonance)",
            Answers.Vibration,
            "Hz",
            [25, 45, 90, 160],
            s => All(s, x => Biquad.LowPass(s.Severity / RateHz(s), 4).Run(x))
        ),
        DamageKind.Of("values logged only when they change", Answers.Vibration, "sigma", [0.2, 0.5, 1, 2], Deadband),
        DamageKind.Of("slew rate limited", Answers.Vibration, "sigma a sample", [0.1, 0.3, 1], Slew),
        DamageKind.Of(
            "filtered for a low rate and held",
            Answers.Vibration,
            "rows",
            [3, 8],
            s =>
                All(
                    s,
                    x =>
                    {
                        double[] y = Mean(x, (int)s.Severity);
                        return [.. y.Select((_, i) => y[i - i % (int)s.Severity])];
                    }
                )
        ),
        DamageKind.Of(
            "sharpened (pre-emphasis)",
            Answers.Vibration,
            "share",
            [0.3, 0.9],
            s => All(s, x => [.. x.Select((v, i) => v + s.Severity * (v - x[Math.Max(0, i - 1)]))])
        ),
        DamageKind.Of(
            "an echo of the signal",
            Answers.Vibration,
            "samples",
            [2, 10, 100],
            s => All(s, x => [.. x.Select((v, i) => 0.5 * (v + x[Math.Max(0, i - (int)s.Severity)]))])
        ),
    ];

    internal static double RateHz(DamageScene s)
    {
        double[] times = s.Imu.TimesS();
        return (times.Length - 1) / (times[^1] - times[0]);
    }

    /// <summary>Mean rotor speed while the rotor turns, turns per second.</summary>
    private static double RotorHz(DamageScene s, int motor)
    {
        LogColumn rpm = s.Flight.EscReports().Column(LogRole.Rpm, motor);
        double top = rpm.Values.Where(double.IsFinite).Max();
        return rpm.Amount(rpm.Values.Where(v => v > 0.7 * top).Average()) / 60;
    }

    private static void All(DamageScene s, Func<double[], double[]> filter)
    {
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            axis.Values = filter(axis.Values);
        }
    }

    private static void One(DamageScene s, Func<double[], double[]> filter)
    {
        LogColumn axis = s.Pick(s.Imu.Acceleration);
        axis.Values = filter(axis.Values);
    }

    private static void Partly(DamageScene s, Func<double[], double[]> filter)
    {
        double at = s.Uniform(0.25, 0.6);
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            double[] filtered = filter(axis.Values);
            axis.Map((v, i) => i > at * filtered.Length ? filtered[i] : v);
        }
    }

    private static double[] Mean(double[] x, int length)
    {
        var y = new double[x.Length];
        double sum = 0;
        for (int i = 0; i < x.Length; i++)
        {
            sum += x[i] - (i >= length ? x[i - length] : 0);
            y[i] = sum / Math.Min(i + 1, length);
        }

        return y;
    }

    private static double[] FirstOrder(double[] x, double perSample)
    {
        double keep = Math.Exp(-2 * Math.PI * perSample),
            y = x[0];
        return [.. x.Select(v => y = keep * y + (1 - keep) * v)];
    }

    private static double[] Median(double[] x, int length)
    {
        var window = new double[length];
        var y = new double[x.Length];
        for (int i = 0; i < x.Length; i++)
        {
            for (int j = 0; j < length; j++)
            {
                window[j] = x[Math.Clamp(i + j - length / 2, 0, x.Length - 1)];
            }

            Array.Sort(window);
            y[i] = window[length / 2];
        }

        return y;
    }

    /// <summary>Applies notch filters that follow the reported speeds, updated every 10 ms.</summary>
    private static void Following(DamageScene s, int[] motors, int[] orders)
    {
        LogSheet esc = s.Flight.EscReports();
        double[] reports = esc.TimesS(),
            times = s.Imu.TimesS();
        double rateHz = RateHz(s),
            shift = s.Flight.OneFile ? 0 : Shift(reports, times);
        int step = Math.Max(1, (int)(rateHz / 100));
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            double[] x = axis.Values;
            foreach (int m in motors)
            {
                LogColumn rpm = esc.Column(LogRole.Rpm, m);
                foreach (int order in orders)
                {
                    Biquad notch = Biquad.Notch(0.1, s.Severity);
                    var y = new double[x.Length];
                    for (int i = 0, r = 0; i < x.Length; i++)
                    {
                        if (i % step == 0)
                        {
                            for (; r + 1 < reports.Length && reports[r + 1] + shift <= times[i]; r++) { }

                            double share = order * rpm.Amount(rpm.Values[r]) / 60 / rateHz;
                            notch = share is > 0.01 and < 0.48 ? notch.With(Biquad.Notch(share, s.Severity)) : notch;
                        }

                        y[i] = notch.Next(x[i]);
                    }

                    x = y;
                }
            }

            axis.Values = x;
        }
    }

    /// <summary>Offset that aligns the start of both records. The recorders' clocks differ, but the notches of a flight controller follow
    /// the present speed.</summary>
    private static double Shift(double[] reports, double[] times) => times[0] - reports[0];

    private static void Deadband(DamageScene s)
    {
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            double band = s.Severity * axis.Deviation(),
                held = axis.Values[0];
            axis.Map(v => held = Math.Abs(v - held) > band ? v : held);
        }
    }

    private static void Slew(DamageScene s)
    {
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            double most = s.Severity * axis.Deviation(),
                y = axis.Values[0];
            axis.Map(v => y += Math.Clamp(v - y, -most, most));
        }
    }
}
