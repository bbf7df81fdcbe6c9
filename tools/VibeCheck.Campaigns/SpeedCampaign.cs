using System.Diagnostics;
using System.Globalization;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Orders.SpeedSearch;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Campaigns;

/// <summary>Speeds found from the vibration of many simulated hovers, compared with the true ones.</summary>
internal static class SpeedCampaign
{
    internal static int Run(string[] args, TextWriter output)
    {
        int trials = Number(args, "--trials", 100),
            seed = Number(args, "--seed", 1),
            from = Number(args, "--from", 0);
        SpeedLog? log = Number(args, "--log", -1) is >= 0 and int given ? (SpeedLog)given : null;
        List<SpeedSample> all = [];
        List<OrderOfFound> orders = [];
        List<double> totals = [];
        TimeSpan spent = TimeSpan.Zero;
        double heardS = 0;
        for (int t = from; t < from + trials; t++)
        {
            SpeedTrial trial = SpeedTrial.Draw(t, seed, log);
            SpeedScene scene = trial.Make();
            TimeSpan before = Process.GetCurrentProcess().TotalProcessorTime;
            SpeedSearchResult result = RotorSpeedFinder.Find(scene.Imu, [scene.Hover], scene.Leads);
            spent += Process.GetCurrentProcess().TotalProcessorTime - before;
            heardS += scene.Hover.Seconds;
            if (args.Contains("--orders"))
            {
                Measure(scene, result, orders, totals);
            }

            List<SpeedSample> readings = Readings(trial, scene, result);
            all.AddRange(readings);
            foreach (SpeedSample r in readings.Where(r => args.Contains("--each") || r.IsWrong))
            {
                output.WriteLine(Describe(r));
            }
        }

        if (args.Contains("--orders"))
        {
            Orders(output, orders, totals);
        }

        output.WriteLine(
            Text($"{trials} trials, seed {seed}, {all.Count} motors without a speed, search {spent.TotalSeconds / trials:0.00} s ")
                + Text($"of processor a trial ({heardS / trials:0} s of hover)")
        );
        output.WriteLine("class                              n  given %  error % median   90 %  worst  wrong %  held %");
        Row(output, "all", all);
        foreach (
            var group in Classes.SelectMany(c =>
                all.GroupBy(c.Key).OrderBy(g => g.Key, StringComparer.Ordinal).Select(g => (Name: $"{c.Name} {g.Key}", g))
            )
        )
        {
            Row(output, group.Name, [.. group.g]);
        }

        foreach (var why in all.Where(r => !r.Given).GroupBy(r => r.Found.MeanRpm.Why!.Code).OrderByDescending(g => g.Count()))
        {
            output.WriteLine($"{why.Count(), 5}  {why.Key}");
        }

        return 0;
    }

    private static IEnumerable<(string Name, Func<SpeedSample, string> Key)> Classes =>
        [
            ("log", r => r.Trial.Log.ToString()),
            (
                "spread",
                r =>
                    r.Trial.Recipe.SpeedSpread < 0.005 ? "a < 0.5 %"
                    : r.Trial.Recipe.SpeedSpread < 0.015 ? "b < 1.5 %"
                    : "c wider"
            ),
            ("rotors", r => Text($"{r.Trial.Recipe.Airframe.Motors.Count}")),
            ("rate Hz", r => Text($"{r.Trial.Recipe.ImuRateHz:0000}")),
            (
                "size",
                r =>
                    r.Trial.Recipe.HoverRpm < 3500 ? "big slow"
                    : r.Trial.Recipe.HoverRpm < 6000 ? "middle"
                    : "small fast"
            ),
            ("hover", r => r.Trial.Recipe.HoverS < 21 ? "short" : "long"),
            ("hum", r => r.Trial.FixedLine ? "yes" : "no"),
            ("mode", r => r.Trial.Mode ? "yes" : "no"),
            ("balanced", r => r.Trial.Balanced ? "yes" : "no"),
        ];

