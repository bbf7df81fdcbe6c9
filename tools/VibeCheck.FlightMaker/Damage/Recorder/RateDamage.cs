namespace VibeCheck.FlightMaker.Damage.Recorder;

/// <summary>Another sample rate in one of the two flights.</summary>
internal static class RateDamage
{
    private const string Same = "a slower logger with a good filter is a healthy log of its band";

    /// <summary>Quality factors of the sections of a Butterworth low pass of order 8: 1 / (2 cos(k π/16)), k = 1, 3, 5, 7.</summary>
    private static readonly double[] EighthOrder = [0.5098, 0.6013, 0.9000, 2.5629];

    internal static IReadOnlyList<DamageKind> Kinds { get; } =
    [
        DamageKind.Of("every n-th row kept, no filter", Answers.Vibration, "n", [2, 3, 5, 10], s => s.Flight.ChangeImu(Thin(s))),
        DamageKind.Of("every n-th row kept after a mean", Answers.Vibration, "n", [2, 3, 5, 10], Averaged),
        DamageKind.Of("every n-th row kept after a good filter", Answers.Vibration, "n", [2, 3], Filtered).Hide(Same),
        DamageKind.Of(
            "resampled along lines to another rate",
            Answers.Vibration,
            "of the rate",
            [0.3, 0.51, 0.7, 0.9, 1.1, 2],
            s => s.Flight.ChangeImu(i => Resampled(i, s.Severity))
        ),
        DamageKind.Of(
            "resampled to the next value at another rate",
            Answers.Vibration,
            "of the rate",
            [0.51, 0.7, 0.9, 1.1],
            s => s.Flight.ChangeImu(i => Nearest(i, s.Severity))
        ),
    ];

    private static Action<LogSheet> Thin(DamageScene s) =>
        imu => imu.Take([.. Enumerable.Range(0, imu.Rows / (int)s.Severity).Select(i => i * (int)s.Severity)]);

    private static void Averaged(DamageScene s)
    {
        int n = (int)s.Severity;
        s.Flight.ChangeImu(imu =>
        {
            foreach (LogColumn column in imu.Columns.Where(c => c.Role != LogRole.Time))
            {
                double[] x = column.Values;
                column.Values = [.. x.Select((_, i) => x.AsSpan(i, Math.Min(n, x.Length - i)).ToArray().Average())];
            }

            Thin(s)(imu);
        });
    }

    private static void Filtered(DamageScene s) =>
        s.Flight.ChangeImu(imu =>
        {
            foreach (LogColumn column in imu.Columns.Where(c => c.Role != LogRole.Time))
            {
                foreach (double q in EighthOrder)
                {
                    column.Values = Biquad.LowPass(0.42 / s.Severity, q).Run(column.Values);
                }
            }

            Thin(s)(imu);
        });

    private static void Resampled(LogSheet imu, double share) => At(imu, share, (x, at, u) => x[at] + u * (x[at + 1] - x[at]));

    private static void Nearest(LogSheet imu, double share) => At(imu, share, (x, at, u) => u < 0.5 ? x[at] : x[at + 1]);

    private static void At(LogSheet imu, double share, Func<double[], int, double, double> value)
    {
        int rows = (int)((imu.Rows - 1) * share);
        foreach (LogColumn column in imu.Columns)
        {
            double[] x = column.Values;
            bool time = column.Role == LogRole.Time;
            column.Values =
            [
                .. Enumerable
                    .Range(0, rows)
                    .Select(i =>
                    {
                        double at = i / share;
                        int k = Math.Min((int)at, x.Length - 2);
                        return time ? x[k] + (at - k) * (x[k + 1] - x[k]) : value(x, k, at - k);
                    }),
            ];
        }
    }
}
