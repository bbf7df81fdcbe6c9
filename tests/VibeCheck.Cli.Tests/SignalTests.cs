using System.Diagnostics;
using System.Runtime.InteropServices;

namespace VibeCheck.Cli.Tests;

/// <summary>A signal ends the program while it writes: the old file is unchanged, and no other file is left.</summary>
[Trait("Category", "Slow")]
public sealed class SignalTests : IDisposable
{
    private readonly ScratchFolder _scratch = new();

    public void Dispose() => _scratch.Dispose();

    [Theory]
    [InlineData("INT", 130)]
    [InlineData("TERM", 143)]
    [InlineData("HUP", 129)]
    public async Task A_signal_in_the_middle_of_a_write_leaves_the_old_file_and_no_part(string signal, int code)
    {
        ProgramRun.RequireShell();
        CancellationToken cancellation = TestContext.Current.CancellationToken;
        // On a busy machine the page may be finished between the detection of its partial file and the signal; the test then tries again.
        const int Tries = 40;
        for (int attempt = 1; attempt <= Tries; attempt++)
        {
            string page = _scratch.File("page.html", "<p>old</p>");
            int ended = await EndedBySignal(signal, cancellation);
            if (ended == ExitCode.Done)
            {
                Assert.NotEqual("<p>old</p>", await File.ReadAllTextAsync(page, cancellation));
                Assert.Equal([page], Directory.GetFileSystemEntries(_scratch.Path));
                continue;
            }

            Assert.Equal(code, ended);
            Assert.Equal([page], Directory.GetFileSystemEntries(_scratch.Path));
            Assert.Equal("<p>old</p>", await File.ReadAllTextAsync(page, cancellation));
            return;
        }

        Assert.Fail($"the page was written before the signal came, {Tries} times");
    }

    /// <summary>Starts writing a page, and sends the signal as soon as its partial file exists beside the old one; returns the exit
    /// code.</summary>
    private async Task<int> EndedBySignal(string signal, CancellationToken cancellation)
    {
        string sample = Repository.Sample("reshim-hexa");
        using Process shell = ProgramRun.Start(
            _scratch.Path,
            $"trap '' PIPE; exec {ProgramRun.Program} flight --imu '{sample}/before-1/imu.csv' --esc '{sample}/before-1/esc.csv' "
                + $"--airframe '{sample}/airframe.toml' --report page.html"
        );
        while (!shell.HasExited && Directory.GetFileSystemEntries(_scratch.Path).Length < 2)
        {
            await Task.Yield();
        }

        // The signal is sent from this process: starting a program to send it takes longer than writing the page.
        if (!shell.HasExited)
        {
            _ = SendSignal(
                shell.Id,
                signal switch
                {
                    "HUP" => 1,
                    "INT" => 2,
                    _ => 15,
                }
            );
        }

        await shell.WaitForExitAsync(cancellation);
        return shell.ExitCode;
    }

    // kill(2); the signal numbers are those of POSIX.
    [DllImport("libc", EntryPoint = "kill")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int SendSignal(int process, int signal);
}
