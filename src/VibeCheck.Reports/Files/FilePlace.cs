using System.Text;

namespace VibeCheck.Reports.Files;

/// <summary>What is at a path.</summary>
public enum FilePlaceKind
{
    /// <summary>Nothing yet.</summary>
    Nothing,

    /// <summary>A regular file.</summary>
    File,

    /// <summary>A folder.</summary>
    Folder,

    /// <summary>A device, a pipe or a socket: written to, never replaced.</summary>
    Stream,
}

/// <summary>Where a path leads after its links are followed: two paths to one file are the same place, whatever their names.</summary>
public sealed record FilePlace
{
    private const int MostLinks = 40;
    private readonly FileStatus? _status,
        _folder;

    private FilePlace(string path, FileStatus? status)
    {
        Path = path;
        _status = status;
        _folder = System.IO.Path.GetDirectoryName(path) is { Length: > 0 } folder ? FileStatus.Of(folder) : null;
        Kind = status?.Kind ?? KindByName(path);
    }

    /// <summary>Full path of the file itself; for a link that of its target, which may be missing.</summary>
    public string Path { get; }

    /// <summary>What is there.</summary>
    public FilePlaceKind Kind { get; }

    /// <summary>Status of the file at that path; null where there is no file or the system does not give it.</summary>
    internal FileStatus? Status => _status;

    /// <summary>Finds where a path leads.</summary>
    /// <exception cref="ArgumentException">The path is null, empty or not valid.</exception>
    public static FilePlace Of(string path)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        string full = System.IO.Path.GetFullPath(path);
        FileStatus? status = FileStatus.Of(full);

        // An open file of a process is reached through a link whose target is not a path ("pipe:[12]") or may be gone.
        return new(IsOpenFile(full) ? full : Followed(full), status);
    }

    /// <summary>Whether both lead to one file; false where either is a stream. Files that do not exist yet are compared by folder and
    /// name; names that differ only in case or in Unicode composition count as one, as on many disks.</summary>
    public bool IsSameFileAs(FilePlace other)
    {
        ArgumentNullException.ThrowIfNull(other);
        if (Kind == FilePlaceKind.Stream || other.Kind == FilePlaceKind.Stream)
        {
            return false;
        }

        return _status is { } a && other._status is { } b
            ? a.IsSameFileAs(b)
            : (Kind == FilePlaceKind.Nothing) == (other.Kind == FilePlaceKind.Nothing) && IsNamedAlike(other);
    }

    private bool IsNamedAlike(FilePlace other) =>
        _folder is { } a && other._folder is { } b
            ? a.IsSameFileAs(b) && Same(System.IO.Path.GetFileName(Path), System.IO.Path.GetFileName(other.Path))
            : Same(Path, other.Path);

    // Some disks keep names in composed form, some in decomposed form.
    private static bool Same(string a, string b) => Composed(a).Equals(Composed(b), StringComparison.OrdinalIgnoreCase);

    private static string Composed(string name)
    {
        try
        {
            return name.Normalize(NormalizationForm.FormC);
        }
        catch (ArgumentException)
        {
            // Half a surrogate pair cannot be composed.
            return name;
        }
    }

    private static bool IsOpenFile(string full) =>
        !OperatingSystem.IsWindows()
        && (
            full.StartsWith("/dev/", StringComparison.Ordinal) && !full.StartsWith("/dev/shm/", StringComparison.Ordinal)
            || full.StartsWith("/proc/", StringComparison.Ordinal)
        );

    private static string Followed(string full)
    {
        string at = full;
        for (int i = 0; i < MostLinks && Target(at) is string target; i++)
        {
            at = target;
            if (IsOpenFile(at))
            {
                break;
            }
        }

        return at;
    }

    private static string? Target(string path)
    {
        try
        {
            return File.ResolveLinkTarget(path, returnFinalTarget: false)?.FullName;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    private static FilePlaceKind KindByName(string path) =>
        Directory.Exists(path) ? FilePlaceKind.Folder
        : File.Exists(path) ? FilePlaceKind.File
        : OperatingSystem.IsWindows() && path.StartsWith(@"\\.\", StringComparison.Ordinal) ? FilePlaceKind.Stream
        : FilePlaceKind.Nothing;
}
