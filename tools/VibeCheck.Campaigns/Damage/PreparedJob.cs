using System.Collections.Concurrent;
using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;
using VibeCheck.FlightMaker.Damage;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using Severity = VibeCheck.FlightMaker.Damage.Severity;

namespace VibeCheck.Campaigns.Damage;

/// <summary>A job with its undamaged flights made, written, read and compared once; runs damaged versions of itself.</summary>
internal sealed class PreparedJob
{
    private readonly ConcurrentDictionary<(string Files, string Said), Lazy<Flight>> _read = new();
    private readonly ConcurrentDictionary<(Flight Flight, string Options), Lazy<FlightAnalysis>> _analysed = new();
    private readonly FlightEntry[] _entries;
    private readonly bool _keep;

    /// <param name="number">Number of the job.</param>
    /// <param name="folder">Where files go.</param>
    /// <param name="keep">Every case has a folder of its own.</param>
    internal PreparedJob(int number, string folder, bool keep)
    {
        _keep = keep;
        Job = DamageJob.Make(number);
        Folder = Path.Combine(folder, FormattableString.Invariant($"job-{number}"));
        Directory.CreateDirectory(Folder);
        Sheets = [SheetsOf(Job.Before), SheetsOf(Job.After)];
        _entries = [EntryOf(0, "before"), EntryOf(1, "after")];
        Undamaged = Run(JobFolder.WriteJob(Folder, Job.Airframe, _entries[0], _entries[1], false), sameAirframe: true);
    }

    internal DamageJob Job { get; }

    internal string Folder { get; }

    /// <summary>The undamaged flights, before and after; not to be changed.</summary>
    internal FlightSheets[] Sheets { get; }

    internal JobAnswers Undamaged { get; }

    /// <summary>Damages a side of the job and runs the comparison on it.</summary>
    /// <param name="after">Which side.</param>
    /// <param name="kind">What is wrong.</param>
    /// <param name="severity">How much.</param>
    /// <param name="otherJob">The job of another aircraft.</param>
    /// <param name="seed">For all that is random in the damage.</param>
    internal JobAnswers RunDamaged(bool after, DamageKind kind, Severity severity, PreparedJob? otherJob, int seed)
    {
        int side = after ? 1 : 0;
        var random = new Random(seed);
        DamageScene scene = new()
        {
            Flight = Sheets[side].Copy(),
            OtherSide = Sheets[1 - side],
            OtherJob = otherJob is null ? Sheets[1 - side] : otherJob.Sheets[random.Next(2)],
            Airframe = Job.Airframe,
            Severity = severity.Value,
            Random = random,
            AmbientC = _entries[side].AmbientC,
        };
        kind.Apply(scene);
        string folder = Path.Combine(Folder, FormattableString.Invariant($"case-{(_keep ? seed : Environment.CurrentManagedThreadId)}"));
        Directory.CreateDirectory(folder);
        FlightEntry damaged = JobFolder.WriteFlight(scene.Flight, folder, "damaged", scene.AmbientC, scene.ClockOffsetS);
        (FlightEntry first, FlightEntry second) = after ? (_entries[0], damaged) : (damaged, _entries[1]);
        string path = JobFolder.WriteJob(folder, scene.Airframe, first, second, scene.StagesInWrongOrder);
        return Run(path, ReferenceEquals(scene.Airframe, Job.Airframe));
    }

    private FlightSheets SheetsOf(FlightRecipe recipe) => FlightSheets.Of(SimulatedFlight.Make(recipe), Job.Form, Job.JitterS);

    private FlightEntry EntryOf(int side, string name) =>
        JobFolder.WriteFlight(Sheets[side], Folder, name, Job.GivesAmbient ? (side == 0 ? Job.Before : Job.After).AmbientC : null, null);

    private JobAnswers Run(string path, bool sameAirframe) => sameAirframe ? JobRun.Of(path, Read, Analyse) : JobRun.Of(path);

    private Flight Read(FlightFiles files, ReadOptions options, Airframe airframe, CancellationToken cancellation)
    {
        if (!_entries.Any(e => e.Imu == files.Imu[0]))
        {
            return FlightReader.Read(files, options, airframe, cancellation);
        }

        string said = string.Create(CultureInfo.InvariantCulture, $"{options.AmbientC} {options.ClockOffsetS}");
        return _read.GetOrAdd((files.Imu[0], said), _ => new(() => FlightReader.Read(files, options, airframe, cancellation))).Value;
    }

    private FlightAnalysis Analyse(Flight flight, Airframe airframe, AnalysisOptions options)
    {
        if (!_read.Values.Any(f => f.IsValueCreated && ReferenceEquals(f.Value, flight)))
        {
            return FlightCheck.Of(flight, airframe, options);
        }

        string key = string.Join(
            ' ',
            [
                .. options.HoverSegments!.Select(s => FormattableString.Invariant($"{s.FromS:R}-{s.ToS:R}")),
                FormattableString.Invariant($"{options.BandHz?.Low}-{options.BandHz?.High}"),
                .. (options.Orders ?? []).Select(o => $"{o}"),
            ]
        );
        return _analysed.GetOrAdd((flight, key), _ => new(() => FlightCheck.Of(flight, airframe, options))).Value;
    }
}
