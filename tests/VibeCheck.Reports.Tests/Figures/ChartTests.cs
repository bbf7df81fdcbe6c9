using System.Net;
using System.Text.RegularExpressions;
using ScottPlot;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Figures;
using VibeCheck.Reports.Pages;

namespace VibeCheck.Reports.Tests.Figures;

public sealed class ChartTests
{
    [Fact]
    public void Numbers_written_in_a_chart_keep_all_their_decimals()
    {
        var chart = new PairChart { Unit = "m/s²", Rows = [new PairRow("M1", null, Estimate.Around(0.10786, 0.001), "0.10786")] };
        string svg = chart.Draw(340, "c", "one row").ToString();
        Assert.Contains("0.10786", Written(svg));
        Assert.DoesNotMatch(@"[ML ]\d+\.\d{3,}", svg);
    }

    [Fact]
    public void All_words_of_a_chart_are_in_the_font_that_comes_with_the_tool()
    {
        var chart = new PairChart
        {
            Unit = "°C",
            Rows = [new PairRow("M1 ×2", Estimate.Around(3, 1), Estimate.Around(2, 1), "▼ −1.0 °C → ●")],
        };
        string[] families =
        [
            .. Regex.Matches(chart.Draw(760, "c", "x").ToString(), "font-family=\"([^\"]*)\"").Select(m => m.Groups[1].Value).Distinct(),
        ];
        Assert.Equal(["Inter"], families);
    }

    [Fact]
    public async Task Preparing_the_drawing_in_advance_changes_no_chart()
    {
        var chart = new PairChart { Unit = "°C", Rows = [new PairRow("M1", null, Estimate.Around(2, 1), "a")] };
        string before = chart.Draw(340, "c", "x").ToString();
        await PageDrawing.PrepareAsync();
        Assert.Equal(before, chart.Draw(340, "c", "x").ToString());
    }

    [Fact]
    public void Rows_keep_their_order_and_what_is_unknown_says_so()
    {
        var chart = new PairChart
        {
            Unit = "°C",
            Rows =
            [
                new PairRow("M1", Estimate.Around(30, 1), Estimate.Around(25, 1), "a"),
                new PairRow("M2", Estimate.Unknown(new NotMeasured()), Estimate.Unknown(new NotMeasured()), ""),
            ],
        };
        string[] words = Written(chart.Draw(340, "c", "two rows").ToString());
        Assert.True(Array.IndexOf(words, "M1") >= 0 && Array.IndexOf(words, "M1") < Array.IndexOf(words, "M2"));
        Assert.Contains("not known", words);
    }

    [Fact]
    public void Close_lines_share_one_name_and_a_line_alone_carries_its_motor()
    {
        MotorAnalysis slow = Examples.Before.Motors[0] with { RpmMean = Estimate.Around(3000, 1) };
        MotorAnalysis near = Examples.Before.Motors[1] with { RpmMean = Estimate.Around(3060, 1) };
        MotorAnalysis far = Examples.Before.Motors[2] with { RpmMean = Estimate.Around(3900, 1) };
        OrderMark[] marks = [.. OrderMark.Of([slow, near, far], 80, hzPerPixel: 0.1)];
        Assert.Equal(["×1", "M3 ×1"], marks.Select(m => m.Name));
        Assert.Equal((50, 51), (marks[0].FromHz, marks[0].ToHz));
    }

    [Fact]
    public void Names_that_would_collide_are_left_out_and_their_bands_stay()
    {
        OrderMark[] marks = [.. OrderMark.Of([Examples.Before.Motors[0]], 250, hzPerPixel: 2)];
        Assert.Equal(4, marks.Length);
        Assert.Equal(["M1 ×1", null, "M1 ×3", null], marks.Select(m => m.Name));
    }

    [Fact]
    public void Reducing_a_spectrum_loses_neither_its_peak_nor_its_deepest_gap()
    {
        double[] density =
        [
            .. Enumerable
                .Range(0, 10_001)
                .Select(k =>
                    k == 4321 ? 5.0
                    : k == 7000 ? 1e-9
                    : 1e-3
                ),
        ];
        var spectrum = new Spectrum
        {
            Channel = "acc_x",
            Unit = "m/s²",
            ResolutionHz = 0.05,
            Density = density,
            NoiseBandwidthBins = 1.5,
            DegreesOfFreedom = 10,
        };
        Coordinates[] points = SpectrumChart.Reduced(spectrum, 500, 1);
        Assert.InRange(points.Length, 400, 1002);
        Assert.Contains(points, p => p.Y == SpectrumChart.Db(5.0) && p.X == 4321 * 0.05);
        Assert.Contains(points, p => p.Y == SpectrumChart.Db(1e-9) && p.X == 7000 * 0.05);
        Assert.Equal(points.OrderBy(p => p.X), points);
    }

    private static string[] Written(string svg) =>
        [.. Regex.Matches(svg, "<text[^>]*>([^<]*)</text>").Select(m => WebUtility.HtmlDecode(m.Groups[1].Value).Trim())];
}
