using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Jobs;
using VibeCheck.Logs.Surveys;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Workbench.Jobs;

/// <summary>The open job: what its files say, what is being read, and the answer. All pages show the same desk.</summary>
internal sealed class Desk : IDisposable
{
    private readonly Lock _gate = new();
    private readonly FlightStore _flights = new();
    private readonly LogShelf _shelf;
    private readonly AnswerWork _answer;
    private DeskView _view = new();
    private volatile string _stamp = "";

    /// <param name="folder">The folder of the job.</param>
    /// <param name="page">The first page, which calculations wait for; null to begin at once.</param>
    public Desk(JobFolder folder, FirstPage? page = null)
    {
        Folder = folder;
        Task ready = page?.Ready ?? Task.CompletedTask;
        _shelf = new LogShelf(folder, _flights, OnLogs, () => View, ready);
        _answer = new AnswerWork(folder, _flights, state => Show(v => v with { Answer = state }), ready);
        Look();
    }

    /// <summary>Raised whenever what the pages show has changed; on any thread.</summary>
    internal event Action? Changed;

    internal JobFolder Folder { get; }

    /// <summary>The file of the aircraft: the one that job.toml names, else airframe.toml.</summary>
    internal string AirframePath => AirframeOf(View.Job);

    /// <summary>The file of the readings: the one that job.toml names, else survey.csv.</summary>
    internal string SurveyPath => SurveyOf(View.Job);

    /// <summary>The file of the readings that job.toml names now; it may have been edited by hand since it was shown.</summary>
    /// <exception cref="InputFaultException">job.toml cannot be read.</exception>
    internal string SurveyNow() => SurveyOf(ReadJob());

    /// <summary>What the pages show now.</summary>
    internal DeskView View => Volatile.Read(ref _view);

    /// <summary>Whether lengths are shown in inches.</summary>
    internal bool Inch { get; private set; }

    /// <summary>Reads the files of the folder again, and logs that are new or changed.</summary>
    internal void Look()
    {
        LookAtFiles();

        // The answer comes first, because it reads the logs too.
        Start();
        _shelf.Look(View.Job, ColumnsOrNone());
    }

    /// <summary>Reads the folder again where another program changed one of its files; a page calls this when it is loaded.</summary>
    /// <exception cref="IOException">The folder cannot be read.</exception>
    internal void LookAgain()
    {
        if (StampOfFiles(View.Job) != _stamp || _shelf.IsBehind(View.Job))
        {
            Look();
        }
    }

    /// <summary>A text that changes whenever a file of the job changes, except its logs.</summary>
    private string StampOfFiles(Job? job) =>
        string.Join(
            '\n',
            new[] { Folder.Job, AirframeOf(job), SurveyOf(job), ColumnsOf(job) }
                .Select(f => new FileInfo(f))
                .Select(f => f.Exists ? FormattableString.Invariant($"{f.FullName} {f.Length} {f.LastWriteTimeUtc.Ticks}") : f.FullName)
        );

    /// <summary>Shows lengths in inches, or in millimetres.</summary>
    internal void ShowInch(bool inch)
    {
        Inch = inch;
        LookAtFiles();
    }

    /// <summary>Stops the reading of a log.</summary>
    internal void Stop(string path) => _shelf.Stop(path);

    /// <summary>Reads a log once more.</summary>
    internal void ReadAgain(string path) => _shelf.ReadAgain(path, ColumnsOrNone());

    /// <summary>Moves a log that is in no flight of the job to the folder left-out, where it is kept.</summary>
    internal void LeaveOut(LogEntry log)
    {
        _shelf.Stop(log.Path);
        if (File.Exists(log.Path))
        {
            Folder.LeaveOut(log.Path);
        }

        Look();
    }

    /// <summary>Writes the aircraft to its file. A file that cannot be read is kept under another name.</summary>
    /// <exception cref="IOException">The file cannot be written.</exception>
    /// <exception cref="InputFaultException">job.toml cannot be read, so the file is not known.</exception>
    /// <exception cref="UnfitChangeException">The file could not be read again with this aircraft.</exception>
    internal void Save(Airframe airframe)
    {
        string file = AirframeOf(ReadJob());
        UnfitChangeException.Checked(AirframeText.Of(airframe, null), text => AirframeFile.ReadText(text, "airframe.toml"));
        if (Folder.Renew(file, () => File.Exists(file) && !IsAirframe(file), AirframeText.Of(airframe, null)) is string keptAs)
        {
            TellRenewed(file, keptAs, "The aircraft that was saved here is in its place.");
        }
        else
        {
            Folder.Change(file, now => AirframeTextOf(now, airframe));
        }

        if (View.Job is { Airframe: null } && File.Exists(Folder.Job))
        {
            ChangeJob(job => job);
        }

        Look();
    }

    private static bool IsAirframe(string file)
    {
        try
        {
            AirframeFile.Read(file);
            return true;
        }
        catch (InputFaultException)
        {
            return false;
        }
    }

