using System.Globalization;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Campaigns.Findings;

/// <summary>Which finding comes first for a known fault: <c>campaigns findings [--trials N] [--healthy N] [--seed S] [--only CODE]
/// [--each]</c>.</summary>
internal static class FaultCampaign
{
    internal const string Usage = "findings [--trials N] [--healthy N] [--seed S] [--only CODE] [--each]";

    private const string Nothing = "nothing";

    internal static int Run(string[] args, TextWriter output)
    {
        int trials = Option(args, "--trials", 40),
            healthy = Option(args, "--healthy", 200),
            seed = Option(args, "--seed", 1);
        string? only = Array.IndexOf(args, "--only") is >= 0 and int at ? args[at + 1] : null;
        bool each = args.Contains("--each");
        List<FaultOutcome> all = [];
        foreach ((string code, int count) in Codes(trials, healthy).Where(c => only is null || only.Split(',').Contains(c.Code)))
        {
            FaultOutcome[] outcomes = new FaultOutcome[count];
            Parallel.For(0, count, new() { MaxDegreeOfParallelism = 2 }, n => outcomes[n] = Outcome(FaultTrial.Draw(code, n, seed)));
            all.AddRange(outcomes);
            if (each)
            {
                foreach (FaultOutcome o in outcomes)
                {
                    output.WriteLine(o.Line());
                }

                output.Flush();
            }
        }

        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"Made flights, seed {seed}, {trials} a fault, {healthy} healthy"));
        FaultTable.Write(all, output);
        FaultTable.Matrix(all, output);
        return 0;
    }

    private static IEnumerable<(string Code, int Count)> Codes(int trials, int healthy) =>
        FaultRanges.All.Select(r => (r.Code, trials)).Append((FaultTrial.Healthy, healthy));

    /// <summary>The flight of a trial, as the log reader would return it.</summary>
    internal static Flight Make(FaultTrial trial)
    {
        FaultRun run = new(trial);
        (ImuTrack imu, int clipped) = new FaultVibration(trial, run).Make();
        (IReadOnlyList<MotorTrack> motors, Series battery) = new FaultTelemetry(trial, run).Make();
        return new Flight
        {
            Imu = imu,
            Motors = motors,
            BatteryV = battery,
            AmbientC = 18,
            Input = new FlightInput
            {
                Imu = new FileRecord
                {
                    Path = "made",
                    Rows = imu.Count,
                    RowsUnusable = 0,
                    RateHz = imu.RateHz,
                    ClippedSamples = clipped,
                    Columns = [],
                },
                ClockOffsetS = 0,
            },
        };
    }

    private static FaultOutcome Outcome(FaultTrial trial)
    {
        FlightAnalysis analysis = FlightCheck.Of(Make(trial), trial.Aircraft.Airframe);
        IReadOnlyList<Finding> findings = analysis.Findings;
        return new(
            trial,
            findings.Count == 0 ? Nothing : findings[0].Code,
            findings.Count == 0 ? null : findings[0].Motor,
            [.. findings],
            [.. analysis.Quality.Select(q => q.Cause.GetType().Name)],
            analysis.Hover.SecondsUsed
        );
    }

    private static int Option(string[] args, string name, int usual) =>
        Array.IndexOf(args, name) is >= 0 and int at ? int.Parse(args[at + 1], CultureInfo.InvariantCulture) : usual;
}

/// <summary>The result of the tool for a trial.</summary>
internal sealed record FaultOutcome(
    FaultTrial Trial,
    string First,
    string? FirstMotor,
    IReadOnlyList<Finding> Findings,
    IReadOnlyList<string> Quality,
    double HoverS
)
{
    internal bool IsRight => First == Trial.Code && (!FaultRanges.Of(Trial.Code).PerMotor || FirstMotor == Trial.MotorId);

    internal bool AboveNote => Findings.Any(f => f.Severity != Severity.Note);

    internal string Line() =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{Trial.Code} {Trial.Size} {Trial.Amount:0.###} {Trial.MotorId} "
                + $"{Trial.Aircraft.Airframe.Motors.Count}x{Trial.Aircraft.HoverHz:0}Hz {Trial.Aircraft.RateHz:0}Hz hover {HoverS:0} s: "
                + $"{string.Join(", ", Findings.Select(f => $"{f.Code} {f.Motor} {f.Severity}"))} [{string.Join(" ", Quality)}]"
        );
}
