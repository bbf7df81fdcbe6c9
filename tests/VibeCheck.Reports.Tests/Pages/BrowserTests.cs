using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Text.Json;
using System.Text.RegularExpressions;

namespace VibeCheck.Reports.Tests.Pages;

/// <summary>The layout of pages in a browser, on a phone and on a desktop. Skipped with a message where there is no browser.</summary>
public sealed partial class BrowserTests
{
    private const int PhonePx = 360,
        DeskPx = 1100;

    // The smallest text that is readable on a phone; common practice.
    private const double SmallestTextPx = 9;

    private static readonly Lazy<IReadOnlyList<Layout>> s_layouts = new(LayOutAll);

    public static TheoryData<string> Names => PageTests.Pages;

    [Theory]
    [MemberData(nameof(Names))]
    public void A_page_fits_its_width_on_a_phone_and_on_a_desk(string name) =>
        Assert.All(
            Of(name),
            layout =>
                Assert.True(layout.OverflowPx <= 0, $"{name} at {layout.WidthPx} px: {layout.OverflowPx} px too wide, by {layout.Widest}")
        );

    [Theory]
    [MemberData(nameof(Names))]
    public void All_text_of_a_page_is_large_enough_to_read(string name) =>
        Assert.All(
            Of(name),
            layout =>
                Assert.True(
                    layout.SmallestTextPx >= SmallestTextPx,
                    $"{name} at {layout.WidthPx} px: '{layout.SmallestText}' is {layout.SmallestTextPx:F1} px high"
                )
        );

    [Theory]
    [Trait("Category", "Slow")]
    [MemberData(nameof(Names))]
    public void A_browser_fetches_nothing_for_a_page(string name) => Assert.All(Of(name), layout => Assert.Empty(layout.Fetched));

    private static Layout[] Of(string name)
    {
        Assert.SkipUnless(Browser() is not null, "there is no chromium on this machine");
        Layout[] both = [.. s_layouts.Value.Where(l => l.Name == name)];
        Assert.Equal(2, both.Length);
        return both;
    }

    /// <summary>Loads all pages in frames of both widths and measures them in one run of the browser.</summary>
    private static List<Layout> LayOutAll()
    {
        string folder = Directory.CreateTempSubdirectory("vibecheck-pages").FullName;
        try
        {
            foreach (ITheoryDataRow row in PageTests.Pages)
            {
                string name = (string)row.GetData()[0]!;
                File.WriteAllText(Path.Combine(folder, name + ".html"), PageTests.Html(name));
            }

            string frames = string.Concat(
                Directory
                    .GetFiles(folder)
                    .SelectMany(
                        path => (int[])[PhonePx, DeskPx],
                        (path, width) =>
                            string.Create(
                                CultureInfo.InvariantCulture,
                                $"<iframe src='{Path.GetFileName(path)}' data-name='{Path.GetFileNameWithoutExtension(path)}' "
                                    + $"width='{width}' height='900' style='border:0'></iframe>\n"
                            )
                    )
            );
            string frame = Path.Combine(folder, "frame.htm");
            File.WriteAllText(frame, $"<!doctype html><meta charset='utf-8'>{frames}<pre id='result'></pre><script>{Measure}</script>");
            string dom = Run(
                Browser()!,
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--disable-dev-shm-usage",
                "--allow-file-access-from-files",
                "--virtual-time-budget=20000",
                "--dump-dom",
                new Uri(frame).AbsoluteUri
            );
            return JsonSerializer.Deserialize<List<Layout>>(
                WebUtility.HtmlDecode(Result().Match(dom).Groups[1].Value),
                JsonSerializerOptions.Web
            )!;
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    // Content that can be scrolled sideways within the page, such as a wide table, does not count as too wide.
    private const string Measure = """
        addEventListener('load', () => {
          const all = [...document.querySelectorAll('iframe')].map(frame => {
            const page = frame.contentDocument, width = page.documentElement.clientWidth;
            page.querySelectorAll('details').forEach(folded => folded.open = true);
            let widest = '', most = width, smallest = 1e9, smallestText = '';
            for (const element of page.body.querySelectorAll('*')) {
              const box = element.getBoundingClientRect();
              if (box.right > most + 0.5) { most = box.right; widest = element.tagName + '.' + element.getAttribute('class'); }
              const own = [...element.childNodes].some(n => n.nodeType === 3 && n.textContent.trim());
              if (own && box.height > 0 && !element.closest('style,script,title,desc')) {
                const scale = element.ownerSVGElement ? element.getScreenCTM().d : 1;
                const size = parseFloat(frame.contentWindow.getComputedStyle(element).fontSize) * Math.abs(scale);
                if (size < smallest) { smallest = size; smallestText = element.textContent.trim().slice(0, 40); }
              }
            }
            return { name: frame.dataset.name, widthPx: +frame.width, overflowPx: page.documentElement.scrollWidth - width, widest,
              smallestTextPx: smallest, smallestText, fetched: frame.contentWindow.performance.getEntriesByType('resource').map(r => r.name.slice(0, 80)) };
          });
          document.getElementById('result').textContent = JSON.stringify(all);
        });
        """;

    private static string? Browser() =>
        (Environment.GetEnvironmentVariable("PATH") ?? "")
            .Split(Path.PathSeparator)
            .SelectMany(folder => (string[])[Path.Combine(folder, "chromium"), Path.Combine(folder, "chromium-browser")])
            .FirstOrDefault(File.Exists);

    private static string Run(string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true };
        using Process process = Process.Start(start)!;
        process.ErrorDataReceived += (_, _) => { };
        process.BeginErrorReadLine();
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return output;
    }

    [GeneratedRegex("<pre id=\"result\">(.*?)</pre>", RegexOptions.Singleline)]
    private static partial Regex Result();

    private sealed record Layout(
        string Name,
        int WidthPx,
        double OverflowPx,
        string Widest,
        double SmallestTextPx,
        string SmallestText,
        string[] Fetched
    );
}
