using System.Globalization;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Campaigns;

/// <summary>How well the steady rise is found on made-up flights of 2.5 to 4 minutes: <c>campaigns temperatures [--trials N [--seed
/// S]]</c>.</summary>
internal static class TemperaturesCampaign
{
    /// <summary>First seed of units that were not used to develop the fit, which was developed on seeds below 1 000 000.</summary>
    private const int ReportedSeed = 1_700_000;

    private static readonly (string Name, double StepC, double NoiseC)[] Sensors =
    [
        ("whole degrees", 1, 0),
        ("whole degrees, 0.3 °C noise", 1, 0.3),
        ("whole degrees, 1 °C noise", 1, 1),
        ("half degrees", 0.5, 0),
        ("tenths, 0.1 °C noise", 0.1, 0.1),
    ];

    internal static int Run(string[] args, TextWriter output)
    {
        (int trials, int firstSeed) = args switch
        {
            ["--trials", string n, "--seed", string first] => (Whole(n), Whole(first)),
            ["--trials", string n] => (Whole(n), ReportedSeed),
            _ => (500, ReportedSeed),
        };
        output.WriteLine($"Steady rise on {trials} made-up units a row; ambient known; tau 35 to 130 s; hover 2.5 to 4 min");
        output.WriteLine(
            "| sensor | median error, °C | 90 % below, °C | worst, °C | bias, °C | intervals that hold the truth, % | median half width, "
                + "°C | known, % |"
        );
        output.WriteLine("|---|---|---|---|---|---|---|---|");
        foreach ((string name, double stepC, double noiseC) in Sensors)
        {
            output.WriteLine(Row(name, trials, i => HeatingTrial.Make(firstSeed + i, stepC, noiseC)));
            output.WriteLine(Row(name + ", quick part", trials, i => Made(i, true)));
            output.WriteLine(Row(name + ", winding in case", trials, i => Made(i, false)));

            HeatingTrial Made(int i, bool isApart) => HeatingTrial.Make(firstSeed + i, stepC, noiseC, Inner(firstSeed + i, isApart));
        }

        return 0;
    }

    private static int Whole(string text) => int.Parse(text, CultureInfo.InvariantCulture);

    /// <summary>A quarter to a third of the rise is quick, with a time constant of 8 to 15 s.</summary>
    private static InnerBody Inner(int seed, bool isApart)
    {
        var random = new Random(~seed);
        return new(0.25 + random.NextDouble() / 12, 8 + 7 * random.NextDouble(), isApart);
    }

    private static string Row(string name, int count, Func<int, HeatingTrial> make)
    {
        HeatingTrial[] trials = [.. Enumerable.Range(0, count).AsParallel().AsOrdered().Select(make)];
        var results = trials.AsParallel().AsOrdered().Select(t => (Trial: t, Rise: RiseOf(t))).ToArray();
        var known = results.Where(r => r.Rise.IsKnown).ToArray();
        double[] errors = [.. known.Select(r => Math.Abs(r.Rise.Value!.Value - r.Trial.TrueRiseC)).Order()];
        double bias = known.Average(r => r.Rise.Value!.Value - r.Trial.TrueRiseC);
        double held = 100.0 * known.Count(r => r.Rise.Ci95!.Value.Contains(r.Trial.TrueRiseC)) / known.Length;
        double[] halves = [.. known.Select(r => r.Rise.Ci95!.Value.Width / 2).Order()];
        return string.Create(
            CultureInfo.InvariantCulture,
            $"| {name} | {errors[errors.Length / 2]:0.00} | {errors[(int)(0.9 * errors.Length)]:0.00} | {errors[^1]:0.00} | "
                + $"{bias:+0.00;-0.00;0.00} | {held:0.0} | {halves[halves.Length / 2]:0.00} | {100.0 * known.Length / trials.Length:0} |"
        );
    }

    private static Estimate RiseOf(HeatingTrial trial)
    {
        var track = new MotorTrack { MotorId = "M1", CurrentA = trial.CurrentA };
        return TemperatureFit.Fit(trial.TempC, Load.Of(track, trial.Hover)!, trial.AmbientC, trial.Hover).RiseSteadyC;
    }
}
