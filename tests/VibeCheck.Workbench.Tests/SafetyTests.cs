using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using System.Text.Json;
using System.Text.RegularExpressions;
using VibeCheck.BenchSheet.Tests.Browser;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Sheets;
using VibeCheck.Logs.Surveys;

namespace VibeCheck.Workbench.Tests;

/// <summary>Access to the workbench, and its handling of malicious names and request bodies.</summary>
[Trait("Category", "Slow")]
public sealed partial class SafetyTests(SafetyTests.EnteredDesk shared) : IClassFixture<SafetyTests.EnteredDesk>, IDisposable
{
    private static readonly CancellationToken s_cancel = TestContext.Current.CancellationToken;

    /// <summary>A workbench on the sample job, and a visitor admitted by its token. Tests that kill the workbench or write into the survey
    /// start one of their own.</summary>
    public sealed class EnteredDesk : IDisposable
    {
        public EnteredDesk()
        {
            Desk = DeskProcess.Start(Folder.Path);
            Visitor.GetAsync(Desk.Address, s_cancel).GetAwaiter().GetResult().Dispose();
        }

        internal ScratchFolder Folder { get; } = ScratchFolder.Of("reshim-hexa");

        internal DeskProcess Desk { get; }

        internal HttpClient Visitor { get; } = Client();

        internal string Logs => Folder.In("logs");

        public void Dispose()
        {
            Visitor.Dispose();
            Desk.Dispose();
            Folder.Dispose();
        }

        internal async Task<string> TokenAsync() =>
            Token().Match(await Visitor.GetStringAsync(new Uri(Desk.Origin, "aircraft"), s_cancel)).Groups[1].Value;

        internal async Task<SheetJob> JobAsync() =>
            SheetJson.Read(
                await Visitor.GetStringAsync(new Uri(Desk.Origin, "bench-sheet/job.json"), s_cancel),
                SheetJson.Default.SheetJob
            )!;

        internal async Task<HttpStatusCode> PostAsync(SheetJob job, IReadOnlyList<SheetEntry> entries)
        {
            using HttpRequestMessage request = new(HttpMethod.Post, new Uri(Desk.Origin, "bench-sheet/readings"))
            {
                Content = new StringContent(JsonSerializer.Serialize(new SheetEntries(job.Job!, entries), SheetJson.Default.SheetEntries)),
            };
            request.Headers.Add("X-VibeCheck-Token", job.Token);
            using HttpResponseMessage response = await Visitor.SendAsync(request, s_cancel);
            return response.StatusCode;
        }

        internal Task<HttpResponseMessage> PutAsync(string name, string content, string? token)
        {
            HttpRequestMessage request = new(HttpMethod.Put, new Uri(Desk.Origin, "logs?name=" + Uri.EscapeDataString(name)))
            {
                Content = new StringContent(content),
            };
            if (token is not null)
            {
                request.Headers.Add("X-VibeCheck-Token", token);
            }

            return Visitor.SendAsync(request, s_cancel);
        }
    }

    [Theory]
    [InlineData("evil.example")]
    [InlineData("127.0.0.1.evil.example")]
    [InlineData("127.0.0.1:1")]
    [InlineData("localhost")]
    public async Task A_request_under_another_host_name_is_refused(string host)
    {
        using HttpRequestMessage request = new(HttpMethod.Get, new Uri(shared.Desk.Origin, "job"));
        request.Headers.Host = host;
        using HttpResponseMessage response = await shared.Visitor.SendAsync(request, s_cancel);
        Assert.Equal(HttpStatusCode.MisdirectedRequest, response.StatusCode);
    }

    [Theory]
    [InlineData("Origin", "http://evil.example")]
    [InlineData("Origin", "null")]
    [InlineData("Sec-Fetch-Site", "cross-site")]
    [InlineData("Sec-Fetch-Site", "same-site")]
    public async Task A_request_from_another_page_is_refused(string header, string value)
    {
        using HttpRequestMessage request = new(HttpMethod.Get, new Uri(shared.Desk.Origin, "export/compare.json"));
        request.Headers.Add(header, value);
        using HttpResponseMessage response = await shared.Visitor.SendAsync(request, s_cancel);
        Assert.Equal(HttpStatusCode.Forbidden, response.StatusCode);
    }

