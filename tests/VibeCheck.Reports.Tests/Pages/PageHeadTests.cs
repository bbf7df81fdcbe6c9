using System.Text;
using VibeCheck.Reports.Pages;

namespace VibeCheck.Reports.Tests.Pages;

/// <summary>Head, table of contents and colours of a page.</summary>
public sealed class PageHeadTests
{
    [Fact]
    public void The_head_shows_what_was_given_of_the_job_and_nothing_else()
    {
        string page = Written(new("XX-01", null, "WO <17>", " "));
        Assert.Contains("<dt>Tail:</dt> <dd>XX-01</dd>", page, StringComparison.Ordinal);
        Assert.Contains("<dt>Work order:</dt> <dd>WO &lt;17&gt;</dd>", page, StringComparison.Ordinal);
        Assert.DoesNotContain("Serial number", page, StringComparison.Ordinal);
        Assert.DoesNotContain("Customer", page, StringComparison.Ordinal);
        Assert.DoesNotContain("class=\"about\"", Written(null), StringComparison.Ordinal);
    }

    [Fact]
    public void Every_entry_of_the_contents_leads_to_a_heading_of_that_name()
    {
        string page = Written(null);
        var entries = System.Text.RegularExpressions.Regex.Matches(page, "<a href=\"#(s\\d+)\">([^<]*)</a>");
        Assert.True(entries.Count > 5);
        Assert.All(
            entries,
            e => Assert.Contains($"<h2 id=\"{e.Groups[1].Value}\">{e.Groups[2].Value}</h2>", page, StringComparison.Ordinal)
        );
        Assert.DoesNotContain(entries, e => e.Groups[2].Value.StartsWith("Hottest", StringComparison.Ordinal));
    }

    [Fact]
    public void Dark_colours_follow_the_reader_and_have_the_contrast_of_WCAG_AA()
    {
        string page = Written(null);
        string dark = page[page.IndexOf("prefers-color-scheme: dark", StringComparison.Ordinal)..];
        double paper = Luminance(Colour(dark, "paper"));
        foreach (string name in (string[])["ink", "soft", "better", "worse", "same", "data"])
        {
            // WCAG 2.2, success criterion 1.4.3: 4.5 to 1 for text.
            double contrast = (Luminance(Colour(dark, name)) + 0.05) / (paper + 0.05);
            Assert.True(contrast >= 4.5, $"{name}: {contrast:0.0}");
        }
    }

    private static string Colour(string css, string name) => css.Split($"--{name}: #")[1][..6];

    // Relative luminance of WCAG 2.2.
    private static double Luminance(string hex)
    {
        double Part(int at)
        {
            double c = Convert.ToInt32(hex.Substring(at, 2), 16) / 255.0;
            return c <= 0.04045 ? c / 12.92 : Math.Pow((c + 0.055) / 1.055, 2.4);
        }

        return 0.2126 * Part(0) + 0.7152 * Part(2) + 0.0722 * Part(4);
    }

    private static string Written(JobDetails? details)
    {
        using var stream = new MemoryStream();
        ComparisonPage.Write(Examples.Improved, stream, details);
        return Encoding.UTF8.GetString(stream.ToArray());
    }
}
