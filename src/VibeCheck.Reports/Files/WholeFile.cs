namespace VibeCheck.Reports.Files;

/// <summary>Writes a file completely or not at all: a reader never sees half a report, and the old
/// file is replaced only when the new one is finished.</summary>
public static class WholeFile
{
    /// <summary>Writes beside the target and moves the finished file over it; on any fault or signal the target stays as it was.</summary>
    /// <param name="path">Path of the file. A link is followed; a pipe or device is written to directly.</param>
    /// <param name="write">Writes the content. Where it throws, nothing is left behind.</param>
    /// <remarks>The file keeps the mode of the one it replaces, and its owner and group as far as this user may give files away.</remarks>
    /// <exception cref="IOException">The folder is missing, the disk is full, or the path is a folder.</exception>
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
            // Opened only once: the reader of a pipe takes the first close for the end.
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
            // Replacing a file by a move needs no permission to write to it. A file without that permission is meant to be kept,
            // so it is opened for writing first.
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
            // After the owner: a change of owner clears the set-user-id and set-group-id bits.
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

        // A user other than root may change the group to one of their own, but not the owner: the file is then theirs, as any new one is.
        const uint AsItIs = uint.MaxValue;
        _ = FileStatus.TryGive(draft, replaced.User, replaced.Group) || FileStatus.TryGive(draft, AsItIs, replaced.Group);
    }

    // /dev/fd/3 of a shell may be a regular file that the shell holds open.
    private static bool IsOpenFile(FilePlace place) =>
        !OperatingSystem.IsWindows()
        && place.Kind == FilePlaceKind.File
        && (place.Path.StartsWith("/proc/", StringComparison.Ordinal) || place.Path.StartsWith("/dev/fd/", StringComparison.Ordinal));
}