    /// <summary>The text of the aircraft's file with comments and order kept; where that text would describe another aircraft, the text as
    /// the tool writes it.</summary>
    private static string AirframeTextOf(string now, Airframe airframe)
    {
        string wanted = AirframeText.Of(airframe, null);
        try
        {
            // A bolt pattern with the same meaning keeps the form in which the user wrote it.
            Airframe stands = AirframeFile.ReadText(now, "airframe.toml");
            bool sameBolts = AirframeText.Of(airframe with { Bolts = stands.Bolts }, null) == wanted;
            string text = TomlRewrite.Of(now, wanted, AirframeText.Keys, sameBolts ? ["bolts"] : []);
            return AirframeText.Of(AirframeFile.ReadText(text, "airframe.toml"), null) == wanted ? text : wanted;
        }
        catch (InputFaultException)
        {
            return wanted;
        }
    }

    /// <summary>Adds readings at the end of the survey as it is on the disk now.</summary>
    /// <exception cref="IOException">The survey cannot be written.</exception>
    /// <exception cref="InputFaultException">The file that job.toml names is not a survey, or job.toml cannot be read.</exception>
    internal void Add(IReadOnlyList<GaugeReading> readings)
    {
        string survey = SurveyNow();
        Folder.Change(
            survey,
            text =>
            {
                SurveyFile.ThrowIfNoSurvey(survey, text);
                return readings.Aggregate(text, SurveyFile.WithReading);
            }
        );
        AfterSurvey();
    }

    /// <summary>Removes one reading from the survey: the one shown, even if other lines were added or removed meanwhile.</summary>
    internal void Remove(GaugeReading reading)
    {
        if (View.Airframe is not Airframe airframe)
        {
            return;
        }

        string survey = SurveyNow();
        Folder.Change(
            survey,
            text =>
            {
                GaugeReading? now = SurveyFile
                    .ReadReadings(survey, airframe)
                    .Where(r => IsSame(r, reading))
                    .MinBy(r => Math.Abs((r.Line ?? 0) - (reading.Line ?? 0)));
                return now?.Line is int line ? SurveyFile.WithoutLine(text, line) : text;
            }
        );
        AfterSurvey();
    }

    private static bool IsSame(GaugeReading one, GaugeReading other) =>
        one with { Line = null, Fitted = null } == other with { Line = null, Fitted = null } && one.Fitted?.Text == other.Fitted?.Text;

    /// <summary>Changes the job and writes its file.</summary>
    /// <exception cref="UnfitChangeException">The file could not be read again with the change.</exception>
    internal void ChangeJob(Func<Job, Job> change)
    {
        Folder.Change(
            Folder.Job,
            text =>
                UnfitChangeException.Checked(
                    TomlRewrite.Of(text, TextOf(change(ReadJob())), JobText.Keys),
                    after => JobFile.ReadText(Folder.Job, after)
                )
        );
        LookAtFiles();
        Start();
    }

    /// <summary>Records what a column is; all logs with that header are then read again accordingly.</summary>
    internal void SayColumn(ColumnEntry entry)
    {
        string columns = ColumnsOf(ReadJob());
        Folder.Change(
            columns,
            text =>
            {
                ColumnsFile now = File.Exists(columns) ? ColumnsFile.Read(columns) : new ColumnsFile { Columns = [] };
                string after = TomlRewrite.Of(
                    text,
                    (now with { Columns = [.. now.Columns.Where(c => c.Header != entry.Header), entry] }).ToText(),
                    ColumnsFile.Keys
                );
                return UnfitChangeException.Checked(after, t => ColumnsFile.ReadText(columns, t));
            }
        );
        if (File.Exists(Folder.Job))
        {
            ChangeJob(job => job);
        }
        else
        {
            LookAtFiles();
        }

        _shelf.ReadAll(ColumnsOrNone());
    }

    public void Dispose()
    {
        _shelf.Dispose();
        _answer.Dispose();
    }

    /// <summary>Shows on the pages that an unreadable file was rewritten, and where its old content is kept.</summary>
    /// <param name="file">The file.</param>
    /// <param name="keptAs">Where its content is kept.</param>
    /// <param name="consequence">What that means for the user, as a sentence.</param>
    internal void TellRenewed(string file, string keptAs, string consequence) =>
        Tell($"{Folder.NameOf(file)} could not be read. Its content is kept as {Folder.NameOf(keptAs)}. {consequence}");

    /// <summary>Called when the survey was changed by something other than the desk.</summary>
    internal void SurveyChanged() => AfterSurvey();

    private void AfterSurvey()
    {
        // The first reading creates the file; the job file must then name it.
        if (View.Job is { Survey: null } && File.Exists(Folder.Job))
        {
            ChangeJob(job => job);
            return;
        }

        LookAtFiles();
        Start();
    }

    private string TextOf(Job job) =>
        JobText.Of(
            job with
            {
                Airframe = job.Airframe ?? (File.Exists(Folder.Airframe) ? Folder.Airframe : null),
                Survey = job.Survey ?? (File.Exists(Folder.Survey) ? Folder.Survey : null),
            },
            Folder.Path,
            ColumnsOf(job) is string columns && File.Exists(columns) ? columns : null
        );

    private string AirframeOf(Job? job) => job?.Airframe ?? Folder.Airframe;

