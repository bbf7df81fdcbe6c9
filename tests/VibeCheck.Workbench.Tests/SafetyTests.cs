using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using System.Text.Json;
using System.Text.RegularExpressions;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Sheets;
using VibeCheck.Logs.Surveys;

namespace VibeCheck.Workbench.Tests;

/// <summary>Who may ask the workbench for what, and what it makes of names and bodies that mean harm.</summary>
[Trait("Category", "Slow")]
public sealed partial class SafetyTests : IDisposable
{
    private static readonly CancellationToken s_cancel = TestContext.Current.CancellationToken;
    private readonly ScratchFolder _folder = ScratchFolder.Of("reshim-hexa");
    private readonly DeskProcess _desk;
    private readonly HttpClient _entered;

    public SafetyTests()
    {
        _desk = DeskProcess.Start(_folder.Path);
        _entered = Client();
        _entered.GetAsync(_desk.Address, s_cancel).GetAwaiter().GetResult().Dispose();
    }

    [Theory]
    [InlineData("evil.example")]
    [InlineData("127.0.0.1.evil.example")]
    [InlineData("127.0.0.1:1")]
    [InlineData("localhost")]
    public async Task A_request_under_another_host_name_is_refused(string host)
    {
        using HttpRequestMessage request = new(HttpMethod.Get, new Uri(_desk.Origin, "job"));
        request.Headers.Host = host;
        using HttpResponseMessage response = await _entered.SendAsync(request, s_cancel);
        Assert.Equal(HttpStatusCode.MisdirectedRequest, response.StatusCode);
    }

