using System.Diagnostics;
using System.Globalization;

namespace VibeCheck.Cli.Tests;

/// <summary>The program is ended by a signal while it writes: the old file stands, and nothing beside it.</summary>
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
        string sample = Repository.Sample("reshim-hexa"), page = _scratch.File("page.html", "old");
        using Process shell = ProgramRun.Start(_scratch.Path,
            $"trap '' PIPE; exec {ProgramRun.Program} flight --imu '{sample}/before-1/imu.csv' --esc '{sample}/before-1/esc.csv' --airframe '{sample}/airframe.toml' --report page.html");
        while (!shell.HasExited && Directory.GetFileSystemEntries(_scratch.Path).Length < 2)
        {
            await Task.Yield();
        }

        Assert.False(shell.HasExited, "the page was written before it was seen to be");
        using (Process kill = Process.Start("kill", [$"-{signal}", shell.Id.ToString(CultureInfo.InvariantCulture)]))
        {
            await kill.WaitForExitAsync(cancellation);
        }

        await shell.WaitForExitAsync(cancellation);
        Assert.Equal(code, shell.ExitCode);
        Assert.Equal([page], Directory.GetFileSystemEntries(_scratch.Path));
        Assert.Equal("old", await File.ReadAllTextAsync(page, cancellation));
    }
}
