using System.Security.Cryptography;
using System.Text;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Surveys;
using VibeCheck.Reports.Files;

namespace VibeCheck.Workbench.Jobs;

/// <summary>The folder of a job, whose files hold everything about it. This class makes all writes: each completely or not at all, and one
/// after the other.</summary>
/// <param name="path">The folder as the user gave it, so that results name its files as the command line would.</param>
internal sealed class JobFolder(string path)
{
    // Error numbers on Unix (errno) and on Windows (HRESULT).
    private const int NoSpaceLeft = 28;
    private const int NoSpaceLeftOnWindows = unchecked((int)0x80070070);
    private const int ReadOnly = 30;
    private const int ReadOnlyOnWindows = unchecked((int)0x80070013);
    private const int MostLogs = 400;
    private const int DeepestFolder = 3;
    private const int LongestNameBytes = 100;
    private const string MotorsTable = "motors.csv";
    private const string LogFolder = "logs";
    private const string LeftOutFolder = "left-out";
    private static readonly TimeSpan s_patience = TimeSpan.FromSeconds(5);

    // Names that Windows keeps for devices, with any ending ("Naming Files, Paths, and Namespaces", Windows documentation).
    private static readonly string[] s_reserved =
    [
        "con",
        "prn",
        "aux",
        "nul",
        .. Enumerable.Range(1, 9).SelectMany(n => new[] { FormattableString.Invariant($"com{n}"), FormattableString.Invariant($"lpt{n}") }),
    ];
    private readonly Lock _gate = new();

    internal string Path { get; } = path;

    internal string Name => System.IO.Path.GetFileName(System.IO.Path.TrimEndingDirectorySeparator(System.IO.Path.GetFullPath(Path)));

    internal string Airframe => In("airframe.toml");

    internal string Survey => In("survey.csv");

    internal string Job => In("job.toml");

    internal string Columns => In("columns.toml");

    private string In(string name) => System.IO.Path.Combine(Path, name);

    /// <summary>Whether a file lies in the folder or below it, so that the workbench may write it.</summary>
    internal bool Holds(string file) =>
        System.IO.Path.GetRelativePath(System.IO.Path.GetFullPath(Path), System.IO.Path.GetFullPath(file)) is var below
        && below is not (".." or ".")
        && !below.StartsWith(".." + System.IO.Path.DirectorySeparatorChar, StringComparison.Ordinal)
        && !System.IO.Path.IsPathRooted(below);

    /// <summary>The path of a file relative to the folder, with forward slashes.</summary>
    internal string NameOf(string file) =>
        System.IO.Path.GetRelativePath(System.IO.Path.GetFullPath(Path), System.IO.Path.GetFullPath(file)).Replace('\\', '/');

    /// <summary>Changes a text file: reads its present text and writes the new one. Neither another page nor another program of the
    /// tool can write in between.</summary>
    /// <param name="file">One of the folder's files.</param>
    /// <param name="change">From the present text (empty without a file) to the new one; equal texts write nothing.</param>
    /// <exception cref="OutsideFolderException">The file lies outside the folder.</exception>
    /// <exception cref="IOException">It cannot be written, or another program locks the folder for 5 s; the old text stays.</exception>
    internal void Change(string file, Func<string, string> change)
    {
        ThrowIfOutside(file);
        lock (_gate)
        {
            using FileStream held = Hold();
            string before = SurveyFile.TextOf(file),
                after = change(before);
            if (after != before)
            {
                Write(file, stream => stream.Write(Encoding.UTF8.GetBytes(after)));
            }
        }
    }

    /// <summary>Writes a file. One that is too large for the file system is an IOException, like other faults of the disk.</summary>
    private static void Write(string file, Action<Stream> write)
    {
        try
        {
            WholeFile.Write(file, write);
        }
        catch (ArgumentOutOfRangeException e)
        {
            throw new IOException("the disk takes no file of this size", e);
        }
    }

    /// <summary>A lock that other processes see too. It ends with the process, however that ends.</summary>
    private FileStream Hold()
    {
        DateTime until = DateTime.UtcNow + s_patience;
        while (true)
        {
            try
            {
                return new FileStream(
                    In(".vibecheck.lock"),
                    FileMode.OpenOrCreate,
                    FileAccess.ReadWrite,
                    FileShare.None,
                    1,
                    FileOptions.DeleteOnClose
                );
            }
            catch (IOException e) when (DateTime.UtcNow < until && !IsOfDisk(e))
            {
                Thread.Sleep(20);
            }
        }
    }

