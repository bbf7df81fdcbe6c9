using System.Globalization;

namespace VibeCheck.FlightMaker.Damage.Telemetry;

/// <summary>Wrong temperatures.</summary>
internal static class TemperatureDamage
{
    private const string Air = "all readings drift as they do when the air grows warmer by some degrees during the flight";

    private const string Constant = "a rise is a difference: a constant adds to the air as well, and a warm start looks alike";

    internal static IReadOnlyList<DamageKind> Kinds { get; } =
    [
        DamageKind.Of(
            "all temperatures in °F under °C",
            Answers.Temperatures,
            s => Each(s, Both, (c, v) => c.Written(1.8 * c.Amount(v) + 32))
        ),
        DamageKind.Of(
            "motor temperatures in °F under °C",
            Answers.MotorTemperature,
            s => Each(s, Motor, (c, v) => c.Written(1.8 * c.Amount(v) + 32))
        ),
        DamageKind.Of(
            "ESC temperatures in °F under °C",
            Answers.EscTemperature,
            s => Each(s, Esc, (c, v) => c.Written(1.8 * c.Amount(v) + 32))
        ),
        DamageKind.Of("all temperatures in K under °C", Answers.Temperatures, s => Each(s, Both, (_, v) => v + 273.15)),
        DamageKind.Of("all temperatures in tenths under °C", Answers.Temperatures, s => Each(s, Both, (_, v) => 10 * v)),
        DamageKind.Of(
            "all temperatures halved or doubled",
            Answers.Temperatures,
            "×",
            [0.5, 2],
            s => Each(s, Both, (_, v) => s.Severity * v)
        ),
        DamageKind.Of(
            "all temperatures times a factor",
            Answers.Temperatures,
            "×",
            [0.8, 1.25],
            s => Each(s, Both, (_, v) => s.Severity * v)
        ),
        DamageKind.Of(
            "temperatures of one motor times a factor",
            Answers.MotorTemperature,
            "×",
            [0.5, 2],
            s =>
            {
                int m = AnyMotor(s);
                Each(s, Motor, (c, v) => c.Motor == m ? s.Severity * v : v);
            }
        ),
        DamageKind
            .Of(
                "all temperatures off by a constant",
                Answers.Temperatures,
                "°C",
                [-10, -3, 3, 10],
                s => Each(s, Both, (_, v) => v + s.Severity)
            )
            .Hide(Constant),
        DamageKind.Of(
            "one motor's temperature off by a constant",
            Answers.MotorTemperature,
            "°C",
            [-15, 15],
            s =>
            {
                int m = AnyMotor(s);
                Each(s, Motor, (c, v) => c.Motor == m ? v + s.Severity : v);
            }
        ),
        DamageKind.Of("motor temperatures frozen", Answers.MotorTemperature, s => FreezeSome(s, Motor, 0)),
        DamageKind.Of("ESC temperatures frozen", Answers.EscTemperature, s => FreezeSome(s, Esc, 0)),
        DamageKind.Of(
            "temperatures frozen from a moment on",
            Answers.Temperatures,
            "of the flight",
            [0.2, 0.4, 0.6, 0.8],
            s => FreezeSome(s, Both, s.Severity)
        ),
        DamageKind.Of(
            "one motor's temperature frozen from a moment on",
            Answers.MotorTemperature,
            "of the flight",
            [0, 0.3, 0.6],
            s =>
            {
                int m = AnyMotor(s);
                FreezeSome(s, c => c.Role == LogRole.MotorTemp && c.Motor == m, s.Severity);
            }
        ),
        DamageKind.Of("temperatures capped", Answers.Temperatures, "of the rise", [0.3, 0.6, 0.8, 0.9], Capped),
        DamageKind.Of("temperatures capped from below", Answers.Temperatures, "of the rise", [0.3, 0.6], Floored),
        Filler(0),
        Filler(255),
        Filler(-1),
        Filler(127),
        Filler(-40),
        DamageKind.Of("temperatures empty in a share of rows", Answers.Temperatures, "%", [5, 50, 95], s => Cells(s, (_, _) => double.NaN)),
        DamageKind.Of("temperature spikes", Answers.Temperatures, "%", [0.1, 1, 10], s => Cells(s, (_, v) => v + s.Uniform(-60, 60))),
        DamageKind.Of(
            "temperature noise",
            Answers.Temperatures,
            "°C",
            [1, 5, 20],
            s => Each(s, Both, (_, v) => v + s.Severity * s.Normal())
        ),
        DamageKind.Of(
            "temperatures in coarse steps",
            Answers.Temperatures,
            "°C",
            [2, 5, 10],
            s => Each(s, Both, (_, v) => Math.Round(v / s.Severity) * s.Severity)
        ),
        DamageKind.Of("temperatures smoothed", Answers.Temperatures, "s", [5, 20, 60], Smoothed),
        DamageKind.Of("temperatures late", Answers.Temperatures, "s", [2, 10, 30], Late),
        DamageKind.Of(
            "temperatures drift",
            Answers.Temperatures,
            "°C",
            [-10, 10],
            s => Each(s, Both, (c, v, i) => v + s.Severity * i / c.Values.Length)
        ),
        DamageKind
            .Of(
                "temperatures drift slowly",
                Answers.Temperatures,
                "°C",
                [-3, 3],
                s => Each(s, Both, (c, v, i) => v + s.Severity * i / c.Values.Length)
            )
            .Hide(Air),
        DamageKind.Of("motor and ESC temperatures swapped, all motors", Answers.Temperatures, s => SwapUnits(s, _ => true)),
        DamageKind.Of(
            "motor and ESC temperatures swapped, one motor",
            Answers.Temperatures,
            s =>
            {
                int m = AnyMotor(s);
                SwapUnits(s, n => n == m);
            }
        ),
        DamageKind.Of("temperatures of two motors swapped", Answers.None, s => SwapMotors(s)),
        DamageKind.Of("all motor temperatures a copy of one", Answers.MotorTemperature, s => CopyOne(s, LogRole.MotorTemp)),
        DamageKind.Of("ESC temperatures a copy of the motors'", Answers.EscTemperature, MotorsTwice),
        DamageKind.Of(
            "the hottest motor's temperature left out",
            Answers.MotorTemperature,
            s => Hottest(s, LogRole.MotorTemp, leaveOut: true)
        ),
        DamageKind.Of(
            "the hottest motor's temperature empty",
            Answers.MotorTemperature,
            s => Hottest(s, LogRole.MotorTemp, leaveOut: false)
        ),
        DamageKind.Of("the hottest ESC's temperature left out", Answers.EscTemperature, s => Hottest(s, LogRole.EscTemp, leaveOut: true)),
        DamageKind.Of(
            "all motor temperatures left out",
            Answers.MotorTemperature,
            s =>
                s.Flight.ChangeEsc(e =>
                {
                    foreach (LogColumn c in e.All(LogRole.MotorTemp))
                    {
                        e.Remove(c);
                    }
                })
        ),
        DamageKind.Of("motor temperatures of the other flight", Answers.MotorTemperature, OfOtherFlight),
        DamageKind.Of(
            "air temperature of the job off",
            Answers.Temperatures,
            "°C",
            [-20, -10, -5, 5, 10, 20],
            s => s.AmbientC = (s.AmbientC ?? ColdStart(s)) + s.Severity
        ),
        DamageKind.Of(
            "air temperature of the job in °F",
            Answers.Temperatures,
            s => s.AmbientC = Math.Min(69, 1.8 * (s.AmbientC ?? ColdStart(s)) + 32)
        ),
        DamageKind.Of("air temperatures of the flights swapped", Answers.Temperatures, s => s.AmbientC = Start(s.OtherSide)),
    ];

