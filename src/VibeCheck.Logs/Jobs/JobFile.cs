using System.Globalization;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Jobs;

/// <summary>Reads job.toml.</summary>
public static class JobFile
{
    private static readonly string[] KnownSections = ["before", "after", "thresholds", "stage", "stage.flight"];

    /// <summary>Reads a job. The files it names are looked for, not opened.</summary>
    /// <param name="path">The job file, or the folder that holds job.toml.</param>
    /// <exception cref="InputFaultException">The file, or an entry in it, cannot be read; the fault gives line and column.</exception>
    public static Job Read(string path) => Read(path, finished: true);

    /// <summary>Reads a job that is still being put together: it may name no airframe yet, flights on one side
    /// only, and a survey that is not written yet.</summary>
    /// <param name="path">The job file, or the folder that holds job.toml.</param>
    /// <exception cref="InputFaultException">The file, or an entry in it, cannot be read; the fault gives line and column.</exception>
    public static Job ReadUnfinished(string path) => Read(path, finished: false);

    /// <summary>Reads text that is about to be written to a job file, which may be unfinished.</summary>
    /// <param name="file">The job file, from whose folder paths start.</param>
    /// <param name="text">The text.</param>
    /// <exception cref="InputFaultException">An entry cannot be read; the fault gives line and column.</exception>
    internal static Job ReadText(string file, string text) => Of(file, TomlSheet.ReadText(file, text), finished: false);

    private static Job Read(string path, bool finished)
    {
        ArgumentNullException.ThrowIfNull(path);
        string file = Directory.Exists(path) ? Path.Combine(path, "job.toml") : path;
        return Of(file, TomlSheet.Read(file), finished);
    }

    private static Job Of(string file, TomlSheet sheet, bool finished)
    {
        string folder = Path.GetDirectoryName(file) ?? "";
        string? columns = Existing(folder, sheet.Root, "columns");
        Job job = new()
        {
            Path = file,
            Title = sheet.Root.Text("title") ?? UsualTitle(file),
            Tail = sheet.Root.Text("tail"),
            Serial = sheet.Root.Text("serial"),
            WorkOrder = sheet.Root.Text("work_order"),
            Customer = sheet.Root.Text("customer"),
            Airframe =
                Existing(folder, sheet.Root, "airframe")
                ?? (
                    finished
                        ? throw sheet.Root.Fault(null, "the job names no airframe", "Add airframe = \"airframe.toml\" at the top.")
                        : null
                ),
            Survey = finished ? Existing(folder, sheet.Root, "survey") : Named(folder, sheet.Root, "survey"),
            Columns = columns,
            Before = Flights(sheet, folder, columns, "before"),
            After = Flights(sheet, folder, columns, "after"),
            Stages = Stages(sheet, folder, columns),
            Options = sheet.Section("thresholds") is TomlSection thresholds ? OptionsOf(thresholds) : new ComparisonOptions(),
        };
        Check(sheet, job, finished);
        return job with { Remarks = [.. sheet.Unasked(KnownSections)] };
    }

    private static string UsualTitle(string file) => Path.GetFileName(Path.GetDirectoryName(Path.GetFullPath(file))) ?? "Job";

    private static JobFlight[] Flights(TomlSheet sheet, string folder, string? columns, string name) =>
        [.. sheet.Sections.Where(s => s.Name == name).Select(s => FlightOf(s, folder, columns))];

    private static JobFlight FlightOf(TomlSection section, string folder, string? columns)
    {
        string[] imu = ExistingAll(folder, section, "imu");
        if (imu.Length == 0)
        {
            throw section.Fault(
                null,
                $"[[{section.Name}]] names no IMU file",
                "Add imu = \"imu.csv\", or the one wide file that holds everything."
            );
        }

        int? imuUnit = section.Whole("imu_unit", int.MinValue, 100);
        if (imuUnit is < 1)
        {
            throw section.Fault("imu_unit", "'imu_unit' must be 1 or more", "Count the IMUs of the log from 1.");
        }

        double? ambientC = section.Number("ambient_c", double.MinValue, double.MaxValue);
        if (ambientC is < -60 or > 70)
        {
            throw section.Fault(
                "ambient_c",
                string.Create(CultureInfo.InvariantCulture, $"an ambient temperature of {ambientC} °C is not plausible"),
                "Give the air temperature at the flight in °C."
            );
        }

        return new JobFlight
        {
            Files = new FlightFiles(imu, ExistingAll(folder, section, "esc")),
            AmbientC = ambientC,
            Name = section.Text("name"),
            HoverS = HoverOf(section),
            ClockOffsetS = section.Number("clock_offset_s", -1e10, 1e10, " s"),
            Columns = Existing(folder, section, "columns") ?? columns,
            ImuUnit = imuUnit,
            JoinParts = section.Flag("join_parts") ?? false,
            Line = section.Line,
        };
    }

    private static TimeInterval? HoverOf(TomlSection section) =>
        section.Numbers("hover_s", -1e10, 1e10, 2, " s") switch
        {
            null => null,
            [double from, double to] when to - from >= HoverFinder.ShortestS => new(from, to),
            _ => throw section.Fault(
                "hover_s",
                string.Create(CultureInfo.InvariantCulture, $"'hover_s' is not a part of a flight of {HoverFinder.ShortestS} s or more"),
                "Give where it begins and where it ends, in seconds of the log, such as hover_s = [20, 140]."
            ),
        };

