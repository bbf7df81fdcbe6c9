using System.ComponentModel;
using System.Diagnostics;

namespace VibeCheck.Cli;

/// <summary>Opens a page in whatever the system opens pages with.</summary>
internal static class PageOpener
{
    /// <summary>Opens the page, or says where it is where that cannot be done.</summary>
    internal static void Open(Terminal terminal, string path)
    {
        string full = Path.GetFullPath(path);
        try
        {
            using Process? started = Process.Start(Start(full));
            if (started is not null || OperatingSystem.IsWindows())
            {
                return;
            }
        }
        catch (Exception e) when (e is Win32Exception or InvalidOperationException or PlatformNotSupportedException or FileNotFoundException)
        {
            // Told below.
        }

        terminal.Error.WriteLine($"The page could not be opened from here. Open it in a browser: {full}");
    }

    private static ProcessStartInfo Start(string path) =>
        OperatingSystem.IsWindows() ? new(path) { UseShellExecute = true }
        : new(OperatingSystem.IsMacOS() ? "open" : "xdg-open", [path]) { RedirectStandardOutput = true, RedirectStandardError = true };
}
