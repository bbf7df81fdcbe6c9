using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Jobs;

namespace VibeCheck.Workbench.Jobs;

/// <summary>A snapshot of all that the pages show.</summary>
public sealed record DeskView
{
    /// <summary>The aircraft; null where there is none yet, or its file cannot be read.</summary>
    public Airframe? Airframe { get; init; }

    /// <summary>Readings of the survey, in the order of the file.</summary>
    public IReadOnlyList<GaugeReading> Readings { get; init; } = [];

    /// <summary>The tilts; null without readings or aircraft.</summary>
    public Survey? Survey { get; init; }

    /// <summary>The shim plan; null without readings.</summary>
    public ShimPlan? Plan { get; init; }

    /// <summary>The job as far as it is complete; null where its file cannot be read.</summary>
    public Job? Job { get; init; }

    /// <summary>What is wrong with the files of the job.</summary>
    public IReadOnlyList<InputFault> Faults { get; init; } = [];

    /// <summary>Changes to files of the job that the user must know about, each in plain sentences.</summary>
    public IReadOnlyList<string> Notices { get; init; } = [];

    /// <summary>The entries of columns.toml.</summary>
    public IReadOnlyList<ColumnEntry> Columns { get; init; } = [];

    /// <summary>The logs.</summary>
    public IReadOnlyList<LogEntry> Logs { get; init; } = [];

    /// <summary>State of the answer.</summary>
    public AnswerState Answer { get; init; } = new();

    /// <summary>The log at a path; null where no log of the desk has this path.</summary>
    public LogEntry? Log(string path) => Logs.FirstOrDefault(l => System.IO.Path.GetFullPath(l.Path) == System.IO.Path.GetFullPath(path));

    /// <summary>Logs that are in no flight of the job.</summary>
    public IEnumerable<LogEntry> Loose
    {
        get
        {
            HashSet<string> placed =
            [
                .. (Job?.Before ?? [])
                    .Concat(Job?.After ?? [])
                    .Concat((Job?.Stages ?? []).SelectMany(s => s.Flights))
                    .SelectMany(f => f.Files.Imu.Concat(f.Files.Esc))
                    .Select(System.IO.Path.GetFullPath),
            ];
            return Logs.Where(l => !placed.Contains(System.IO.Path.GetFullPath(l.Path)));
        }
    }
}

/// <summary>State of the answer: missing, being calculated, calculated, or prevented by faults.</summary>
public sealed record AnswerState
{
    /// <summary>The answer to the present job, or to the job before the last change; null without one.</summary>
    public Answer? Result { get; init; }

    /// <summary>Whether a new one is being calculated.</summary>
    public bool Works { get; init; }

    /// <summary>Share of the logs read, 0 to 1.</summary>
    public double Share { get; init; }

    /// <summary>What is still missing, each as a noun phrase such as "the aircraft".</summary>
    public IReadOnlyList<string> Missing { get; init; } = [];

    /// <summary>Faults of files that prevent an answer.</summary>
    public IReadOnlyList<InputFault> Faults { get; init; } = [];

    /// <summary>A fault of the tool itself, as sentences; null without one.</summary>
    public string? OwnFault { get; init; }
}
