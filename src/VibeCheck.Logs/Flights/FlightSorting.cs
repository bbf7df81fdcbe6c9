using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Flights;

/// <summary>Finds out which logs belong to which flight where only files or folders were named.</summary>
public static class FlightSorting
{
    private static readonly string[] LogEndings = [".csv", ".csv.gz", ".tsv", ".tsv.gz"];

    // Words of file names that say which recorder wrote a file, not which flight it is of.
    private static readonly string[] RecorderWords = ["imu", "esc", "escs", "telemetry", "motor", "motors", "sensor", "acc"];

    /// <summary>Whether a name is that of a log rather than of a job file.</summary>
    public static bool IsLogName(string path)
    {
        ArgumentNullException.ThrowIfNull(path);
        return LogEndings.Any(e => path.EndsWith(e, StringComparison.OrdinalIgnoreCase));
    }

    /// <summary>Logs that stand in a folder, sorted by name.</summary>
    public static IReadOnlyList<string> LogsIn(string folder) =>
        [.. Directory.EnumerateFiles(folder).Where(IsLogName).Where(p => !IsSurveyName(p)).Order(StringComparer.OrdinalIgnoreCase)];

    /// <summary>The files of one flight. Several files with an IMU are its parts, in the order given.</summary>
    /// <param name="paths">Files, or folders that hold the files of the flight.</param>
    /// <param name="options">What the user says beyond the files.</param>
    /// <exception cref="InputFaultException">A folder holds no logs.</exception>
    public static FlightFiles OneFlight(IReadOnlyList<string> paths, ReadOptions options)
    {
        string[] files = [.. paths.SelectMany(p => Directory.Exists(p) ? AllIn(p) : [p])];
        string[] imu = [.. files.Where(f => files.Length == 1 || HasImu(f, options))];
        return imu.Length == 0 ? new(files, []) : new(imu, [.. files.Except(imu)]);
    }

    /// <summary>The flights that files and folders hold: a folder is one flight; each file with an IMU is one, with the telemetry that
    /// stands beside it.</summary>
    /// <param name="paths">Files and folders, in the order of the flights.</param>
    /// <param name="options">What the user says beyond the files.</param>
    /// <exception cref="InputFaultException">A folder holds no logs, or it is not clear which flight a telemetry file is of.</exception>
    public static IReadOnlyList<FlightFiles> Flights(IReadOnlyList<string> paths, ReadOptions options)
    {
        string[] files = [.. paths.Where(p => !Directory.Exists(p))];
        string[] imu = [.. files.Where(f => files.Length == 1 || HasImu(f, options))];
        var telemetry = imu.ToDictionary(i => i, _ => new List<string>());
        foreach (string esc in files.Except(imu))
        {
            telemetry[PartnerOf(esc, imu)].Add(esc);
        }

        return
        [
            .. paths
                .Where(p => Directory.Exists(p) || telemetry.ContainsKey(p))
                .Distinct()
                .Select(p => telemetry.TryGetValue(p, out List<string>? escs) ? new FlightFiles([p], escs) : OneFlight([p], options)),
        ];
    }

    /// <summary>Whether two files of one folder are named as those of one flight: alike but for the words for the recorder.</summary>
    public static bool AreAlike(string one, string other)
    {
        ArgumentNullException.ThrowIfNull(one);
        ArgumentNullException.ThrowIfNull(other);
        return Flight(one) == Flight(other);
    }

    private static bool IsSurveyName(string path) => Path.GetFileName(path).StartsWith("survey", StringComparison.OrdinalIgnoreCase);

    private static IReadOnlyList<string> AllIn(string folder) =>
        LogsIn(folder) is { Count: > 0 } logs
            ? logs
            : throw new InputFaultException(
                new(folder, null, null, "this folder holds no logs (.csv or .csv.gz)", "Name the folder of one flight, or its files.")
            );

    /// <summary>Whether a file has acceleration. True also where that is not known, so that reading the file reports what is
    /// wrong.</summary>
    private static bool HasImu(string path, ReadOptions options)
    {
        try
        {
            FileRecord headers = LogInspection.Headers(path, options);
            return headers.Columns.Any(c => c.Channel?.StartsWith("acc_", StringComparison.Ordinal) == true)
                || !headers.Columns.Any(c => c.Channel is not null and not "time" and not "imu number");
        }
        catch (InputFaultException)
        {
            return true;
        }
    }

    private static string PartnerOf(string esc, string[] imu)
    {
        string[] near = [.. imu.Where(i => Path.GetDirectoryName(i) == Path.GetDirectoryName(esc))];
        string[] alike = [.. imu.Where(i => Flight(i) == Flight(esc))];
        return imu.Length == 1 ? imu[0]
            : alike.Length == 1 ? alike[0]
            : near.Length == 1 ? near[0]
            : throw new InputFaultException(
                new(
                    esc,
                    null,
                    null,
                    imu.Length == 0
                        ? "there is no acceleration in this file; it looks like ESC telemetry"
                        : "it is not clear which flight this telemetry is of",
                    imu.Length == 0
                        ? "Name the IMU's file of the same flight too."
                        : "Put the files of each flight into a folder of its own and name the folders, or write a job file."
                )
            );
    }

    /// <summary>What is left of a file's name without the words for the recorder.</summary>
    private static string Flight(string path)
    {
        string name = Path.GetFileName(path).ToLowerInvariant();
        string[] words = name[..name.IndexOf('.', StringComparison.Ordinal)].Split(['-', '_', ' '], StringSplitOptions.RemoveEmptyEntries);
        return Path.GetDirectoryName(path) + "/" + string.Join(' ', words.Except(RecorderWords));
    }
}
