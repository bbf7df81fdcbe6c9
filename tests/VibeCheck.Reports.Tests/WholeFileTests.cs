using System.Diagnostics;

namespace VibeCheck.Reports.Tests;

public sealed class WholeFileTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("whole-file");

    private string Target => Path.Combine(_folder.FullName, "report.html");

    public void Dispose() => _folder.Delete(recursive: true);

    [Fact]
    public void A_write_that_fails_half_way_leaves_no_file_at_all()
    {
        Assert.Throws<InvalidOperationException>(() => WholeFile.Write(Target, HalfThenFail));
        Assert.Empty(_folder.GetFileSystemInfos());
    }

    [Fact]
    public void A_write_that_fails_half_way_keeps_the_file_that_stood_there()
    {
        File.WriteAllText(Target, "old");
        Assert.Throws<InvalidOperationException>(() => WholeFile.Write(Target, HalfThenFail));
        Assert.Equal("old", File.ReadAllText(Target));
        Assert.Single(_folder.GetFileSystemInfos());
    }

    [Fact]
    public void A_finished_write_takes_the_place_of_the_old_file()
    {
        File.WriteAllText(Target, "something longer than the new text");
        WholeFile.Write(Target, s => s.Write("new"u8));
        Assert.Equal("new", File.ReadAllText(Target));
        Assert.Single(_folder.GetFileSystemInfos());
    }

    [Fact]
    public void A_link_stays_a_link_and_its_target_is_written()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("links need rights on this system");
        }

        string real = Path.Combine(_folder.FullName, "real.html");
        File.WriteAllText(real, "old");
        File.CreateSymbolicLink(Target, real);
        WholeFile.Write(Target, s => s.Write("new"u8));
        Assert.Equal("new", File.ReadAllText(real));
        Assert.NotNull(new FileInfo(Target).LinkTarget);
    }

    [Fact]
    public async Task A_pipe_is_written_to_and_not_replaced()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("there are no named pipes in folders on this system");
        }

        using (Process make = Process.Start("mkfifo", [Target]))
        {
            await make.WaitForExitAsync(TestContext.Current.CancellationToken);
        }

        Task<string> reader = Task.Run(() => File.ReadAllText(Target), TestContext.Current.CancellationToken);
        WholeFile.Write(Target, s => s.Write("through"u8));
        Assert.Equal("through", await reader);
        Assert.Single(_folder.GetFileSystemInfos());
    }

    [Fact]
    public void A_missing_folder_is_told_as_such() =>
        Assert.Throws<DirectoryNotFoundException>(() => WholeFile.Write(Path.Combine(_folder.FullName, "none", "r.html"), HalfThenFail));

    private static void HalfThenFail(Stream stream)
    {
        stream.Write("half"u8);
        throw new InvalidOperationException("the writer broke");
    }
}
