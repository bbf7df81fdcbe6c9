namespace VibeCheck.FlightMaker.Damage.Telemetry;

/// <summary>Wrong rotor speeds.</summary>
internal static class SpeedDamage
{
    private const string Unused = "nothing rests on the commands where speeds are logged";

    internal static IReadOnlyList<DamageKind> Kinds { get; } =
    [
        DamageKind.Of("speeds alike for all motors (mean)", Answers.Vibration, Alike),
        DamageKind.Of("speeds alike for all motors (copy of one)", Answers.Vibration, CopyOne),
        DamageKind.Of("two motors with one speed", Answers.Vibration, CopyTwo),
        DamageKind.Of("speeds frozen", Answers.Vibration, "of the flight", [0.2, 0.3, 0.6, 0.9], s => Freeze(s, _ => true)),
        DamageKind.Of(
            "one motor's speed frozen",
            Answers.Vibration,
            "of the flight",
            [0.2, 0.6],
            s =>
            {
                int m = AnyMotor(s);
                Freeze(s, n => n == m);
            }
        ),
        DamageKind.Of(
            "speeds in coarse steps",
            Answers.Vibration,
            "rpm",
            [10, 50, 100, 500],
            s => Each(s, (c, v) => c.Written(Math.Round(c.Amount(v) / s.Severity) * s.Severity))
        ),
        DamageKind.Of(
            "speeds zero in a share of rows",
            Answers.Vibration,
            "%",
            [1, 5, 25, 60],
            s => Each(s, (_, v) => s.Chance(s.Severity / 100) ? 0 : v)
        ),
        DamageKind.Of(
            "speeds empty in a share of rows",
            Answers.Vibration,
            "%",
            [5, 50, 95],
            s => Each(s, (_, v) => s.Chance(s.Severity / 100) ? double.NaN : v)
        ),
        DamageKind.Of(
            "speeds filled with 65535 in a share of rows",
            Answers.Vibration,
            "%",
            [0.5, 5, 25],
            s => Each(s, (_, v) => s.Chance(s.Severity / 100) ? 65535 : v)
        ),
        DamageKind.Of(
            "speeds times a factor",
            Answers.Vibration,
            "×",
            [0.5, 0.857, 0.95, 0.99, 1.01, 1.05, 1.167, 2, 7, 14],
            s => Each(s, (_, v) => v * s.Severity)
        ),
        DamageKind.Of("speeds in Hz under rpm", Answers.Vibration, s => Each(s, (_, v) => v / 60)),
        DamageKind.Of("speeds in rad/s under rpm", Answers.Vibration, s => Each(s, (_, v) => v * Math.PI / 30)),
        DamageKind.Of(
            "one motor's speed times a factor",
            Answers.Vibration,
            "×",
            [0.5, 0.95, 1.05, 2],
            s =>
            {
                int m = AnyMotor(s);
                Each(s, (c, v) => c.Motor == m ? v * s.Severity : v);
            }
        ),
        DamageKind.Of(
            "speeds off by a constant",
            Answers.Vibration,
            "rpm",
            [-200, -50, 50, 200],
            s => Each(s, (c, v) => v > 0 ? v + c.Factor * s.Severity : v)
        ),
        DamageKind.Of(
            "speeds drift off",
            Answers.Vibration,
            "%",
            [-5, 5],
            s => Each(s, (c, v, i) => v * (1 + s.Severity / 100 * i / c.Values.Length))
        ),
        DamageKind.Of("speeds smoothed", Answers.Vibration, "s", [0.2, 1, 5], Smoothed),
        DamageKind.Of("speeds late", Answers.Vibration, "s", [0.1, 0.5, 2, 10], Late),
        DamageKind.Of(
            "speed noise",
            Answers.Vibration,
            "rpm",
            [10, 50, 200, 1000],
            s => Each(s, (c, v) => v > 0 ? v + c.Factor * s.Severity * s.Normal() : v)
        ),
        DamageKind.Of(
            "speed spikes",
            Answers.Vibration,
            "%",
            [0.5, 5, 20],
            s => Each(s, (c, v) => s.Chance(s.Severity / 100) ? v + c.Factor * s.Uniform(-4000, 4000) : v)
        ),
        DamageKind.Of("reports held for a while", Answers.Vibration, "s", [0.5, 2, 8], Held),
        DamageKind.Of("speeds calculated from commands", Answers.Vibration, FromCommands),
        DamageKind.Of("currents in the speed columns", Answers.Vibration, s => Swap(s, LogRole.Current)),
        DamageKind.Of("commands in the speed columns", Answers.Vibration, s => Swap(s, LogRole.Command)),
        DamageKind.Of("temperatures in the speed columns", Answers.All, s => Swap(s, LogRole.MotorTemp)),
        DamageKind.Of("commands at random", Answers.None, RandomCommands).Hide(Unused),
        DamageKind.Of(
            "currents times a factor",
            Answers.None,
            "×",
            [0.1, 10],
            s => s.Flight.ChangeEsc(e => DamageScene.Each(e.All(LogRole.Current), v => v * s.Severity))
        ),
        DamageKind.Of("speeds left out", Answers.Vibration, LeaveOut).Hide("many logs hold no speeds"),
        DamageKind.Of(
            "one motor's speed left out",
            Answers.Vibration,
            s => s.Flight.ChangeEsc(e => e.Remove(e.Column(LogRole.Rpm, AnyMotor(s))))
        ),
        DamageKind.Of("speeds of the other flight", Answers.Vibration, s => OfOther(s, s.OtherSide)),
        DamageKind.Of("two motors' speeds swapped", Answers.Vibration, SwapTwo),
        DamageKind.Of("speeds renumbered by one", Answers.Vibration, s => s.Flight.ChangeEsc(e => Rotate(e.All(LogRole.Rpm)))),
    ];

