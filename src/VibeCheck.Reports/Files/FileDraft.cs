using System.Runtime.InteropServices;

namespace VibeCheck.Reports.Files;

/// <summary>An unfinished file beside the one it will replace. It is deleted when writing
/// fails and when a signal ends the process.</summary>
internal sealed class FileDraft : IDisposable
{
    private static readonly PosixSignal[] _ends = [PosixSignal.SIGINT, PosixSignal.SIGTERM, PosixSignal.SIGHUP, PosixSignal.SIGQUIT];

    // After a signal the process normally ends within this time; a process that goes on gets an IOException instead of a file.
    private static readonly TimeSpan _untilEnd = TimeSpan.FromSeconds(5);
    private readonly Lock _gate = new();
    private readonly PosixSignalRegistration[] _registrations;
    private bool _ended,
        _exists;

    /// <summary>Creates the draft with the mode of the file it replaces, so that no other user can read more than before.</summary>
    /// <param name="folder">Folder of the file it will replace: only within one folder is a move sure to be a single step.</param>
    /// <param name="mode">Mode of that file; null for the default mode.</param>
    internal FileDraft(string folder, UnixFileMode? mode)
    {
        // The length of its name does not depend on the name of the file, which may be as long as the disk allows.
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

    /// <summary>Moves the finished draft over the target, in one step.</summary>
    /// <exception cref="IOException">A signal has ended the writing, or the move failed.</exception>
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

    // The signal is not cancelled: it then ends the process as usual.
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