    [Theory]
    [InlineData("Origin", "http://evil.example")]
    [InlineData("Origin", "null")]
    [InlineData("Sec-Fetch-Site", "cross-site")]
    [InlineData("Sec-Fetch-Site", "same-site")]
    public async Task A_request_from_another_page_is_refused(string header, string value)
    {
        using HttpRequestMessage request = new(HttpMethod.Get, new Uri(_desk.Origin, "export/compare.json"));
        request.Headers.Add(header, value);
        using HttpResponseMessage response = await _entered.SendAsync(request, s_cancel);
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
        using HttpResponseMessage response = await stranger.GetAsync(new Uri(_desk.Origin, path), s_cancel);
        Assert.Equal(HttpStatusCode.Forbidden, response.StatusCode);
        Assert.Contains("token", await response.Content.ReadAsStringAsync(s_cancel), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("")]
    [InlineData("?token=0000")]
    public async Task Who_opens_it_without_the_token_reads_in_a_page_which_address_to_open(string path)
    {
        using HttpClient stranger = Client();
        using HttpRequestMessage request = new(HttpMethod.Get, new Uri(_desk.Origin, path));
        request.Headers.Add("Sec-Fetch-Dest", "document");
        using HttpResponseMessage response = await stranger.SendAsync(request, s_cancel);
        Assert.Equal(HttpStatusCode.Forbidden, response.StatusCode);
        Assert.Equal("text/html", response.Content.Headers.ContentType!.MediaType);
        string page = await response.Content.ReadAsStringAsync(s_cancel);
        Assert.Contains("Open the address that the terminal printed", page, StringComparison.Ordinal);
        Assert.DoesNotContain(Path.GetFileName(_folder.Path), page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Settings_meant_for_other_servers_open_no_second_door()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        int free = ((IPEndPoint)listener.LocalEndpoint).Port;
        listener.Stop();
        ProcessStartInfo start = new(DeskProcess.Program, [_folder.Path, "--no-open"])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            Environment = { ["Kestrel__Endpoints__Door__Url"] = FormattableString.Invariant($"http://127.0.0.1:{free}") },
        };
        using DeskProcess desk = DeskProcess.Started(Process.Start(start)!, _folder.Path);
        using var stranger = new TcpClient();
        await Assert.ThrowsAsync<SocketException>(() => stranger.ConnectAsync(IPAddress.Loopback, free, s_cancel).AsTask());
    }

    [Theory]
    [InlineData("nowhere")]
    [InlineData("job/nowhere")]
    public async Task An_unknown_address_is_a_page_in_words_with_ways_back(string path)
    {
        using HttpResponseMessage response = await _entered.GetAsync(new Uri(_desk.Origin, path), s_cancel);
        Assert.Equal(HttpStatusCode.NotFound, response.StatusCode);
        string page = await response.Content.ReadAsStringAsync(s_cancel);
        Assert.Contains("There is no such page", page, StringComparison.Ordinal);
        Assert.Contains("Back to the work", page, StringComparison.Ordinal);
        Assert.Contains("aria-label=\"Places\"", page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_token_leaves_the_address_and_every_page_has_a_strict_policy()
    {
        using HttpResponseMessage page = await _entered.GetAsync(_desk.Address, s_cancel);
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
        using HttpResponseMessage response = await PutAsync("before-2.csv", "time_s,acc_x_g\n", token: null);
        Assert.Equal(HttpStatusCode.BadRequest, response.StatusCode);
        Assert.False(Directory.Exists(_folder.In("logs")));
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
        string parent = Path.GetDirectoryName(_folder.Path)!;
        string[] around = [.. Directory.EnumerateFiles(parent, "*escape*")];
        using HttpResponseMessage response = await PutAsync(name, "time_s,acc_x_g\n0,0\n", await TokenAsync());
        Assert.True(response.IsSuccessStatusCode, await response.Content.ReadAsStringAsync(s_cancel));
        string[] written = [.. Directory.EnumerateFiles(_folder.In("logs"), "*", SearchOption.AllDirectories)];
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
    public async Task What_is_no_log_is_refused_with_what_to_do(string name)
    {
        using HttpResponseMessage response = await PutAsync(name, "x", await TokenAsync());
        Assert.Equal(HttpStatusCode.BadRequest, response.StatusCode);
        Assert.EndsWith(".", await response.Content.ReadAsStringAsync(s_cancel), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_same_log_twice_is_one_file_and_another_of_that_name_is_a_second()
    {
        string token = await TokenAsync();
        foreach (string content in (string[])["time_s,acc_x_g\n0,1\n", "time_s,acc_x_g\n0,1\n", "time_s,acc_x_g\n0,2\n"])
        {
            (await PutAsync("imu.csv", content, token)).Dispose();
        }

        Assert.Equal(
            ["imu-2.csv", "imu.csv"],
            Directory.EnumerateFiles(_folder.In("logs")).Select(Path.GetFileName).Order(StringComparer.Ordinal)
        );
    }

    [Fact]
    public async Task Killed_amid_an_upload_it_leaves_no_log_and_the_next_start_no_draft()
    {
        using var half = new HalfContent();
        using HttpRequestMessage request = new(HttpMethod.Put, new Uri(_desk.Origin, "logs?name=big.csv")) { Content = half };
        request.Headers.Add("X-VibeCheck-Token", await TokenAsync());
        Task sending = _entered.SendAsync(request, s_cancel);
        await half.Sent;
        for (
            int i = 0;
            i < 200 && !(Directory.Exists(_folder.In("logs")) && Directory.EnumerateFileSystemEntries(_folder.In("logs")).Any());
            i++
        )
        {
            await Task.Delay(50, s_cancel);
        }

        _desk.Kill();
        await Assert.ThrowsAsync<HttpRequestException>(() => sending);
        Assert.False(File.Exists(_folder.In("logs/big.csv")));
        using DeskProcess again = DeskProcess.Start(_folder.Path);
        Assert.Empty(
            Directory.EnumerateFiles(_folder.In("logs"), "*", new EnumerationOptions { AttributesToSkip = 0, RecurseSubdirectories = true })
        );
    }

    [Fact]
    public async Task Entries_of_a_bench_sheet_sent_again_and_after_a_kill_stand_once_in_the_survey()
    {
        SheetJob job = await JobAsync();
        string before = await File.ReadAllTextAsync(_folder.In("survey.csv"), s_cancel);
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
        await Task.WhenAll(PostAsync(job, sent[..4]), PostAsync(job, sent[2..]), PostAsync(job, sent));
        _desk.Kill();
        using DeskProcess again = DeskProcess.Start(_folder.Path);
        _ = await _entered.GetAsync(again.Address, s_cancel);
        SheetJob after = SheetJson.Read(
            await _entered.GetStringAsync(new Uri(again.Origin, "bench-sheet/job.json"), s_cancel),
            SheetJson.Default.SheetJob
        )!;
        Assert.Equal(job.Job, after.Job);
        Assert.Equal(sent.Length, after.Entries.Count(e => sent.Any(s => s.Id == e.Id)));
        string survey = await File.ReadAllTextAsync(_folder.In("survey.csv"), s_cancel);
        Assert.StartsWith(before, survey, StringComparison.Ordinal);
        Assert.All(sent, s => Assert.Single(survey.Split('\n'), l => l.EndsWith("," + s.Note + ",", StringComparison.Ordinal)));
        Assert.Equal(
            SurveyFile.ReadReadings(_folder.In("survey.csv"), AirframeFile.Read(_folder.In("airframe.toml"))).Count,
            after.Entries.OfType<ReadingEntry>().Count()
        );
    }

    [Fact]
    public async Task A_withdrawal_takes_its_reading_out_and_entries_of_another_job_are_refused()
    {
        SheetJob job = await JobAsync();
        string before = await File.ReadAllTextAsync(_folder.In("survey.csv"), s_cancel);
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
        await PostAsync(job, [reading]);
        await PostAsync(job, [new WithdrawalEntry(Guid.NewGuid(), DateTimeOffset.UnixEpoch, reading.Id)]);
        await PostAsync(job, [reading]);
        string[] rows = [.. (await File.ReadAllLinesAsync(_folder.In("survey.csv"), s_cancel)).Where(l => !l.StartsWith('#'))];
        Assert.Equal(before.TrimEnd().Split('\n'), rows);
        Assert.Equal(HttpStatusCode.Conflict, await PostAsync(job with { Job = "another" }, [reading]));
        Assert.Equal(HttpStatusCode.Forbidden, await PostAsync(job with { Token = "made up" }, [reading]));
    }

    [Fact]
    public async Task A_port_in_use_is_told_with_what_to_do()
    {
        using var other = new TcpListener(IPAddress.Loopback, 0);
        other.Start();
        using Process late = DeskProcess.Run(
            _folder.Path,
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
            await Assert.ThrowsAnyAsync<SocketException>(() => socket.ConnectAsync(address, _desk.Origin.Port, s_cancel).AsTask());
        }
    }

    public void Dispose()
    {
        _entered.Dispose();
        _desk.Dispose();
        _folder.Dispose();
    }

    private static HttpClient Client() => new(new SocketsHttpHandler { CookieContainer = new CookieContainer() });

    private async Task<string> TokenAsync() =>
        Token().Match(await _entered.GetStringAsync(new Uri(_desk.Origin, "aircraft"), s_cancel)).Groups[1].Value;

    private async Task<SheetJob> JobAsync() =>
        SheetJson.Read(await _entered.GetStringAsync(new Uri(_desk.Origin, "bench-sheet/job.json"), s_cancel), SheetJson.Default.SheetJob)!;

    private async Task<HttpStatusCode> PostAsync(SheetJob job, IReadOnlyList<SheetEntry> entries)
    {
        using HttpRequestMessage request = new(HttpMethod.Post, new Uri(_desk.Origin, "bench-sheet/readings"))
        {
            Content = new StringContent(JsonSerializer.Serialize(new SheetEntries(job.Job!, entries), SheetJson.Default.SheetEntries)),
        };
        request.Headers.Add("X-VibeCheck-Token", job.Token);
        using HttpResponseMessage response = await _entered.SendAsync(request, s_cancel);
        return response.StatusCode;
    }

    private Task<HttpResponseMessage> PutAsync(string name, string content, string? token)
    {
        HttpRequestMessage request = new(HttpMethod.Put, new Uri(_desk.Origin, "logs?name=" + Uri.EscapeDataString(name)))
        {
            Content = new StringContent(content),
        };
        if (token is not null)
        {
            request.Headers.Add("X-VibeCheck-Token", token);
        }

        return _entered.SendAsync(request, s_cancel);
    }

    [GeneratedRegex("vibecheck-token\" content=\"([^\"]+)\"")]
    private static partial Regex Token();

    /// <summary>A body that stops half way and never ends.</summary>
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