    private static bool Both(LogColumn c) => c.IsTemperature;

    private static bool Motor(LogColumn c) => c.Role == LogRole.MotorTemp;

    private static bool Esc(LogColumn c) => c.Role == LogRole.EscTemp;

    private static int AnyMotor(DamageScene s) => s.Random.Next(s.Flight.Motors);

    private static DamageKind Filler(double filler) =>
        DamageKind.Of(
            string.Create(CultureInfo.InvariantCulture, $"temperatures filled with {filler}"),
            Answers.Temperatures,
            "%",
            [0.5, 5, 25],
            s => Cells(s, (_, _) => filler)
        );

    private static void MotorsTwice(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            foreach (LogColumn column in esc.All(LogRole.EscTemp))
            {
                column.Values = [.. esc.Column(LogRole.MotorTemp, column.Motor).Values];
            }
        });

    private static void Each(DamageScene s, Func<LogColumn, bool> which, Func<LogColumn, double, double> change) =>
        Each(s, which, (c, v, _) => change(c, v));

    private static void Each(DamageScene s, Func<LogColumn, bool> which, Func<LogColumn, double, int, double> change) =>
        s.Flight.ChangeEsc(esc =>
        {
            foreach (LogColumn column in esc.Columns.Where(which))
            {
                column.Map((v, i) => change(column, v, i));
            }
        });

    private static void Cells(DamageScene s, Func<LogColumn, double, double> change) =>
        Each(s, Both, (c, v) => s.Chance(s.Severity / 100) ? change(c, v) : v);

    private static void FreezeSome(DamageScene s, Func<LogColumn, bool> which, double share) =>
        s.Flight.ChangeEsc(esc =>
        {
            foreach (LogColumn column in esc.Columns.Where(which))
            {
                int at = (int)(share * column.Values.Length);
                double held = column.Values[at];
                column.Map((v, i) => i > at ? held : v);
            }
        });

    private static void Capped(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            // One limit for all units of a kind, like the range of a sensor: at a fraction between the coolest start and the hottest end.
            foreach (LogRole role in new[] { LogRole.MotorTemp, LogRole.EscTemp })
            {
                IReadOnlyList<LogColumn> all = esc.All(role);
                double low = all.Min(c => c.Values[0]),
                    high = all.Max(c => c.Values.Max());
                DamageScene.Each(all, v => Math.Min(v, Math.Round(low + s.Severity * (high - low))));
            }
        });

    private static void Floored(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            foreach (LogRole role in new[] { LogRole.MotorTemp, LogRole.EscTemp })
            {
                IReadOnlyList<LogColumn> all = esc.All(role);
                double low = all.Min(c => c.Values[0]),
                    high = all.Max(c => c.Values.Max());
                DamageScene.Each(all, v => Math.Max(v, Math.Round(low + s.Severity * (high - low))));
            }
        });

    private static void Smoothed(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            double[] times = esc.TimesS();
            double keep = Math.Exp(-(times[^1] - times[0]) / times.Length / s.Severity);
            foreach (LogColumn column in esc.Columns.Where(Both))
            {
                double y = column.Values[0];
                column.Map(v => y = keep * y + (1 - keep) * v);
            }
        });

    private static void Late(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            double[] times = esc.TimesS();
            int rows = Math.Min(times.Length - 1, (int)(s.Severity * times.Length / (times[^1] - times[0])));
            foreach (LogColumn column in esc.Columns.Where(Both))
            {
                double[] old = [.. column.Values];
                column.Map((_, i) => old[Math.Max(0, i - rows)]);
            }
        });

    private static void SwapUnits(DamageScene s, Func<int, bool> which) =>
        s.Flight.ChangeEsc(esc =>
        {
            for (int m = 0; m < s.Flight.Motors; m++)
            {
                if (which(m))
                {
                    LogColumn motor = esc.Column(LogRole.MotorTemp, m),
                        own = esc.Column(LogRole.EscTemp, m);
                    (motor.Values, own.Values) = (own.Values, motor.Values);
                }
            }
        });

    private static void SwapMotors(DamageScene s) =>
        s.Flight.ChangeEsc(esc =>
        {
            int a = AnyMotor(s),
                b = (a + 1 + s.Random.Next(s.Flight.Motors - 1)) % s.Flight.Motors;
            LogColumn one = esc.Column(LogRole.MotorTemp, a),
                two = esc.Column(LogRole.MotorTemp, b);
            (one.Values, two.Values) = (two.Values, one.Values);
        });

    private static void CopyOne(DamageScene s, LogRole role) =>
        s.Flight.ChangeEsc(esc =>
        {
            double[] from = esc.Column(role, AnyMotor(s)).Values;
            foreach (LogColumn column in esc.All(role))
            {
                column.Values = [.. from];
            }
        });

    private static void Hottest(DamageScene s, LogRole role, bool leaveOut) =>
        s.Flight.ChangeEsc(esc =>
        {
            LogColumn hottest = esc.All(role).MaxBy(c => c.Values.Max())!;
            hottest.Map(_ => double.NaN);
            if (leaveOut)
            {
                esc.Remove(hottest);
            }
        });

    private static void OfOtherFlight(DamageScene s)
    {
        LogSheet other = s.OtherSide.EscReports();
        s.Flight.ChangeEsc(esc =>
        {
            foreach (LogColumn column in esc.All(LogRole.MotorTemp))
            {
                double[] from = other.Column(LogRole.MotorTemp, column.Motor).Values;
                column.Map((_, i) => from[Math.Min(i, from.Length - 1)]);
            }
        });
    }

    private static double ColdStart(DamageScene s) => Start(s.Flight);

    private static double Start(FlightSheets flight)
    {
        LogColumn column = flight.EscReports().Column(LogRole.MotorTemp, 0);
        return column.Amount(column.Values.First(double.IsFinite));
    }
}
