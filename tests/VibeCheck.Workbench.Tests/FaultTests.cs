using System.Net;
using System.Net.Sockets;
using Microsoft.AspNetCore.Builder;
using VibeCheck.BenchSheet.Tests.Browser;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Jobs;
using VibeCheck.Workbench.AircraftHistory;
using VibeCheck.Workbench.Hosting;
using VibeCheck.Workbench.Jobs;
using VibeCheck.Workbench.Parts;
using VibeCheck.Workbench.Sharing;

namespace VibeCheck.Workbench.Tests;

/// <summary>Errors of the tool itself and of the machine are reported where they happened, and the work continues.</summary>
public sealed class FaultTests
{
    private static readonly CancellationToken s_cancel = TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_fault_of_the_tool_while_it_reads_a_log_is_reported_at_that_log_and_the_next_one_is_read()
    {
        using ScratchFolder folder = ScratchFolder.Empty();
        File.Copy(Repository.Sample("reshim-hexa", "before-1", "esc.csv"), folder.In("good.csv"));
        await File.WriteAllTextAsync(folder.In("bad.csv"), "time_s\n0\n", s_cancel);
        IReadOnlyList<LogEntry> logs = [];
        var rest = new TaskCompletionSource();
        using LogShelf shelf = new(
            new JobFolder(folder.Path),
            new FlightStore(),
            (now, rests) =>
            {
                logs = now;
                if (rests)
                {
                    rest.TrySetResult();
                }
            },
            () => new DeskView(),
            Task.CompletedTask
        )
        {
            Reader = (path, options, cancel) =>
                path.EndsWith("bad.csv", StringComparison.Ordinal)
                    ? throw new InvalidOperationException("an index is out of order")
                    : VibeCheck.Logs.Flights.LogInspection.Read([path], options, cancel)[0],
        };
        shelf.Look(null, null);
        await rest.Task.WaitAsync(TimeSpan.FromSeconds(60), s_cancel);
        Assert.Equal([LogState.Faulty, LogState.Read], logs.Select(l => l.State));
        Assert.Contains(
            "a fault of the tool itself: InvalidOperationException: an index is out of order",
            logs[0].Faults[0].Problem,
            StringComparison.Ordinal
        );
    }

    [Fact]
    [Trait("Category", "Slow")]
    public async Task A_fault_of_the_tool_in_one_job_of_the_aircraft_is_reported_in_its_row_and_the_next_one_is_read()
    {
        using ScratchFolder root = ScratchFolder.Empty();
        string[] folders = [Path.Combine(root.Path, "autumn"), Path.Combine(root.Path, "spring")];
        foreach (string folder in folders)
        {
            using ScratchFolder sample = ScratchFolder.Of("reshim-hexa");
            CopyFolder(sample.Path, folder);
        }

        using Desk desk = new(new JobFolder(folders[1]));
        using AircraftJobs jobs = new(desk)
        {
            Reader = (job, cancel) =>
                job.Path.Contains("autumn", StringComparison.Ordinal)
                    ? throw new InvalidOperationException("an index is out of order")
                    : JobReader.Read(job, null, cancel),
        };
        jobs.Look();
        await UntilAsync(() => !jobs.Works);
        Assert.Equal(2, jobs.All.Count);
        JobSummary autumn = jobs.All.Single(j => j.Folder == "../autumn");
        Assert.Null(autumn.Verdict);
        Assert.Contains("A fault of the tool itself: InvalidOperationException", autumn.Missing, StringComparison.Ordinal);
        Assert.NotNull(jobs.All.Single(j => j.Folder == ".").Verdict);
    }

