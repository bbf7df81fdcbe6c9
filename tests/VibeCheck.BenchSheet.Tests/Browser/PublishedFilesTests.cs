using System.Text.RegularExpressions;

namespace VibeCheck.BenchSheet.Tests.Browser;

/// <summary>The files that <c>dotnet publish</c> writes for the phone.</summary>
[Trait("Category", "Slow")]
public sealed partial class PublishedFilesTests
{
    private const long MostBytes = 3_000_000;

    private static string Text(string name) => File.ReadAllText(Path.Combine(PublishedSheet.Folder, name));

    [Fact]
    public void All_files_together_stay_within_3_MB_compressed()
    {
        long Sum(string end) =>
            new DirectoryInfo(PublishedSheet.Folder).EnumerateFiles("*" + end, SearchOption.AllDirectories).Sum(f => f.Length);
        Assert.InRange(Sum(".br"), 1_000_000, MostBytes);

        // A browser requests brotli only over https and on its own machine; on a local network it is gzip.
        Assert.InRange(Sum(".gz"), 1_000_000, MostBytes);
    }

    [Fact]
    public void No_page_has_a_script_or_style_of_its_own()
    {
        string page = Text("index.html");
        Assert.DoesNotMatch(InlineCode(), page);
        Assert.DoesNotContain("http", page, StringComparison.Ordinal);
    }

    [Fact]
    public void The_service_worker_lists_every_file_with_its_hash()
    {
        string list = Text("service-worker-assets.js");
        foreach (
            string name in (string[])
                [
                    "index.html",
                    "sheet.css",
                    "sheet.js",
                    "start.js",
                    "manifest.webmanifest",
                    "icon.svg",
                    "icon-192.png",
                    "icon-512.png",
                    "_framework/dotnet.native.wasm",
                    "_framework/VibeCheck.Core.wasm",
                ]
        )
        {
            Assert.Matches($"\"hash\": \"sha256-[^\"]+\",\\s+\"url\": \"{Regex.Escape(name)}\"", list);
        }
    }

    [GeneratedRegex("<script(?![^>]*\\bsrc=)|<style|\\bstyle=|\\bon[a-z]+=")]
    private static partial Regex InlineCode();
}
