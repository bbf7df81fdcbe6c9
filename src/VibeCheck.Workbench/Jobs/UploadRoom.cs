namespace VibeCheck.Workbench.Jobs;

/// <summary>A hidden folder in which one upload is written until it is complete and is moved to its place.</summary>
/// <remarks>A file in it is held open as long as the upload lasts. The system closes it when the process ends for any reason, so another
/// run can distinguish a running upload from an abandoned one.</remarks>
internal sealed class UploadRoom : IDisposable
{
    private const string Prefix = ".upload-";
    private const string HeldName = "held";
    private readonly string _path;
    private readonly FileStream _held;

    private UploadRoom(string path, FileStream held) => (_path, _held) = (path, held);

    /// <summary>Where the upload is written.</summary>
    internal string Draft => Path.Combine(_path, "log.part");

    /// <summary>Makes a folder; meanwhile the caller must keep other runs from removing abandoned uploads.</summary>
    internal static UploadRoom Make(string folder)
    {
        string path = Path.Combine(folder, $"{Prefix}{Guid.NewGuid():n}");
        Directory.CreateDirectory(path);
        return new(path, Open(path));
    }

    /// <summary>Whether there are any, running or abandoned.</summary>
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
                // It is held: the upload is running.
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
