using System.ComponentModel;
using System.Diagnostics;

namespace VibeCheck.Workbench.Hosting;

/// <summary>Opens an address in the default browser of the system.</summary>
internal static class BrowserOpener
{
    /// <returns>Whether a program was started; whether it showed the page is not known.</returns>
    internal static bool TryOpen(string address)
    {
        try
        {
            using Process? started = Process.Start(
                OperatingSystem.IsWindows()
                    ? new ProcessStartInfo(address) { UseShellExecute = true }
                    : new ProcessStartInfo(OperatingSystem.IsMacOS() ? "open" : "xdg-open", [address])
                    {
                        RedirectStandardOutput = true,
                        RedirectStandardError = true,
                    }
            );
            return started is not null || OperatingSystem.IsWindows();
        }
        catch (Exception e)
            when (e is Win32Exception or InvalidOperationException or PlatformNotSupportedException or FileNotFoundException)
        {
            return false;
        }
    }
}