    private static int AnyMotor(DamageScene s) => s.Random.Next(s.Flight.Motors);

    private static void Each(DamageScene s, Func<LogColumn, double, double> change) => Each(s, (c, v, _) => change(c, v));

    private static void Each(DamageScene s, Func<LogColumn, double, int, double> change) =>
        s.Flight.ChangeEsc(esc =>
        {
            foreach (LogColumn column in esc.All(LogRole.Rpm))
            {
                column.Map((v, i) => change(column, v, i));
            }
        });

    private static void RandomCommands(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            foreach (LogColumn column in esc.All(LogRole.Command))
            {
                column.Map(_ => column.Written(s.Uniform(0, 1)));
            }
        });

    private static void LeaveOut(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            foreach (LogColumn column in esc.All(LogRole.Rpm))
            {
                esc.Remove(column);
            }
        });

    private static void Alike(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            IReadOnlyList<LogColumn> all = esc.All(LogRole.Rpm);
            double[] mean = [.. Enumerable.Range(0, esc.Rows).Select(i => all.Average(c => c.Values[i]))];
            foreach (LogColumn column in all)
            {
                column.Values = [.. mean];
            }
        });

    private static void CopyOne(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            double[] from = [.. esc.Column(LogRole.Rpm, AnyMotor(s)).Values];
            foreach (LogColumn column in esc.All(LogRole.Rpm))
            {
                column.Values = [.. from];
            }
        });

    private static void CopyTwo(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            int a = AnyMotor(s),
                b = (a + 1 + s.Random.Next(s.Flight.Motors - 1)) % s.Flight.Motors;
            esc.Column(LogRole.Rpm, a).Values = [.. esc.Column(LogRole.Rpm, b).Values];
        });

    private static void Freeze(DamageScene s, Func<int, bool> which) =>
        s.Flight.ChangeEsc(esc =>
        {
            foreach (LogColumn column in esc.All(LogRole.Rpm).Where(c => which(c.Motor)))
            {
                int at = (int)(s.Severity * column.Values.Length);
                double held = column.Values[at];
                column.Map((v, i) => i > at ? held : v);
            }
        });

    private static void Smoothed(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            double[] times = esc.TimesS();
            double keep = Math.Exp(-(times[^1] - times[0]) / times.Length / s.Severity);
            foreach (LogColumn column in esc.All(LogRole.Rpm))
            {
                double y = column.Values[0];
                column.Map(v => y = keep * y + (1 - keep) * v);
            }
        });

    private static void Late(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            double[] times = esc.TimesS();
            int rows = Math.Max(1, (int)(s.Severity * times.Length / (times[^1] - times[0])));
            foreach (LogColumn column in esc.All(LogRole.Rpm))
            {
                double[] old = [.. column.Values];
                column.Map((_, i) => old[Math.Max(0, i - rows)]);
            }
        });

    private static void Held(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            double[] times = esc.TimesS();
            int from = 0;
            int[] rows = [.. times.Select((t, i) => from = Math.Floor(t / s.Severity) > Math.Floor(times[from] / s.Severity) ? i : from)];
            foreach (LogColumn column in esc.Columns.Where(c => c.IsTelemetry))
            {
                double[] old = [.. column.Values];
                column.Map((_, i) => old[rows[i]]);
            }
        });

    private static void FromCommands(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            foreach (LogColumn rpm in esc.All(LogRole.Rpm))
            {
                LogColumn command = esc.Column(LogRole.Command, rpm.Motor);
                double slope = rpm.Values.Max() / Math.Sqrt(Math.Max(0.01, command.Values.Max(command.Amount)));
                rpm.Map((_, i) => slope * Math.Sqrt(Math.Max(0, command.Amount(command.Values[i]))));
            }
        });

    private static void Swap(DamageScene s, LogRole with) =>
        s.Flight.ChangeEsc(esc =>
        {
            for (int m = 0; m < s.Flight.Motors; m++)
            {
                LogColumn rpm = esc.Column(LogRole.Rpm, m),
                    other = esc.Column(with, m);
                (rpm.Values, other.Values) = (other.Values, rpm.Values);
            }
        });

    private static void OfOther(DamageScene s, FlightSheets flight)
    {
        LogSheet other = flight.EscReports();
        s.Flight.ChangeEsc(esc =>
        {
            foreach (LogColumn column in esc.All(LogRole.Rpm))
            {
                double[] from = other.Column(LogRole.Rpm, column.Motor).Values;
                column.Map((_, i) => from[Math.Min(i, from.Length - 1)]);
            }
        });
    }

    private static void SwapTwo(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            int a = AnyMotor(s),
                b = (a + 1 + s.Random.Next(s.Flight.Motors - 1)) % s.Flight.Motors;
            LogColumn one = esc.Column(LogRole.Rpm, a),
                two = esc.Column(LogRole.Rpm, b);
            (one.Values, two.Values) = (two.Values, one.Values);
        });

    internal static void Rotate(IReadOnlyList<LogColumn> columns)
    {
        double[][] values = [.. columns.Select(c => c.Values)];
        for (int m = 0; m < columns.Count; m++)
        {
            columns[m].Values = values[(m + 1) % values.Length];
        }
    }
}