    [Theory]
    [InlineData("")]
    [InlineData("job")]
    [InlineData("desk.js")]
    [InlineData("export/compare.json")]
    [InlineData("_blazor/negotiate")]
    [InlineData("?token=0000")]
    public async Task Without_the_token_nothing_is_answered(string path)
    {
        using HttpClient stranger = Client();
        using HttpResponseMessage response = await stranger.GetAsync(new Uri(shared.Desk.Origin, path), s_cancel);
        Assert.Equal(HttpStatusCode.Forbidden, response.StatusCode);
        Assert.Contains("token", await response.Content.ReadAsStringAsync(s_cancel), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("")]
    [InlineData("?token=0000")]
    public async Task Who_opens_it_without_the_token_reads_in_a_page_which_address_to_open(string path)
    {
        using HttpClient stranger = Client();
        using HttpRequestMessage request = new(HttpMethod.Get, new Uri(shared.Desk.Origin, path));
        request.Headers.Add("Sec-Fetch-Dest", "document");
        using HttpResponseMessage response = await stranger.SendAsync(request, s_cancel);
        Assert.Equal(HttpStatusCode.Forbidden, response.StatusCode);
        Assert.Equal("text/html", response.Content.Headers.ContentType!.MediaType);
        string page = await response.Content.ReadAsStringAsync(s_cancel);
        Assert.Contains("Open the address that the terminal printed", page, StringComparison.Ordinal);
        Assert.DoesNotContain(Path.GetFileName(shared.Folder.Path), page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Settings_meant_for_other_servers_open_no_second_door()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        int free = ((IPEndPoint)listener.LocalEndpoint).Port;
        listener.Stop();
        ProcessStartInfo start = new(DeskProcess.Program, [shared.Folder.Path, "--no-open"])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            Environment = { ["Kestrel__Endpoints__Door__Url"] = FormattableString.Invariant($"http://127.0.0.1:{free}") },
        };
        using DeskProcess desk = DeskProcess.Started(Process.Start(start)!, shared.Folder.Path);
        using var stranger = new TcpClient();
        await Assert.ThrowsAsync<SocketException>(() => stranger.ConnectAsync(IPAddress.Loopback, free, s_cancel).AsTask());
    }

    [Theory]
    [InlineData("nowhere")]
    [InlineData("job/nowhere")]
    public async Task An_unknown_address_is_a_page_in_words_with_ways_back(string path)
    {
        using HttpResponseMessage response = await shared.Visitor.GetAsync(new Uri(shared.Desk.Origin, path), s_cancel);
        Assert.Equal(HttpStatusCode.NotFound, response.StatusCode);
        string page = await response.Content.ReadAsStringAsync(s_cancel);
        Assert.Contains("There is no such page", page, StringComparison.Ordinal);
        Assert.Contains("Back to the work", page, StringComparison.Ordinal);
        Assert.Contains("aria-label=\"Places\"", page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_token_leaves_the_address_and_every_page_has_a_strict_policy()
    {
        using HttpResponseMessage page = await shared.Visitor.GetAsync(shared.Desk.Address, s_cancel);
        Assert.True(page.IsSuccessStatusCode);
        Assert.DoesNotContain("token", page.RequestMessage!.RequestUri!.Query, StringComparison.Ordinal);
        string policy = page.Headers.GetValues("Content-Security-Policy").Single();
        Assert.Contains("default-src 'none'", policy, StringComparison.Ordinal);
        Assert.DoesNotContain("unsafe", policy, StringComparison.Ordinal);
        Assert.Equal("no-referrer", page.Headers.GetValues("Referrer-Policy").Single());
        string html = await page.Content.ReadAsStringAsync(s_cancel);
        Assert.DoesNotMatch(@"<script(?![^>]*\bsrc=)|\sstyle=|\son\w+=", html);
    }

    [Fact]
    public async Task A_write_without_the_pages_own_token_changes_nothing()
    {
        using HttpResponseMessage response = await shared.PutAsync("before-2.csv", "time_s,acc_x_g\n", token: null);
        Assert.Equal(HttpStatusCode.BadRequest, response.StatusCode);
        Assert.False(Directory.Exists(shared.Logs));
    }

    [Theory]
    [InlineData("../../escape.csv")]
    [InlineData("..\\..\\escape.csv")]
    [InlineData("/etc/escape.csv")]
    [InlineData("C:\\escape.csv")]
    [InlineData("a/../../../escape.csv")]
    [InlineData("<img src=x onerror=alert(1)>.csv")]
    [InlineData("con.csv")]
    [InlineData(".hidden.csv")]
    [InlineData("x\u202Evsc.csv")]
    public async Task A_hostile_name_stays_a_plain_name_inside_the_folder(string name)
    {
        string parent = Path.GetDirectoryName(shared.Folder.Path)!;
        string[] around = [.. Directory.EnumerateFiles(parent, "*escape*")];
        using HttpResponseMessage response = await shared.PutAsync(name, "time_s,acc_x_g\n0,0\n", await shared.TokenAsync());
        Assert.True(response.IsSuccessStatusCode, await response.Content.ReadAsStringAsync(s_cancel));
        string[] written = [.. Directory.EnumerateFiles(shared.Logs, "*", SearchOption.AllDirectories)];
        Assert.Single(written);
        Assert.Matches(@"^[\w. ()+-]+\.csv$", Path.GetFileName(written[0]));
        Assert.Equal(around, Directory.EnumerateFiles(parent, "*escape*"));
    }

    [Theory]
    [InlineData("airframe.toml")]
    [InlineData("survey.csv")]
    [InlineData("a/motors.csv")]
    [InlineData("program.exe")]
    [InlineData("")]
    public async Task A_file_that_is_no_log_is_refused_with_what_to_do(string name)
    {
        using HttpResponseMessage response = await shared.PutAsync(name, "x", await shared.TokenAsync());
        Assert.Equal(HttpStatusCode.BadRequest, response.StatusCode);
        Assert.EndsWith(".", await response.Content.ReadAsStringAsync(s_cancel), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_same_log_twice_is_one_file_and_another_of_that_name_is_a_second()
    {
        string token = await shared.TokenAsync();
        foreach (string content in (string[])["time_s,acc_x_g\n0,1\n", "time_s,acc_x_g\n0,1\n", "time_s,acc_x_g\n0,2\n"])
        {
            (await shared.PutAsync("imu.csv", content, token)).Dispose();
        }

        Assert.Equal(
            ["imu-2.csv", "imu.csv"],
            Directory.EnumerateFiles(shared.Logs).Select(Path.GetFileName).Order(StringComparer.Ordinal)
        );
    }

    [Fact]
    public async Task Killed_during_an_upload_it_leaves_no_log_and_the_next_start_leaves_no_partial_file()
    {
        using EnteredDesk own = new();
        using var half = new HalfContent();
        using HttpRequestMessage request = new(HttpMethod.Put, new Uri(own.Desk.Origin, "logs?name=big.csv")) { Content = half };
        request.Headers.Add("X-VibeCheck-Token", await own.TokenAsync());
        Task sending = own.Visitor.SendAsync(request, s_cancel);
        await half.Sent;
        await Patience.UntilAsync(() => Directory.Exists(own.Logs) && Directory.EnumerateFileSystemEntries(own.Logs).Any(), "the upload");
        own.Desk.Kill();
        await Assert.ThrowsAsync<HttpRequestException>(() => sending);
        Assert.False(File.Exists(own.Folder.In("logs/big.csv")));
        using DeskProcess again = DeskProcess.Start(own.Folder.Path);
        Assert.Empty(
            Directory.EnumerateFiles(own.Logs, "*", new EnumerationOptions { AttributesToSkip = 0, RecurseSubdirectories = true })
        );
    }

    [Fact]
    public async Task Entries_of_a_bench_sheet_sent_again_and_after_a_kill_are_in_the_survey_once()
    {
        using EnteredDesk own = new();
        SheetJob job = await own.JobAsync();
        string before = await File.ReadAllTextAsync(own.Folder.In("survey.csv"), s_cancel);
        ReadingEntry[] sent =
        [
            .. Enumerable
                .Range(1, 6)
                .Select(i => new ReadingEntry(Guid.NewGuid(), DateTimeOffset.UnixEpoch.AddSeconds(i))
                {
                    Motor = "M2",
                    When = SurveyTime.AsFound,
                    Where = GaugePlace.Mount,
                    Direction = TiltDirection.Along,
                    LowDeg = 0.1,
                    HighDeg = 0.1,
                    LowSide = LowSide.Out,
                    Note = $"sheet {i}",
                }),
        ];
        await Task.WhenAll(own.PostAsync(job, sent[..4]), own.PostAsync(job, sent[2..]), own.PostAsync(job, sent));
        own.Desk.Kill();
        using DeskProcess again = DeskProcess.Start(own.Folder.Path);
        _ = await own.Visitor.GetAsync(again.Address, s_cancel);
        SheetJob after = SheetJson.Read(
            await own.Visitor.GetStringAsync(new Uri(again.Origin, "bench-sheet/job.json"), s_cancel),
            SheetJson.Default.SheetJob
        )!;
        Assert.Equal(job.Job, after.Job);
        Assert.Equal(sent.Length, after.Entries.Count(e => sent.Any(s => s.Id == e.Id)));
        string survey = await File.ReadAllTextAsync(own.Folder.In("survey.csv"), s_cancel);
        Assert.StartsWith(before, survey, StringComparison.Ordinal);
        Assert.All(sent, s => Assert.Single(survey.Split('\n'), l => l.EndsWith("," + s.Note + ",", StringComparison.Ordinal)));
        Assert.Equal(
            SurveyFile.ReadReadings(own.Folder.In("survey.csv"), AirframeFile.Read(own.Folder.In("airframe.toml"))).Count,
            after.Entries.OfType<ReadingEntry>().Count()
        );
    }

    [Fact]
    public async Task A_withdrawal_takes_its_reading_out_and_entries_of_another_job_are_refused()
    {
        using EnteredDesk own = new();
        SheetJob job = await own.JobAsync();
        string before = await File.ReadAllTextAsync(own.Folder.In("survey.csv"), s_cancel);
        ReadingEntry reading = new(Guid.NewGuid(), DateTimeOffset.UnixEpoch)
        {
            Motor = "M2",
            When = SurveyTime.AsFound,
            Where = GaugePlace.Mount,
            Direction = TiltDirection.Along,
            LowDeg = 0.1,
            HighDeg = 0.1,
            LowSide = LowSide.Out,
        };
        await own.PostAsync(job, [reading]);
        await own.PostAsync(job, [new WithdrawalEntry(Guid.NewGuid(), DateTimeOffset.UnixEpoch, reading.Id)]);
        await own.PostAsync(job, [reading]);
        string[] rows = [.. (await File.ReadAllLinesAsync(own.Folder.In("survey.csv"), s_cancel)).Where(l => !l.StartsWith('#'))];
        Assert.Equal(before.TrimEnd().Split('\n'), rows);
        Assert.Equal(HttpStatusCode.Conflict, await own.PostAsync(job with { Job = "another" }, [reading]));
        Assert.Equal(HttpStatusCode.Forbidden, await own.PostAsync(job with { Token = "made up" }, [reading]));
    }

    [Fact]
    public async Task A_port_in_use_is_reported_with_what_to_do()
    {
        using var other = new TcpListener(IPAddress.Loopback, 0);
        other.Start();
        using Process late = DeskProcess.Run(
            shared.Folder.Path,
            "--no-open",
            "--port",
            ((IPEndPoint)other.LocalEndpoint).Port.ToString(System.Globalization.CultureInfo.InvariantCulture)
        );
        string told = await late.StandardError.ReadToEndAsync(s_cancel);
        await late.WaitForExitAsync(s_cancel);
        Assert.Equal(2, late.ExitCode);
        Assert.Contains("is in use", told, StringComparison.Ordinal);
        Assert.Contains("Leave --port out", told, StringComparison.Ordinal);
    }

    [Fact]
    public async Task It_listens_on_this_machine_only()
    {
        string host = Dns.GetHostName();
        IPAddress[] others =
        [
            .. (await Dns.GetHostAddressesAsync(host, s_cancel)).Where(a =>
                a.AddressFamily == AddressFamily.InterNetwork && !IPAddress.IsLoopback(a)
            ),
        ];
        foreach (IPAddress address in others)
        {
            using var socket = new TcpClient();
            await Assert.ThrowsAnyAsync<SocketException>(() => socket.ConnectAsync(address, shared.Desk.Origin.Port, s_cancel).AsTask());
        }
    }

    /// <summary>Deletes the logs that the test sent, so that the next test finds none.</summary>
    public void Dispose()
    {
        if (Directory.Exists(shared.Logs))
        {
            Directory.Delete(shared.Logs, recursive: true);
        }
    }

    private static HttpClient Client() => new(new SocketsHttpHandler { CookieContainer = new CookieContainer() });

    [GeneratedRegex("vibecheck-token\" content=\"([^\"]+)\"")]
    private static partial Regex Token();

    /// <summary>A request body that stops half way and never ends.</summary>
    private sealed class HalfContent : HttpContent
    {
        private readonly TaskCompletionSource _sent = new();

        internal Task Sent => _sent.Task;

        protected override async Task SerializeToStreamAsync(Stream stream, TransportContext? context)
        {
            await stream.WriteAsync(new byte[1 << 20], s_cancel);
            await stream.FlushAsync(s_cancel);
            _sent.SetResult();
            await Task.Delay(TimeSpan.FromSeconds(3), s_cancel);
        }

        protected override bool TryComputeLength(out long length)
        {
            length = 2 << 20;
            return true;
        }
    }
}