    [Fact]
    public async Task Jobs_in_a_folder_that_is_gone_end_in_a_problem_and_not_in_waiting_for_ever()
    {
        using ScratchFolder root = ScratchFolder.Empty();
        string folder = Path.Combine(root.Path, "spring");
        using (ScratchFolder sample = ScratchFolder.Of("reshim-hexa"))
        {
            CopyFolder(sample.Path, folder);
        }

        using Desk desk = new(new JobFolder(folder));
        using AircraftJobs jobs = new(desk);
        Directory.Delete(folder, recursive: true);
        jobs.Look();
        await UntilAsync(() => !jobs.Works);
        Assert.StartsWith("The jobs could not be read", jobs.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_log_deleted_meanwhile_is_said_to_be_gone_when_it_is_to_be_read_again()
    {
        using ScratchFolder folder = ScratchFolder.Empty();
        await File.WriteAllTextAsync(folder.In("prices.csv"), "place,price\nA,3\n", s_cancel);
        using Desk desk = new(new JobFolder(folder.Path));
        await UntilAsync(() => desk.View.Logs is [{ State: LogState.Faulty }]);
        LogEntry log = desk.View.Logs[0];
        File.Delete(log.Path);
        desk.ReadAgain(log.Path);
        await UntilAsync(() => desk.View.Logs[0].Faults[0].Problem == "the file is not there any more");
        desk.LeaveOut(desk.View.Logs[0]);
        Assert.Empty(desk.View.Logs);
    }

    [Fact]
    public void A_change_that_fails_says_whether_a_file_the_disk_or_the_tool_is_at_fault()
    {
        using var part = new Part();
        Assert.Contains(
            "could not be saved, because a file of the folder cannot be read: job.toml: line 3: it is torn. Mend it.",
            part.Said(() => throw new InputFaultException(new("job.toml", 3, null, "it is torn", "Mend it."))),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "the disk says no. What you entered is still here",
            part.Said(() => throw new IOException("the disk says no.")),
            StringComparison.Ordinal
        );
        Assert.Equal(
            "A fault of the tool itself: InvalidOperationException: Sequence contains no elements. Please report it with what you did and, if "
                + "you may, the files.",
            part.Said(() => _ = Array.Empty<int>().First())
        );
        Assert.Contains(
            "A fault of the tool itself: ArgumentException",
            part.Said(() => throw new ArgumentException("odd")),
            StringComparison.Ordinal
        );
        Assert.Null(part.Said(() => { }));
    }

    [Theory]
    [InlineData(SocketError.AccessDenied, "port 80 may not be opened by this user.")]
    [InlineData(SocketError.AddressAlreadyInUse, "port 80 is in use by another program")]
    [InlineData(SocketError.AddressNotAvailable, "port 80 cannot be opened (")]
    public void The_cause_of_a_port_that_cannot_be_opened_is_reported(SocketError error, string said)
    {
        var cause = new SocketException((int)error);
        Assert.StartsWith(said, WorkbenchProgram.PortProblem(80, cause), StringComparison.Ordinal);
        Assert.StartsWith(said, WorkbenchProgram.PortProblem(80, new IOException("bind", cause)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_address_that_cannot_be_opened_for_the_phone_leaves_the_workbench_running()
    {
        using ScratchFolder folder = ScratchFolder.Empty();
        using Desk desk = new(new JobFolder(folder.Path));

        // TEST-NET-1, an address of no machine: RFC 5737.
        (WebApplication? app, string? problem) = await ShareHost.StartedAsync(
            new SheetInbox(desk),
            new ShareCode(),
            IPAddress.Parse("192.0.2.1")
        );
        Assert.Null(app);
        Assert.NotEmpty(problem!);
    }

    private static void CopyFolder(string from, string to)
    {
        foreach (string file in Directory.EnumerateFiles(from, "*", SearchOption.AllDirectories))
        {
            string target = Path.Combine(to, Path.GetRelativePath(from, file));
            Directory.CreateDirectory(Path.GetDirectoryName(target)!);
            File.Copy(file, target);
        }
    }

    private static Task UntilAsync(Func<bool> done) => Patience.UntilAsync(done, "the state of the workbench");

    private sealed class Part : DeskComponent, IDisposable
    {
        internal string? Said(Action change)
        {
            Try(change);
            return Problem;
        }

        void IDisposable.Dispose() { }
    }
}