    /// <summary>The orders of the motors whose speed was found, as an analysis of the flight would measure them.</summary>
    private static void Measure(SpeedScene scene, SpeedSearchResult result, List<OrderOfFound> orders, List<double> totals)
    {
        RotorSpeed[] speeds =
        [
            .. scene
                .Leads.Select(l => (l, Rpm: l.Rpm ?? result.Motors.First(f => f.MotorId == l.MotorId).Guess))
                .Where(x => x.Rpm is not null)
                .Select(x => new RotorSpeed(x.l.MotorId, x.Rpm!, x.l.Blades)),
        ];
        OrderResult measured = OrderAnalysis.Measure(scene.Imu, speeds, [scene.Hover], new());
        OrderResult control = OrderAnalysis.Measure(
            scene.Imu,
            [.. scene.Leads.Select((l, m) => new RotorSpeed(l.MotorId, scene.Truth[m], l.Blades))],
            [scene.Hover],
            new()
        );
        foreach (RotorOrders rotor in measured.Motors.Where(r => result.Motors.Any(f => f.MotorId == r.MotorId && f.Rpm is not null)))
        {
            foreach (OrderLevel level in rotor.Orders)
            {
                double truth = scene
                    .Flight.Motors.First(m => m.Id == rotor.MotorId)
                    .Orders.First(o => o.Order == level.Order)
                    .RmsMps2([scene.Hover]);
                Estimate known = control.Motors.First(m => m.MotorId == rotor.MotorId).Orders.First(o => o.Order == level.Order).RmsMps2;
                FoundSpeed own = result.Motors.First(f => f.MotorId == rotor.MotorId);
                double hz = own.MeanRpm.Value!.Value / 60,
                    nearest = result
                        .Motors.Where(f => f.Rpm is null)
                        .Select(f => f.Guess is { } guess ? Math.Abs(guess.MeanOver([scene.Hover])!.Value / 60 - hz) : 0)
                        .DefaultIfEmpty(99)
                        .Min();
                orders.Add(
                    new(
                        Db(level.RmsMps2, truth),
                        level.RmsMps2.Ci95?.Contains(truth) == true,
                        level.Order,
                        Db(known, truth),
                        known.Ci95?.Contains(truth) == true,
                        nearest
                    )
                );
            }
        }

        if (speeds.Length == scene.Leads.Count && measured.RotorVibrationMps2.Value is double total)
        {
            totals.Add(20 * Math.Log10(total / scene.Flight.RotorVibrationMps2()));
        }
    }

    private static void Orders(TextWriter output, List<OrderOfFound> orders, List<double> totals)
    {
        foreach (
            var group in orders
                .GroupBy(o =>
                    (
                        Order: o.Order == 1 ? "order 1" : "higher",
                        Near: o.NearestUnknownHz > 90 ? "all speeds known"
                        : o.NearestUnknownHz > 3 ? "unknown > 3 Hz off"
                        : o.NearestUnknownHz > 1 ? "unknown > 1 Hz"
                        : "unknown near"
                    )
                )
                .OrderBy(g => g.Key.ToString(), StringComparer.Ordinal)
        )
        {
            output.WriteLine(
                Text($"{group.Key.Order}, {group.Key.Near}: {group.Count()}; {Cells(group.Select(o => (o.ErrorDb, o.Held)))}; with ")
                    + Text($"true speeds {Cells(group.Select(o => (o.ControlDb, o.ControlHeld)))}")
            );
        }

        double[] total = [.. totals.Select(Math.Abs).Order()];
        output.WriteLine(
            total.Length == 0
                ? "total"
                : Text($"total of all motors: {total.Length} trials, error {total[total.Length / 2]:0.000} dB median, ")
                    + Text($"{total[(int)(0.9 * (total.Length - 1))]:0.00} for 90 %, {total[^1]:0.00} worst")
        );
    }

    private static double Db(Estimate level, double truth) => 20 * Math.Log10((level.Value ?? double.NaN) / truth);

