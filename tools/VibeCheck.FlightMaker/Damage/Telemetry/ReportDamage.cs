namespace VibeCheck.FlightMaker.Damage.Telemetry;

/// <summary>Reports that are lost, cut off, assigned to other motors or taken from another flight.</summary>
internal static class ReportDamage
{
    private static readonly LogRole[] Roles = [LogRole.Rpm, LogRole.Command, LogRole.Current, LogRole.MotorTemp, LogRole.EscTemp];

    internal static IReadOnlyList<DamageKind> Kinds { get; } =
    [
        DamageKind.Of(
            "motors renumbered by one",
            Answers.None,
            s =>
                s.Flight.ChangeEsc(e =>
                {
                    foreach (LogRole role in Roles)
                    {
                        SpeedDamage.Rotate(e.All(role));
                    }
                })
        ),
        DamageKind.Of("two motors swapped", Answers.None, s => s.Flight.ChangeEsc(e => SwapTwo(s, e))),
        DamageKind.Of(
            "motors in reverse order",
            Answers.None,
            s =>
                s.Flight.ChangeEsc(e =>
                {
                    foreach (LogRole role in Roles)
                    {
                        Reverse(e.All(role));
                    }
                })
        ),
        DamageKind.Of("ESC file of the other flight", Answers.All, s => Replace(s, s.OtherSide.EscReports())),
        DamageKind.Of("ESC file of another aircraft", Answers.All, s => Replace(s, s.OtherJob.EscReports())),
        DamageKind.Of("IMU file of another aircraft", Answers.All, ImuOfOtherJob),
        DamageKind.Of(
            "telemetry ends early",
            Answers.All,
            "of the flight",
            [0.2, 0.4, 0.6, 0.8],
            s => s.Flight.ChangeEsc(e => e.Take([.. Enumerable.Range(0, (int)(s.Severity * e.Rows))]))
        ),
        DamageKind.Of(
            "telemetry begins late",
            Answers.All,
            "of the flight",
            [0.2, 0.5, 0.8],
            s =>
                s.Flight.ChangeEsc(e =>
                {
                    int from = (int)(s.Severity * e.Rows);
                    e.Take([.. Enumerable.Range(from, e.Rows - from)]);
                })
        ),
        DamageKind.Of("telemetry ends early, one motor", Answers.All, "of the flight", [0.3, 0.6], OneEnds),
        DamageKind.Of("telemetry gone in stretches", Answers.All, "%", [10, 40, 70], Gone),
        DamageKind.Of(
            "reports lost at random",
            Answers.None,
            "%",
            [20, 60, 90, 98],
            s => s.Flight.ChangeEsc(e => e.Take([.. Enumerable.Range(0, e.Rows).Where(i => i < 2 || !s.Chance(s.Severity / 100))]))
        ),
        DamageKind.Of("reports lost, stamps evened", Answers.All, "%", [5, 20, 50], Evened),
        DamageKind.Of("reports doubled", Answers.None, "%", [10, 100], Doubled).TwoFiles(),
        DamageKind.Of("reports shuffled", Answers.None, "rows apart", [5, 100], Shuffled).TwoFiles(),
        DamageKind.Of("one motor left out", Answers.All, OneLeftOut),
        DamageKind.Of(
            "all telemetry at zero",
            Answers.All,
            s => s.Flight.ChangeEsc(e => DamageScene.Each(e.Columns.Where(c => c.IsTelemetry), _ => 0))
        ),
        DamageKind.Of("one motor's telemetry at zero", Answers.All, s => OneAtZero(s, 0)),
        DamageKind.Of(
            "one motor's telemetry at zero from a moment on",
            Answers.All,
            "of the flight",
            [0.4, 0.7],
            s => OneAtZero(s, s.Severity)
        ),
        DamageKind.Of("telemetry frozen from a moment on", Answers.All, "of the flight", [0.3, 0.5, 0.8], Frozen),
    ];

    private static void SwapTwo(DamageScene s, LogSheet esc)
    {
        int a = s.Random.Next(s.Flight.Motors),
            b = (a + 1 + s.Random.Next(s.Flight.Motors - 1)) % s.Flight.Motors;
        foreach (LogRole role in Roles)
        {
            LogColumn one = esc.Column(role, a),
                two = esc.Column(role, b);
            (one.Values, two.Values) = (two.Values, one.Values);
        }
    }

