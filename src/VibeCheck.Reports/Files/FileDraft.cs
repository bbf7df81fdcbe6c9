using System.Runtime.InteropServices;

namespace VibeCheck.Reports.Files;

/// <summary>An unfinished file beside the one it will replace. It is gone when its write
/// fails, and when a signal ends the process.</summary>
internal sealed class FileDraft : IDisposable
{
    private static readonly PosixSignal[] _ends = [PosixSignal.SIGINT, PosixSignal.SIGTERM, PosixSignal.SIGHUP, PosixSignal.SIGQUIT];

    // After a signal the process ends within this; a host that goes on all the same gets a fault instead of a file.
    private static readonly TimeSpan _untilEnd = TimeSpan.FromSeconds(5);
    private readonly Lock _gate = new();
    private readonly PosixSignalRegistration[] _registrations;
    private bool _ended,
        _exists;

    /// <summary>Makes the draft, so that no other user may read what the file it replaces does not let them read.</summary>
    /// <param name="folder">Folder of the file it will replace: only there a move is one step.</param>
    /// <param name="mode">Mode of that file; null for the usual one.</param>
    internal FileDraft(string folder, UnixFileMode? mode)
    {
        // Its length does not hang on the name of the file, which may be as long as the disk allows.
        Path = System.IO.Path.Combine(folder, $".{System.IO.Path.GetRandomFileName()}.part");
        _registrations = [.. _ends.Select(signal => PosixSignalRegistration.Create(signal, _ => End()))];
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (mode is UnixFileMode bits && !OperatingSystem.IsWindows())
        {
            options.UnixCreateMode = bits;
        }

        lock (_gate)
        {
            try
            {
                Stream = new FileStream(Path, options);
                _exists = true;
            }
            catch
            {
                Array.ForEach(_registrations, r => r.Dispose());
                throw;
            }
        }
    }

    internal string Path { get; }

    internal FileStream Stream { get; }

    /// <summary>Puts the finished draft in the place of a file, in one step.</summary>
    internal void MoveTo(string target)
    {
        lock (_gate)
        {
            if (!_ended)
            {
                File.Move(Path, target, overwrite: true);
                _exists = false;
                return;
            }
        }

        throw AtEnd();
    }

    public void Dispose()
    {
        try
        {
            Stream.Dispose();
        }
        finally
        {
            Delete();
            Array.ForEach(_registrations, r => r.Dispose());
        }
    }

    private static IOException AtEnd()
    {
        Thread.Sleep(_untilEnd);
        return new IOException("a signal ended the writing");
    }

    // The signal then does what it does without this: it ends the process.
    private void End()
    {
        lock (_gate)
        {
            _ended = true;
        }

        Delete();
    }

    private void Delete()
    {
        lock (_gate)
        {
            if (_exists)
            {
                File.Delete(Path);
                _exists = false;
            }
        }
    }
}