    private string SurveyOf(Job? job) => job?.Survey ?? Folder.Survey;

    private string ColumnsOf(Job? job) => job?.Columns ?? Folder.Columns;

    /// <summary>Reads the files of the job again, without its logs, so that what was changed by hand is shown.</summary>
    internal void LookAtFiles()
    {
        List<InputFault> faults = [];
        Job? job = Guarded(faults, ReadJob);

        // Computed before the files are read, so that a change during the reading is noticed later.
        string stamp = StampOfFiles(job);
        string airframePath = AirframeOf(job),
            surveyPath = SurveyOf(job);
        Airframe? airframe = File.Exists(airframePath) ? Guarded(faults, () => AirframeFile.Read(airframePath)) : null;
        IReadOnlyList<GaugeReading> readings =
            airframe is not null && File.Exists(surveyPath)
                ? Guarded(faults, () => SurveyFile.ReadReadings(surveyPath, airframe)) ?? []
                : [];
        Survey? survey = airframe is null || readings.Count == 0 ? null : TiltCombination.Of(airframe, readings);
        ShimPlan? plan = survey is null ? null : ShimPlan.Of(airframe!, survey, new ShimOptions { Inch = Inch });
        IReadOnlyList<ColumnEntry> columns = ColumnsOrNone(job)?.Columns ?? [];
        Show(v =>
            v with
            {
                Airframe = airframe,
                Readings = readings,
                Survey = survey,
                Plan = plan,
                Job = job,
                Columns = columns,
                Faults = faults,
            }
        );
        _stamp = stamp;
    }

    private static T? Guarded<T>(List<InputFault> faults, Func<T?> read)
        where T : class
    {
        try
        {
            return read();
        }
        catch (InputFaultException e)
        {
            faults.AddRange(e.Faults);
            return null;
        }
    }

    /// <summary>The job as its file describes it now.</summary>
    /// <exception cref="InputFaultException">The file cannot be read.</exception>
    private Job ReadJob() =>
        File.Exists(Folder.Job)
            ? JobFile.ReadUnfinished(Folder.Path)
            : new Job
            {
                Path = Folder.Job,
                Title = Folder.Name,
                Airframe = File.Exists(Folder.Airframe) ? Folder.Airframe : null,
                Survey = File.Exists(Folder.Survey) ? Folder.Survey : null,
                Before = [],
                After = [],
                Options = new(),
            };

    private ColumnsFile? ColumnsOrNone() => ColumnsOrNone(View.Job);

    private ColumnsFile? ColumnsOrNone(Job? job)
    {
        string file = ColumnsOf(job);
        try
        {
            return File.Exists(file) ? ColumnsFile.Read(file) : null;
        }
        catch (InputFaultException)
        {
            // Reading the logs reports this fault.
            return null;
        }
    }

    /// <summary>Called by the shelf when its logs have changed, and with whether nothing is left to read.</summary>
    private void OnLogs(IReadOnlyList<LogEntry> logs, bool rests)
    {
        Show(v => v with { Logs = logs });
        if (!rests || View.Job is not Job job)
        {
            return;
        }

        if (FlightPlacing.Place(job, View) is not null)
        {
            PlaceFlights();
            job = View.Job ?? job;
        }

        // A flight that is not placed yet may never be placed, so it is not kept in memory.
        _flights.KeepOnly(job.Before.Concat(job.After).Concat(job.Stages.SelectMany(s => s.Flights)).Select(f => f.Files));
    }

    /// <summary>Places flights in the job as its file describes it now; the file may have been edited by hand. Where that is not possible,
    /// the user has to place them.</summary>
    private void PlaceFlights()
    {
        try
        {
            ChangeJob(now => FlightPlacing.Place(now, View with { Job = now }) ?? now);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            Tell(
                $"The flights were not placed in the job: {JobFolder.Cause(e)}. {Grammar.Capital(JobFolder.Remedy(e))}, then place them below."
            );
        }
        catch (UnfitChangeException e)
        {
            Tell($"The flights were not placed in the job. {e.Message}");
        }
        catch (InputFaultException e)
        {
            Tell($"The flights were not placed in the job, because a file of the folder cannot be read: {e.Message}");
        }
    }

    private void Tell(string notice) => Show(v => v.Notices.Contains(notice) ? v : v with { Notices = [.. v.Notices, notice] });

    private void Start()
    {
        DeskView view = View;
        string[] missing = [.. Missing(view)];
        _answer.Start(missing, view.Job is null || view.Airframe is null ? view.Faults : []);
    }

    private static IEnumerable<string> Missing(DeskView view)
    {
        if (view.Airframe is null)
        {
            yield return "the aircraft";
        }

        if (view.Job is not { Stages.Count: > 0 })
        {
            if (view.Job is not { Before.Count: > 0 })
            {
                yield return "a flight before the work";
            }

            if (view.Job is not { After.Count: > 0 })
            {
                yield return "a flight after the work";
            }
        }
    }

    private void Show(Func<DeskView, DeskView> change)
    {
        lock (_gate)
        {
            Volatile.Write(ref _view, change(_view));
        }

        Changed?.Invoke();
    }
}
