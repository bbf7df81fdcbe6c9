using System.Diagnostics;
using System.Globalization;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.FlightMaker;

namespace VibeCheck.Campaigns;

/// <summary>How often the comparison is right on simulated jobs, from simulated vibration to verdict: <c>campaigns compare [--trials
/// N]</c>.</summary>
internal static class CompareCampaign
{
    /// <summary>First seed of jobs that were not used to choose allowances and thresholds, which were chosen on seeds below 10
    /// 000.</summary>
    private const int FirstSeed = 500_000;

    private static readonly (string Name, double ChangeDb, double ChangeC, int Flights)[] Kinds =
    [
        ("nothing changed", 0, 0, 1),
        ("2 dB less", -2, 0, 1),
        ("2 dB more", 2, 0, 1),
        ("4 °C cooler", 0, -4, 1),
        ("4 °C hotter", 0, 4, 1),
        ("nothing changed, 2 flights a side", 0, 0, 2),
    ];

    internal static int Run(int trials, TextWriter output)
    {
        output.WriteLine($"Comparisons of {trials} made-up jobs a row");
        output.WriteLine(
            "| what changed | verdict right, % | vibration called, % | motors called, % | ESCs called, % | interval holds the truth: "
                + "vibration, % | orders, % | hottest motor, % | motors, % | ESCs, % | s a job |"
        );
        output.WriteLine("|---|---|---|---|---|---|---|---|---|---|---|");
        for (int k = 0; k < Kinds.Length; k++)
        {
            output.WriteLine(Row(Kinds[k].Name, Kinds[k].ChangeDb, Kinds[k].ChangeC, Kinds[k].Flights, trials, FirstSeed + 1000 * (k + 1)));
            output.Flush();
        }

        return 0;
    }

    private static string Row(string name, double changeDb, double changeC, int flights, int trials, int firstSeed)
    {
        var clock = Stopwatch.StartNew();
        Tally verdict = new(),
            vibration = new(),
            motors = new(),
            escs = new();
        Tally holdsTotal = new(),
            holdsOrders = new(),
            holdsHottest = new(),
            holdsMotors = new(),
            holdsEscs = new();
        for (int i = 0; i < trials; i++)
        {
            Comparison c = Compare(JobTrial.Make(firstSeed + i, changeDb, changeC, flights));
            verdict.Add(c.Verdict == Right(changeDb, changeC));
            vibration.Add(c.Vibration.Kind == Right(changeDb));
            motors.Add(c.MotorTemperature.Kind == Right(changeC));
            escs.Add(c.EscTemperature.Kind == Right(changeC));
            holdsTotal.Add(c.Vibration.Change, changeDb);
            holdsHottest.Add(c.MotorTemperature.Change, changeC);
            foreach (MotorComparison m in c.Motors)
            {
                holdsMotors.Add(m.MotorTemp.Change, changeC);
                holdsEscs.Add(m.EscTemp.Change, changeC);
                foreach (OrderChange o in m.Orders)
                {
                    holdsOrders.Add(o.ChangeDb, changeDb);
                }
            }
        }

        return string.Create(
            CultureInfo.InvariantCulture,
            $"| {name} | {verdict} | {vibration} | {motors} | {escs} | {holdsTotal} | {holdsOrders} | {holdsHottest} | {holdsMotors} | "
                + $"{holdsEscs} | {clock.Elapsed.TotalSeconds / trials:0.0} |"
        );
    }

    internal static Comparison Compare(JobTrial trial) =>
        JobComparison.Run(
            new JobFlights
            {
                Title = "Trial",
                Airframe = trial.Airframe,
                Before = [.. trial.Before.Select(r => SimulatedFlight.Make(r).Flight)],
                After = [.. trial.After.Select(r => SimulatedFlight.Make(r).Flight)],
            },
            new ComparisonOptions { Orders = [1, 2] }
        );

    private static Verdict Right(double changeDb, double changeC) =>
        Math.Sign(changeDb + changeC) switch
        {
            < 0 => Verdict.Improved,
            > 0 => Verdict.Worse,
            _ => Verdict.NoClearChange,
        };

    private static CallKind Right(double change) =>
        Math.Sign(change) switch
        {
            < 0 => CallKind.Improved,
            > 0 => CallKind.Worse,
            _ => CallKind.NoClearChange,
        };

    /// <summary>Counts how often something was true.</summary>
    private sealed class Tally
    {
        private int _yes,
            _all;

        internal void Add(bool yes)
        {
            _yes += yes ? 1 : 0;
            _all++;
        }

        internal void Add(Estimate estimate, double truth)
        {
            if (estimate.Ci95 is Interval interval)
            {
                Add(interval.Contains(truth));
            }
        }

        public override string ToString() => _all == 0 ? "-" : string.Create(CultureInfo.InvariantCulture, $"{100.0 * _yes / _all:0.0}");
    }
}
