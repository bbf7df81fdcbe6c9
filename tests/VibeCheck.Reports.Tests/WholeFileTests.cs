using System.Diagnostics;
using System.Runtime.InteropServices;
using VibeCheck.Reports.Files;

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
    public void A_write_that_fails_half_way_keeps_the_existing_file()
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
    public void A_missing_folder_is_reported_as_such() =>
        Assert.Throws<DirectoryNotFoundException>(() => WholeFile.Write(Path.Combine(_folder.FullName, "none", "r.html"), HalfThenFail));

    [Fact]
    public void A_name_as_long_as_the_disk_allows_is_written()
    {
        // NAME_MAX of Linux and macOS is 255 bytes; é takes two.
        string name = new string('é', 120) + "123456789012345";
        string path = Path.Combine(_folder.FullName, name);
        WholeFile.Write(path, s => s.Write("first"u8));
        WholeFile.Write(path, s => s.Write("second"u8));
        Assert.Equal("second", File.ReadAllText(path));
        Assert.Single(_folder.GetFileSystemInfos());
    }

    [Fact]
    public void A_link_to_nothing_yet_is_followed()
    {
        SkipOnWindows();
        string real = Path.Combine(_folder.FullName, "real.html");
        File.CreateSymbolicLink(Path.Combine(_folder.FullName, "middle.html"), "real.html");
        File.CreateSymbolicLink(Target, "middle.html");
        WholeFile.Write(Target, s => s.Write("new"u8));
        Assert.Equal("new", File.ReadAllText(real));
        Assert.Equal("middle.html", new FileInfo(Target).LinkTarget);
    }

    [Theory]
    [InlineData("600")]
    [InlineData("664")]
    [InlineData("755")]
    [InlineData("2640")]
    public void The_mode_of_the_old_file_is_kept_and_the_unfinished_file_is_no_more_open(string octal)
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("this system has no such modes");
            return;
        }

        var mode = (UnixFileMode)Convert.ToInt32(octal, 8);
        File.WriteAllText(Target, "old");
        File.SetUnixFileMode(Target, mode);
        UnixFileMode during = 0;
        WholeFile.Write(
            Target,
            s =>
            {
                s.Write("new"u8);
                during = Assert.Single(_folder.GetFiles(), f => f.FullName != Target).UnixFileMode;
            }
        );
        Assert.Equal(mode, File.GetUnixFileMode(Target));
        Assert.Equal((UnixFileMode)0, during & ~mode);
    }

    [Fact]
    public void The_owner_of_the_old_file_is_kept()
    {
        SkipOnWindows();
        File.WriteAllText(Target, "old");
        if (Environment.IsPrivilegedProcess)
        {
            Run("chown", "1234:5678", Target);
        }
        else
        {
            // A user who is not the superuser may give a file only to a group of their own; the last one is not the group of new files.
            Run("chgrp", Run("id", "-G").Trim().Split(' ')[^1], Target);
        }

        string owner = Owner();
        WholeFile.Write(Target, s => s.Write("new"u8));
        Assert.Equal(owner, Owner());
        Assert.Equal("new", File.ReadAllText(Target));
        string Owner() => Run("stat", OperatingSystem.IsMacOS() ? ["-f", "%u:%g", Target] : ["-c", "%u:%g", Target]).Trim();
    }

    [Fact]
    public void A_file_that_may_not_be_written_to_is_not_replaced()
    {
        File.WriteAllText(Target, "old");
        new FileInfo(Target).IsReadOnly = true;
        Exception? thrown = null;
        AsNoSuperuser(() => thrown = Record.Exception(() => WholeFile.Write(Target, s => s.Write("new"u8))));
        Assert.IsType<UnauthorizedAccessException>(thrown);
        new FileInfo(Target).IsReadOnly = false;
        Assert.Equal("old", File.ReadAllText(Target));
    }

    /// <summary>Runs an action without the superuser's right to write to every file: on Linux a thread can drop it for itself.</summary>
    private void AsNoSuperuser(Action action)
    {
        const uint Nobody = 65534;
        bool privileged = !OperatingSystem.IsWindows() && Environment.IsPrivilegedProcess;
        if (privileged && !OperatingSystem.IsLinux())
        {
            Assert.Skip("the superuser may write to every file");
        }

        if (privileged && OperatingSystem.IsLinux())
        {
            File.SetUnixFileMode(
                _folder.FullName,
                UnixFileMode.UserRead
                    | UnixFileMode.UserWrite
                    | UnixFileMode.UserExecute
                    | UnixFileMode.OtherRead
                    | UnixFileMode.OtherWrite
                    | UnixFileMode.OtherExecute
            );
        }

        var thread = new Thread(() =>
        {
            _ = privileged ? SetFileSystemUser(Nobody) : 0;
            action();
        });
        thread.Start();
        thread.Join();
    }

    // setfsuid(2): the user for file access, for the calling thread only.
    [DllImport("libc", EntryPoint = "setfsuid")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int SetFileSystemUser(uint user);

    [Fact]
    public void A_folder_is_reported_as_such_and_is_not_replaced() =>
        Assert.Equal("a folder stands there", Assert.Throws<IOException>(() => WholeFile.Write(_folder.FullName, HalfThenFail)).Message);

    [Fact]
    public void A_full_device_is_reported()
    {
        if (!File.Exists("/dev/full"))
        {
            Assert.Skip("no full device on this system");
        }

        Assert.Throws<IOException>(() => WholeFile.Write("/dev/full", s => s.Write("new"u8)));
    }

    private static void SkipOnWindows()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("this system has neither modes nor links for everybody");
        }
    }

    private static string Run(string program, params string[] arguments)
    {
        using Process process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true })!;
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Assert.Equal(0, process.ExitCode);
        return output;
    }

    private static void HalfThenFail(Stream stream)
    {
        stream.Write("half"u8);
        throw new InvalidOperationException("the writer broke");
    }
}