    private static void Reverse(IReadOnlyList<LogColumn> columns)
    {
        double[][] values = [.. columns.Select(c => c.Values).Reverse()];
        for (int m = 0; m < columns.Count; m++)
        {
            columns[m].Values = values[m];
        }
    }

    /// <summary>Replaces the reports by those of another flight, in the unit that this flight's file states.</summary>
    private static void Replace(DamageScene s, LogSheet other)
    {
        LogSheet own = s.Flight.EscReports();
        double first = own.TimesS()[0],
            otherFirst = other.TimesS()[0];
        LogSheet replaced = new([
            .. own.Columns.Select(c =>
            {
                LogColumn from = other.Column(c.Role, c.Motor);
                double shift = c.Role == LogRole.Time ? first - otherFirst : 0;
                return c with { Values = Array.ConvertAll(from.Values, v => c.Written(from.Amount(v) + shift)) };
            }),
        ]);
        if (!s.Flight.OneFile)
        {
            s.Flight.Esc = replaced;
            return;
        }

        s.Flight.ChangeEsc(esc =>
        {
            int rows = Math.Min(esc.Rows, replaced.Rows);
            esc.Take([.. Enumerable.Range(0, rows)]);
            foreach (LogColumn column in esc.Columns.Where(c => c.IsTelemetry))
            {
                column.Values = replaced.Column(column.Role, column.Motor).Values[..rows];
            }
        });
    }

    private static void ImuOfOtherJob(DamageScene s) =>
        s.Flight.ChangeImu(imu =>
        {
            int rows = Math.Min(imu.Rows, s.OtherJob.Imu.Rows);
            imu.Take([.. Enumerable.Range(0, rows)]);
            foreach (LogColumn column in imu.Columns.Where(c => c.Role != LogRole.Time))
            {
                LogColumn from = s.OtherJob.Imu.Column(column.Role);
                column.Map((_, i) => column.Written(from.Amount(from.Values[i])));
            }
        });

    private static void Doubled(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
            esc.Take([.. Enumerable.Range(0, esc.Rows).SelectMany(i => s.Chance(s.Severity / 100) ? new[] { i, i } : [i])])
        );

    private static void OneLeftOut(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            int m = s.Random.Next(s.Flight.Motors);
            foreach (LogRole role in Roles)
            {
                esc.Remove(esc.Column(role, m));
            }
        });

    private static void OneAtZero(DamageScene s, double from) =>
        s.Flight.ChangeEsc(esc =>
        {
            int m = s.Random.Next(s.Flight.Motors);
            foreach (LogColumn column in esc.Columns.Where(c => c.Motor == m))
            {
                column.Map((v, i) => i >= from * column.Values.Length ? 0 : v);
            }
        });

    private static void Frozen(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            int at = (int)(s.Severity * esc.Rows);
            foreach (LogColumn column in esc.Columns.Where(c => c.IsTelemetry))
            {
                double held = column.Values[at];
                column.Map((v, i) => i > at ? held : v);
            }
        });

    private static void OneEnds(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            int m = s.Random.Next(s.Flight.Motors);
            foreach (LogColumn column in esc.Columns.Where(c => c.Motor == m))
            {
                column.Map((v, i) => i > s.Severity * column.Values.Length ? double.NaN : v);
            }
        });

    private static void Gone(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            bool[] gone = s.Stretches(esc, s.Severity / 100, 1, 6);
            esc.Take([.. Enumerable.Range(0, esc.Rows).Where(i => !gone[i])]);
        });

    private static void Evened(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            double first = esc.Time.Values[0],
                last = esc.Time.Values[^1];
            esc.Take([.. Enumerable.Range(0, esc.Rows).Where(i => i < 2 || !s.Chance(s.Severity / 100))]);
            esc.Time.Values = [.. Enumerable.Range(0, esc.Rows).Select(i => first + (last - first) * i / (esc.Rows - 1))];
        });

    private static void Shuffled(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            double[] keys = [.. Enumerable.Range(0, esc.Rows).Select(i => i + s.Severity * s.Random.NextDouble())];
            int[] rows = [.. Enumerable.Range(0, esc.Rows)];
            Array.Sort(keys, rows);
            esc.Take(rows);
        });
}
