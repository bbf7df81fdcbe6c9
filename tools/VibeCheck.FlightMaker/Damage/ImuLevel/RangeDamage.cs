namespace VibeCheck.FlightMaker.Damage.ImuLevel;

/// <summary>Clipping, quantisation and overflow.</summary>
internal static class RangeDamage
{
    internal static IReadOnlyList<DamageKind> Kinds { get; } =
    [
        DamageKind.Of(
            "hard clip about zero, beyond gravity",
            Answers.Vibration,
            "sigma",
            [3, 2, 1.5, 1, 0.5, 0.2],
            s =>
                Each(
                    s,
                    (v, mean, sigma) =>
                    {
                        double l = Math.Abs(mean) + s.Severity * sigma;
                        return Math.Clamp(v, -l, l);
                    }
                )
        ),
        DamageKind.Of(
            "hard clip about the mean",
            Answers.Vibration,
            "sigma",
            [3, 2, 1.5, 1, 0.5],
            s => Each(s, (v, mean, sigma) => About(v, mean, s.Severity * sigma))
        ),
        DamageKind.Of(
            "hard clip with noise on the ends",
            Answers.Vibration,
            "sigma",
            [2, 1, 0.5],
            s => Each(s, (v, mean, sigma) => About(v, mean, s.Severity * sigma) + 0.02 * sigma * s.Normal())
        ),
        DamageKind.Of("hard clip of one axis", Answers.Vibration, "sigma", [2, 1, 0.5], ClipOne),
        DamageKind.Of(
            "clip on one side",
            Answers.Vibration,
            "sigma",
            [1.5, 0.7, 0],
            s => Each(s, (v, mean, sigma) => Math.Min(v, mean + s.Severity * sigma))
        ),
        DamageKind.Of(
            "soft clip about zero",
            Answers.Vibration,
            "sigma",
            [6, 3, 1.5, 0.7],
            s =>
                Each(
                    s,
                    (v, mean, sigma) =>
                    {
                        double l = Math.Abs(mean) + s.Severity * sigma;
                        return l * Math.Tanh(v / l);
                    }
                )
        ),
        DamageKind.Of(
            "soft clip about the mean",
            Answers.Vibration,
            "sigma",
            [4, 2, 1, 0.5],
            s => Each(s, (v, mean, sigma) => mean + s.Severity * sigma * Math.Tanh((v - mean) / (s.Severity * sigma)))
        ),
        DamageKind.Of(
            "values wrap around at the end of the range",
            Answers.Vibration,
            "sigma",
            [3, 2, 1],
            s => Each(s, (v, mean, sigma) => Wrap(v - mean, s.Severity * sigma) + mean)
        ),
        DamageKind.Of("negative numbers written as 65536 and less", Answers.Vibration, s => Each(s, (v, _, _) => v < 0 ? 65536 + v : v)),
        DamageKind.Of(
            "coarse steps",
            Answers.Vibration,
            "m/s²",
            [0.1, 0.25, 0.5, 1, 2, 5],
            s =>
                Each(
                    s,
                    (v, _, _) =>
                    {
                        double q = s.Severity * s.Flight.Form.AccPerMps2;
                        return Math.Round(v / q) * q;
                    }
                )
        ),
        DamageKind.Of("whole numbers towards zero", Answers.Vibration, s => Each(s, (v, _, _) => Math.Truncate(v))),
        DamageKind.Of(
            "a dead band about the mean",
            Answers.Vibration,
            "sigma",
            [0.3, 1, 2],
            s => Each(s, (v, mean, sigma) => Math.Abs(v - mean) < s.Severity * sigma ? mean : v)
        ),
        DamageKind.Of("gain that follows the level", Answers.Vibration, "s", [0.05, 0.5, 5], Levelled),
    ];

    private static double About(double v, double mean, double half) => Math.Clamp(v, mean - half, mean + half);

    private static void Each(DamageScene s, Func<double, double, double, double> change)
    {
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            (double mean, double sigma) = Hover(s, axis);
            axis.Map(v => change(v, mean, sigma));
        }
    }

    /// <summary>Mean and standard deviation over the middle of the flight.</summary>
    private static (double Mean, double Sigma) Hover(DamageScene s, LogColumn axis)
    {
        LogColumn middle = axis with { Values = axis.Values[(s.Imu.Rows / 4)..(3 * s.Imu.Rows / 4)] };
        return (middle.Mean(), middle.Deviation());
    }

    private static void ClipOne(DamageScene s)
    {
        LogColumn axis = s.Pick(s.Imu.Acceleration);
        (double mean, double sigma) = Hover(s, axis);
        axis.Map(v => About(v, mean, s.Severity * sigma));
    }

    private static double Wrap(double v, double half) => v - 2 * half * Math.Floor((v + half) / (2 * half));

    private static void Levelled(DamageScene s)
    {
        double[] times = s.Imu.TimesS();
        double keep = Math.Exp(-(times[^1] - times[0]) / times.Length / s.Severity);
        foreach (LogColumn axis in s.Imu.Acceleration)
        {
            double mean = axis.Mean(),
                square = Math.Pow(axis.Deviation(), 2),
                usual = Math.Sqrt(square);
            axis.Map(v =>
            {
                square = keep * square + (1 - keep) * (v - mean) * (v - mean);
                return mean + (v - mean) * usual / Math.Sqrt(square + 1e-3 * usual * usual);
            });
        }
    }
}