    private static List<JobStage> Stages(TomlSheet sheet, string folder, string? columns)
    {
        var stages = new List<JobStage>();
        foreach (TomlSection section in sheet.Sections)
        {
            if (section.Name == "stage")
            {
                stages.Add(
                    new JobStage(
                        section.Text("name") ?? throw section.Fault(null, "a [[stage]] has no name", "Add name = \"what was done\"."),
                        DateOf(section),
                        []
                    )
                );
            }
            else if (section.Name == "stage.flight")
            {
                if (stages.Count == 0)
                {
                    throw section.Fault(
                        null,
                        "a [[stage.flight]] stands before the first [[stage]]",
                        "Put [[stage]] with name and date above it."
                    );
                }

                stages[^1] = stages[^1] with { Flights = [.. stages[^1].Flights, FlightOf(section, folder, columns)] };
            }
        }

        return stages;
    }

    private static DateOnly DateOf(TomlSection section)
    {
        string text = section.Text("date") ?? throw section.Fault(null, "a [[stage]] has no date", "Add date = \"2026-05-31\".");
        return DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out DateOnly date)
            ? date
            : throw section.Fault("date", $"'{TomlSheet.Cut(text)}' is not a date", "Write it as \"2026-05-31\".");
    }

    private static ComparisonOptions OptionsOf(TomlSection section)
    {
        ComparisonOptions usual = new();
        return usual with
        {
            MinChangeDb = section.Number("change_db", 0.001, 200, " dB") ?? usual.MinChangeDb,
            MinChangeC = section.Number("change_c", 0.001, 200, " °C") ?? usual.MinChangeC,
            FlightScatterDb = section.Number("flight_scatter_db", 0.001, 200, " dB") ?? usual.FlightScatterDb,
            FlightScatterC = section.Number("flight_scatter_c", 0.001, 200, " °C") ?? usual.FlightScatterC,
        };
    }

    private static void Check(TomlSheet sheet, Job job, bool finished)
    {
        if (job.Stages.Count > 0)
        {
            CheckStages(sheet, job);
        }
        else if (finished && (job.Before.Count == 0 || job.After.Count == 0))
        {
            string missing = job.Before.Count == 0 ? "before" : "after";
            throw sheet.Root.Fault(null, $"the job has no flight {missing} the work", $"Add a [[{missing}]] section with imu = \"...\".");
        }

        JobFlight[] all = [.. job.Before, .. job.After, .. job.Stages.SelectMany(s => s.Flights)];
        for (int i = 0; i < all.Length; i++)
        {
            for (int j = 0; j < i; j++)
            {
                if (all[i].Files.Imu.Intersect(all[j].Files.Imu).FirstOrDefault() is string twice)
                {
                    throw new InputFaultException(
                        new(
                            job.Path,
                            all[i].Line,
                            null,
                            string.Create(CultureInfo.InvariantCulture, $"'{twice}' is already given as the flight of line {all[j].Line}"),
                            "Name a different log for each flight: the same one on both sides shows no change by itself."
                        )
                    );
                }
            }
        }
    }

    private static void CheckStages(TomlSheet sheet, Job job)
    {
        TomlSection first = sheet.Sections.First(s => s.Name == "stage");
        if (job.Before.Count + job.After.Count > 0)
        {
            throw first.Fault(
                null,
                "the job has both stages and flights before or after",
                "Keep [[stage]] for a history, or [[before]] and [[after]] for one job."
            );
        }

        if (job.Stages.FirstOrDefault(s => s.Flights.Count == 0) is JobStage empty)
        {
            throw first.Fault(null, $"stage '{empty.Name}' has no flights", "Add a [[stage.flight]] section with imu = \"...\" below it.");
        }

        TomlSection[] sections = [.. sheet.Sections.Where(s => s.Name == "stage")];
        for (int i = 1; i < job.Stages.Count; i++)
        {
            JobStage earlier = job.Stages[i - 1],
                stage = job.Stages[i];
            if (stage.Date < earlier.Date)
            {
                throw sections[i]
                    .Fault(
                        "date",
                        string.Create(
                            CultureInfo.InvariantCulture,
                            $"stage '{TomlSheet.Cut(stage.Name)}' of {stage.Date:yyyy-MM-dd} stands below "
                                + $"'{TomlSheet.Cut(earlier.Name)}' of {earlier.Date:yyyy-MM-dd}"
                        ),
                        "Put the stages in the order in which they were flown, or correct the date."
                    );
            }
        }
    }

    /// <summary>The path of a file that an unfinished job may name before it is there.</summary>
    private static string? Named(string folder, TomlSection section, string key) =>
        section.Text(key) is string text ? Path.Combine(folder, text) : null;

    private static string? Existing(string folder, TomlSection section, string key) =>
        section.Text(key) is string text ? Existing(folder, section, key, text) : null;

    private static string[] ExistingAll(string folder, TomlSection section, string key) =>
        [.. section.Texts(key).Select(t => Existing(folder, section, key, t))];

    private static string Existing(string folder, TomlSection section, string key, string text)
    {
        string path = Path.Combine(folder, text);
        return File.Exists(path)
            ? path
            : throw section.Fault(
                key,
                $"there is no file '{TomlSheet.Cut(text)}'",
                "Check the name; paths start at the folder of the job file."
            );
    }
}