    private static string Cells(IEnumerable<(double Db, bool Held)> all)
    {
        (double Db, bool Held)[] known = [.. all.Where(a => !double.IsNaN(a.Db))];
        double[] errors = [.. known.Select(k => Math.Abs(k.Db)).Order()];
        return errors.Length == 0
            ? "-"
            : Text($"given {errors.Length}, median {errors[errors.Length / 2]:0.000} dB, 90 % ")
                + Text($"{errors[(int)(0.9 * (errors.Length - 1))]:0.00}, worst {errors[^1]:0.0}, held ")
                + Text($"{100.0 * known.Count(k => k.Held) / known.Length:0.0} %");
    }

    private static List<SpeedSample> Readings(SpeedTrial trial, SpeedScene scene, SpeedSearchResult result)
    {
        List<SpeedSample> readings = [];
        for (int m = 0; m < scene.Leads.Count; m++)
        {
            if (result.Motors.FirstOrDefault(f => f.MotorId == scene.Leads[m].MotorId) is { } found)
            {
                readings.Add(
                    new(
                        trial,
                        found,
                        scene.Truth[m].MeanOver([scene.Hover])!.Value,
                        scene.Truth.Average(s => s.MeanOver([scene.Hover])!.Value)
                    )
                );
            }
        }

        return readings;
    }

    private static void Row(TextWriter output, string name, List<SpeedSample> readings)
    {
        SpeedSample[] given = [.. readings.Where(r => r.Given)];
        double[] errors = [.. given.Select(r => 100 * Math.Abs(r.ErrorShare)).Order()];
        output.WriteLine(
            errors.Length == 0
                ? Text($"{name, -30} {readings.Count, 6} {0, 8:0.0}")
                : Text($"{name, -30} {readings.Count, 6} {100.0 * given.Length / readings.Count, 8:0.0} ")
                    + Text($"{errors[errors.Length / 2], 15:0.000} {errors[(int)(0.9 * (errors.Length - 1))], 6:0.000} ")
                    + Text($"{errors[^1], 6:0.00} {100.0 * given.Count(r => r.IsWrong) / given.Length, 8:0.0} ")
                    + Text($"{100.0 * given.Count(r => r.Held) / given.Length, 7:0.0}")
        );
    }

    private static string Describe(SpeedSample r) =>
        Text($"#{r.Trial.Number} {r.Found.MotorId} true {r.TrueRpm / 60:0.00} Hz of {r.MeanRpm / 60:0.00} found ")
        + Text($"{r.Found.MeanRpm.Value / 60:0.00} ± {r.Found.MeanRpm.Ci95?.Width / 120:0.000} lead {r.Found.Lead:0.0} ")
        + Text($"{r.Trial.Log} spread {r.Trial.Recipe.SpeedSpread:0.0000} n {r.Trial.Recipe.Airframe.Motors.Count} ")
        + Text($"{r.Found.MeanRpm.Why}");

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    private static int Number(string[] args, string name, int otherwise)
    {
        int at = Array.IndexOf(args, name);
        return at >= 0 && at + 1 < args.Length ? int.Parse(args[at + 1], CultureInfo.InvariantCulture) : otherwise;
    }
}

/// <summary>The speed of one motor, found and true.</summary>
internal sealed record SpeedSample(SpeedTrial Trial, FoundSpeed Found, double TrueRpm, double MeanRpm)
{
    // With a larger error, the order fit, which refines speeds itself, would not converge to the true speed.
    private const double WrongShare = 0.003;

    internal bool Given => Found.MeanRpm.IsKnown;

    internal double ErrorShare => Found.MeanRpm.Value is double found ? found / TrueRpm - 1 : double.NaN;

    internal bool IsWrong => Math.Abs(ErrorShare) > WrongShare;

    internal bool Held => Found.MeanRpm.Ci95?.Contains(TrueRpm) == true;
}

/// <summary>One order of a motor whose speed was found, and the same from the true speeds.</summary>
internal sealed record OrderOfFound(double ErrorDb, bool Held, int Order, double ControlDb, bool ControlHeld, double NearestUnknownHz);
