namespace VibeCheck.Reports.Files;

/// <summary>Writes a file whole or not at all: a reader never meets half a report, and what stood
/// there is lost only when the new file is finished.</summary>
public static class WholeFile
{
    /// <summary>Writes beside the target and moves the finished file over it; on any fault or signal the target stays as it was.</summary>
    /// <param name="path">Where the file shall stand. A link is followed; a pipe or device is written to as it is.</param>
    /// <param name="write">Writes the content. It may fail: nothing is left behind then.</param>
    /// <remarks>The file keeps the mode of the one it replaces, and its owner and group as far as this user may give files away.</remarks>
    /// <exception cref="IOException">The folder is missing or full, or a folder stands there.</exception>
    /// <exception cref="UnauthorizedAccessException">The folder or file may not be written to.</exception>
    public static void Write(string path, Action<Stream> write)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentNullException.ThrowIfNull(write);
        FilePlace place = FilePlace.Of(path);
        if (place.Kind == FilePlaceKind.Folder)
        {
            throw new IOException("a folder stands there");
        }

        if (place.Kind == FilePlaceKind.Stream || IsOpenFile(place))
        {
            // Opened once only: a pipe's reader takes the first close for the end.
            using var stream = new FileStream(place.Path, FileMode.Open, FileAccess.Write);
            write(stream);
            return;
        }

        Replace(place, write);
    }

    private static void Replace(FilePlace place, Action<Stream> write)
    {
        UnixFileMode? mode = null;
        if (place.Kind == FilePlaceKind.File)
        {
            // Moving over a file needs no right to write to it. Who took that right away wants to keep the file.
            using (new FileStream(place.Path, FileMode.Open, FileAccess.Write, FileShare.ReadWrite | FileShare.Delete))
            {
                mode = OperatingSystem.IsWindows() ? null : File.GetUnixFileMode(place.Path);
            }
        }

        using var draft = new FileDraft(Path.GetDirectoryName(place.Path)!, mode);
        write(draft.Stream);
        draft.Stream.Flush(flushToDisk: true);
        KeepOwner(draft.Path, place.Status);
        if (mode is UnixFileMode bits && !OperatingSystem.IsWindows())
        {
            // After the owner: giving a file away takes marks off its mode.
            File.SetUnixFileMode(draft.Stream.SafeFileHandle, bits);
        }

        draft.Stream.Dispose();
        draft.MoveTo(place.Path);
    }

    private static void KeepOwner(string draft, FileStatus? replaced)
    {
        if (
            OperatingSystem.IsWindows()
            || replaced is null
            || FileStatus.Of(draft) is not { } own
            || (own.User, own.Group) == (replaced.User, replaced.Group)
        )
        {
            return;
        }

        // Who is not root may give a file to a group of theirs, but to no other user: the file is then theirs, as with any new one.
        const uint AsItIs = uint.MaxValue;
        _ = FileStatus.TryGive(draft, replaced.User, replaced.Group) || FileStatus.TryGive(draft, AsItIs, replaced.Group);
    }

    // /dev/fd/3 of a shell may be a file that the shell opened and holds.
    private static bool IsOpenFile(FilePlace place) =>
        !OperatingSystem.IsWindows()
        && place.Kind == FilePlaceKind.File
        && (place.Path.StartsWith("/proc/", StringComparison.Ordinal) || place.Path.StartsWith("/dev/fd/", StringComparison.Ordinal));
}
