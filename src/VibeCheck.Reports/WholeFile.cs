namespace VibeCheck.Reports;

/// <summary>Writes a file whole or not at all: a reader never meets half a report.</summary>
public static class WholeFile
{
    /// <summary>Writes beside the target and moves the finished file over it; on any fault the target stays as it was.</summary>
    /// <param name="path">Where the file shall stand. A link is followed; a pipe or device is written to as it is.</param>
    /// <param name="write">Writes the content. It may fail: nothing is left behind then.</param>
    /// <exception cref="IOException">The folder is missing, full or may not be written to.</exception>
    /// <exception cref="UnauthorizedAccessException">The folder or file may not be written to.</exception>
    public static void Write(string path, Action<Stream> write)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentNullException.ThrowIfNull(write);
        string full = Path.GetFullPath(path);
        if (WrittenAsStream(full, write))
        {
            return;
        }

        string target = File.Exists(full) ? File.ResolveLinkTarget(full, returnFinalTarget: true)?.FullName ?? full : full;
        string draft = Path.Combine(
            Path.GetDirectoryName(target)!, $".{Path.GetFileName(target)}.{Path.GetRandomFileName()}.part");
        try
        {
            using (var stream = new FileStream(draft, FileMode.CreateNew, FileAccess.Write))
            {
                write(stream);
                stream.Flush(flushToDisk: true);
            }

            File.Move(draft, target, overwrite: true);
        }
        catch
        {
            File.Delete(draft);
            throw;
        }
    }

    // Moving a file over a device or a pipe would put a file in its place. Some devices claim that they can be sought in,
    // so their folders are named; a pipe can stand anywhere and cannot be sought in.
    private static bool WrittenAsStream(string full, Action<Stream> write)
    {
        bool device = full.StartsWith("/dev/", StringComparison.Ordinal) || full.StartsWith("/proc/", StringComparison.Ordinal);
        if (!device && (!File.Exists(full) || OperatingSystem.IsWindows()))
        {
            return false;
        }

        // Opened once only: a pipe's reader takes the first close for the end.
        using var stream = new FileStream(full, FileMode.Open, FileAccess.Write);
        if (!device && stream.CanSeek)
        {
            return false;
        }

        write(stream);
        return true;
    }
}