    /// <summary>Logs in the folder and its subfolders, three levels deep, ordered by path, at most 400; without surveys, exports, logs that
    /// were left out, and those of subfolders with a job of their own.</summary>
    internal IReadOnlyList<string> Logs()
    {
        var options = new EnumerationOptions
        {
            RecurseSubdirectories = true,
            MaxRecursionDepth = DeepestFolder,
            IgnoreInaccessible = true,
            AttributesToSkip = FileAttributes.Hidden | FileAttributes.System,
        };
        return
        [
            .. Directory
                .EnumerateFiles(Path, "*", options)
                .Where(f =>
                    FlightSorting.IsLogName(f)
                    && !IsOfAnotherJob(f)
                    && !NameOf(f).StartsWith(LeftOutFolder + "/", StringComparison.Ordinal)
                    && !System.IO.Path.GetFileName(f).StartsWith("survey", StringComparison.OrdinalIgnoreCase)
                    && !System.IO.Path.GetFileName(f).Equals(MotorsTable, StringComparison.OrdinalIgnoreCase)
                )
                .Order(StringComparer.OrdinalIgnoreCase)
                .Take(MostLogs),
        ];
    }

    private bool IsOfAnotherJob(string file)
    {
        for (
            string? folder = System.IO.Path.GetDirectoryName(file);
            folder is not null
                && System.IO.Path.GetRelativePath(Path, folder) is not "." and var below
                && !below.StartsWith("..", StringComparison.Ordinal);
            folder = System.IO.Path.GetDirectoryName(folder)
        )
        {
            if (File.Exists(System.IO.Path.Combine(folder, "job.toml")))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Why a file of that name is not accepted as a log of this job; null when it is.</summary>
    internal string? WhyNotTaken(string name) =>
        !FlightSorting.IsLogName(name) ? "This is not a log: its name ends in none of .csv, .tsv, .csv.gz, .tsv.gz. Export the log as CSV."
        : System.IO.Path.GetFileName(name).StartsWith("survey", StringComparison.OrdinalIgnoreCase)
            ? "A file whose name begins with survey is taken for a survey. Give the log another name."
        : System.IO.Path.GetFileName(name).Equals(MotorsTable, StringComparison.OrdinalIgnoreCase)
            ? $"{MotorsTable} is the name of the table of motors that the answer is saved as. Give the log another name."
        : Logs().Count >= MostLogs ? $"The folder holds {MostLogs} logs already. Start another folder for another job."
        : null;

    /// <summary>Writes a log into the folder under a free name; the same name with the same content is kept once.</summary>
    /// <param name="name">Name as the browser gave it; of its folders the last is kept, and unsafe characters are replaced.</param>
    /// <param name="content">The log.</param>
    /// <param name="modified">Date of the file, UTC; null when not known.</param>
    /// <returns>Path of the log.</returns>
    /// <exception cref="IOException">The log cannot be written; nothing of it is left.</exception>
    internal string Take(string name, Stream content, DateTime? modified)
    {
        string folder = In(LogFolder);
        string[] parts = SafeParts(name);
        string directory = System.IO.Path.Combine([folder, .. parts[..^1]]);
        Directory.CreateDirectory(directory);
        using UploadRoom room = MakeRoom();
        Write(room.Draft, content.CopyTo);
        lock (_gate)
        {
            (string target, bool isNew) = FreeName(directory, parts[^1], room.Draft);
            if (isNew)
            {
                File.SetLastWriteTimeUtc(room.Draft, modified ?? DateTime.UtcNow);
                File.Move(room.Draft, target);
            }

            return target;
        }
    }

    /// <summary>Moves a log to the folder left-out, where no job looks for logs, under a free name. No content is lost.</summary>
    internal void LeaveOut(string log)
    {
        lock (_gate)
        {
            using FileStream held = Hold();
            Directory.CreateDirectory(In(LeftOutFolder));
            (string target, bool isNew) = FreeName(In(LeftOutFolder), System.IO.Path.GetFileName(log), log);
            File.Move(log, target, overwrite: !isNew);
        }
    }

    /// <summary>Rewrites a file whose present content cannot be read. That content is moved to a free name beside it.</summary>
    /// <param name="file">One of the folder's files.</param>
    /// <param name="isDamaged">Called when no other program can write any more, because another program may have repaired the file.</param>
    /// <param name="text">The new text.</param>
    /// <returns>Where the old content is kept; null where the file was not damaged, and nothing was written.</returns>
    /// <exception cref="IOException">It cannot be written; the old content stays in its place.</exception>
    internal string? Renew(string file, Func<bool> isDamaged, string text)
    {
        ThrowIfOutside(file);
        lock (_gate)
        {
            using FileStream held = Hold();
            if (!isDamaged())
            {
                return null;
            }

            string name = $"{System.IO.Path.GetFileNameWithoutExtension(file)}-unreadable{System.IO.Path.GetExtension(file)}";
            (string kept, bool isNew) = FreeName(System.IO.Path.GetDirectoryName(file)!, name, file);
            File.Move(file, kept, overwrite: !isNew);
            try
            {
                Write(file, stream => stream.Write(Encoding.UTF8.GetBytes(text)));
                return kept;
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                File.Move(kept, file);
                throw;
            }
        }
    }

    private void ThrowIfOutside(string file)
    {
        if (!Holds(file))
        {
            throw new OutsideFolderException(NameOf(file));
        }
    }

    private UploadRoom MakeRoom()
    {
        lock (_gate)
        {
            using FileStream held = Hold();
            return UploadRoom.Make(In(LogFolder));
        }
    }

    /// <summary>Removes unfinished uploads of runs that were killed. Uploads of other running programs are not touched.</summary>
    internal void RemoveDrafts()
    {
        if (UploadRoom.AnyIn(In(LogFolder)))
        {
            try
            {
                using FileStream held = Hold();
                UploadRoom.RemoveLeft(In(LogFolder));
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                // A file that cannot be removed does no harm: it is hidden and not taken for a log.
            }
        }
    }

    /// <summary>Why a write failed, in a few words.</summary>
    internal static string Cause(Exception e)
    {
        return e switch
        {
            OutsideFolderException outside => outside.Message,
            UnauthorizedAccessException => "the folder or a file in it may not be written to",
            IOException { HResult: NoSpaceLeft or NoSpaceLeftOnWindows } => "the disk is full",
            IOException { HResult: ReadOnly or ReadOnlyOnWindows } => "the disk is read-only",
            _ => e.Message.TrimEnd('.'),
        };
    }

    /// <summary>What to do before the next attempt, in a few words.</summary>
    internal static string Remedy(Exception e) =>
        e switch
        {
            OutsideFolderException => OutsideFolderException.Remedy,
            IOException { HResult: NoSpaceLeft or NoSpaceLeftOnWindows } => "make room",
            UnauthorizedAccessException or IOException { HResult: ReadOnly or ReadOnlyOnWindows } => "allow writing",
            _ => "make room or free the file",
        };

    /// <summary>Whether the disk is the cause, so that waiting does not help; waiting helps where another program holds the file.</summary>
    private static bool IsOfDisk(IOException e) =>
        e.HResult is NoSpaceLeft or NoSpaceLeftOnWindows or ReadOnly or ReadOnlyOnWindows || e is DirectoryNotFoundException;

    /// <summary>The last folder of a path, if any, and the file name, each made a valid name on any system.</summary>
    internal static string[] SafeParts(string name)
    {
        string[] parts = name.Split(['/', '\\'], StringSplitOptions.RemoveEmptyEntries);
        return [.. parts.TakeLast(2).Select(Safe)];
    }

    private static string Safe(string part)
    {
        string plain = string.Concat(
                part.Trim().Select(c => char.IsLetterOrDigit(c) || c is '.' or '-' or '_' or ' ' or '+' or '(' or ')' ? c : '_')
            )
            .TrimEnd('.', ' ');
        string ending =
            FlightSorting.IsLogName(plain) && plain.EndsWith(".gz", StringComparison.OrdinalIgnoreCase)
                ? plain[^7..]
                : System.IO.Path.GetExtension(plain);
        string stem = plain[..^ending.Length].Trim('.', ' ');
        stem =
            stem.Length == 0 ? "log"
            : s_reserved.Contains(stem.Split('.')[0].TrimEnd().ToLowerInvariant()) ? "_" + stem
            : stem;
        return Cut(stem) + Cut(ending);
    }

    /// <summary>The part of a name that file systems accept together with a number and an ending; they limit the number of bytes.</summary>
    private static string Cut(string name)
    {
        int length = name.Length;
        while (Encoding.UTF8.GetByteCount(name.AsSpan(0, length)) > LongestNameBytes)
        {
            length--;
        }

        return name[..length];
    }

    private static (string Target, bool IsNew) FreeName(string directory, string name, string draft)
    {
        string ending = name.EndsWith(".gz", StringComparison.OrdinalIgnoreCase)
            ? name[^Math.Min(name.Length, 7)..]
            : System.IO.Path.GetExtension(name);
        string stem = name[..^ending.Length];
        for (int i = 1; ; i++)
        {
            string target = System.IO.Path.Combine(
                directory,
                i == 1 ? name : string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{stem}-{i}{ending}")
            );
            if (!System.IO.Path.Exists(target))
            {
                return (target, true);
            }

            if (File.Exists(target) && SameContent(target, draft))
            {
                return (target, false);
            }
        }
    }

    private static bool SameContent(string one, string two)
    {
        if (new FileInfo(one).Length != new FileInfo(two).Length)
        {
            return false;
        }

        using FileStream a = File.OpenRead(one),
            b = File.OpenRead(two);
        return SHA256.HashData(a).AsSpan().SequenceEqual(SHA256.HashData(b));
    }
}
