using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Jobs;

/// <summary>Makes a job without a job file: from flights named one by one, or from a folder whose names say before and after.</summary>
public static class BareJob
{
    /// <summary>A job of flights named on both sides.</summary>
    /// <param name="before">Files or folders of the flights before.</param>
    /// <param name="after">Files or folders of the flights after.</param>
    /// <param name="airframe">Airframe file; null without.</param>
    /// <param name="survey">Survey; null without.</param>
    /// <param name="options">What the user says beyond the files.</param>
    /// <exception cref="InputFaultException">A file is missing, or it is not clear which flight it is of.</exception>
    public static Job Of(IReadOnlyList<string> before, IReadOnlyList<string> after, string? airframe, string? survey, ReadOptions options)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        foreach (string path in before.Concat(after).Where(p => !Path.Exists(p)))
        {
            throw new InputFaultException(new(path, null, null, "there is no such file or folder", "Check the name."));
        }

        if (survey is not null && airframe is null)
        {
            throw new InputFaultException(
                new(
                    survey,
                    null,
                    null,
                    "a survey can be read only with an airframe file, which says what its motors are",
                    "Give one with --airframe; vibecheck airframe airframe.toml makes it."
                )
            );
        }

        return new Job
        {
            Path = before[0],
            Title = $"{Name(before[0])} and {Name(after[0])}",
            Airframe = airframe,
            Survey = survey,
            Before = Entries(before, options),
            After = Entries(after, options),
            Options = new(),
        };
    }

    /// <summary>A job of the files and folders in a folder whose names begin with before and
    /// after, with its airframe.toml and survey.csv.</summary>
    /// <param name="folder">A folder without job.toml.</param>
    /// <param name="airframe">Airframe file; null for the folder's, if it has one.</param>
    /// <param name="survey">Survey; null for the folder's, if it has one.</param>
    /// <param name="options">What the user says beyond the files.</param>
    /// <exception cref="InputFaultException">One side is missing.</exception>
    public static Job OfFolder(string folder, string? airframe, string? survey, ReadOptions options)
    {
        ArgumentNullException.ThrowIfNull(folder);
        string[] entries =
        [
            .. Directory.EnumerateDirectories(folder).Concat(FlightSorting.LogsIn(folder)).Order(StringComparer.OrdinalIgnoreCase),
        ];
        string[] before = [.. Named(entries, "before")],
            after = [.. Named(entries, "after")];
        if (before.Length == 0 || after.Length == 0)
        {
            string found =
                entries.Length == 0
                    ? ""
                    : $" (it holds {string.Join(", ", entries.Take(4).Select(Path.GetFileName))}{(entries.Length > 4 ? ", ..." : "")})";
            throw new InputFaultException(
                new(
                    folder,
                    null,
                    null,
                    $"there is no job.toml here, nor logs or folders whose names begin with before and with after{found}",
                    "Name them so, such as before-1 and after-1; or name the flights: vibecheck compare --before F --after F."
                )
            );
        }

        airframe ??= Existing(folder, "airframe.toml");
        return Of(before, after, airframe, survey ?? (airframe is null ? null : Existing(folder, "survey.csv")), options) with
        {
            Path = folder,
            Title = Name(Path.GetFullPath(folder)),
        };
    }

    private static IEnumerable<string> Named(string[] entries, string word) =>
        entries.Where(e => Path.GetFileName(e).StartsWith(word, StringComparison.OrdinalIgnoreCase));

    private static string? Existing(string folder, string name) =>
        File.Exists(Path.Combine(folder, name)) ? Path.Combine(folder, name) : null;

    private static string Name(string path) => Path.GetFileName(Path.TrimEndingDirectorySeparator(path));

    private static JobFlight[] Entries(IReadOnlyList<string> paths, ReadOptions options) =>
        [.. FlightSorting.Flights(paths, options).Select(f => new JobFlight { Files = f, Line = null })];
}
