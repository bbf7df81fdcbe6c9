using System.ComponentModel;
using System.Diagnostics;

namespace VibeCheck.Cli;

/// <summary>Opens a page with the default program of the system.</summary>
internal static class PageOpener
{
    private static readonly TimeSpan _patience = TimeSpan.FromSeconds(2);

    /// <summary>Opens the page; where that fails, prints its path.</summary>
    internal static void Open(Terminal terminal, string path)
    {
        string full = Path.GetFullPath(path);
        try
        {
            using Process? started = Process.Start(Start(full));
            // The opener ends at once where it finds no browser; a browser may run for as long as the page is open.
            if (OperatingSystem.IsWindows() || (started is not null && (!started.WaitForExit(_patience) || started.ExitCode == 0)))
            {
                return;
            }
        }
        catch (Exception e)
            when (e is Win32Exception or InvalidOperationException or PlatformNotSupportedException or FileNotFoundException)
        {
            // The message below reports it.
        }

        terminal.Error.WriteLine($"The page could not be opened from here. Open it in a browser: {full}");
    }

    private static ProcessStartInfo Start(string path) =>
        OperatingSystem.IsWindows()
            ? new(path) { UseShellExecute = true }
            : new(OperatingSystem.IsMacOS() ? "open" : "xdg-open", [path]) { RedirectStandardOutput = true, RedirectStandardError = true };
}
