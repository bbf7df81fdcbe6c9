namespace VibeCheck.Workbench.Jobs;

/// <summary>A hidden folder in which one upload is written, until it is whole and moves to its place.</summary>
/// <remarks>A file in it is held open as long as the upload lasts. The system lets go of it when the process ends, however that comes, so
/// another run can tell an upload under way from one that was left.</remarks>
internal sealed class UploadRoom : IDisposable
{
    private const string Prefix = ".upload-";
    private const string HeldName = "held";
    private readonly string _path;
    private readonly FileStream _held;

    private UploadRoom(string path, FileStream held) => (_path, _held) = (path, held);

    /// <summary>Where the upload is written.</summary>
    internal string Draft => Path.Combine(_path, "log.part");

    /// <summary>Makes one; the caller keeps others from removing what was left meanwhile.</summary>
    internal static UploadRoom Make(string folder)
    {
        string path = Path.Combine(folder, $"{Prefix}{Guid.NewGuid():n}");
        Directory.CreateDirectory(path);
        return new(path, Open(path));
    }

    /// <summary>Whether there are any, under way or left.</summary>
    internal static bool AnyIn(string folder) => In(folder).Length > 0;

    /// <summary>Removes those that no process holds.</summary>
    internal static void RemoveLeft(string folder)
    {
        foreach (string path in In(folder))
        {
            try
            {
                Open(path).Dispose();
            }
            catch (IOException)
            {
                // It is held: an upload is under way.
                continue;
            }

            Directory.Delete(path, recursive: true);
        }
    }

    public void Dispose()
    {
        _held.Dispose();
        try
        {
            Directory.Delete(_path, recursive: true);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // The next start removes it.
        }
    }

    private static string[] In(string folder) => Directory.Exists(folder) ? Directory.GetDirectories(folder, Prefix + "*") : [];

    private static FileStream Open(string path) =>
        new(Path.Combine(path, HeldName), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None, 1);
}
