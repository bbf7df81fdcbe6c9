using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using ScottPlot;
using ScottPlot.TickGenerators;
using SkiaSharp;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Figures;

/// <summary>The style of all charts (light grid, no frame, the tool's own font) and their conversion to SVG for a page.</summary>
internal static partial class Chart
{
    /// <summary>Pixels. The wide chart is printed at nine tenths of its width, which makes this 9 pt.</summary>
    internal const float TextSize = 13.5f;
    internal static readonly Color Ink = Color.FromHex(Drawings.Palette.Ink);
    internal static readonly Color Soft = Color.FromHex(Drawings.Palette.Soft);
    internal static readonly Color Data = Color.FromHex(Drawings.Palette.Data);
    internal static readonly Color Grid = Color.FromHex("#e4e7eb");

    /// <summary>An empty plot with fixed margins, pixels, so that charts one below the other line up.</summary>
    internal static Plot New(float left, float right, float bottom, float top)
    {
        ChartFont.Use();
        var plot = new Plot();
        plot.FigureBackground.Color = Colors.Transparent;
        plot.DataBackground.Color = Colors.Transparent;
        plot.Grid.MajorLineColor = Grid;
        plot.Grid.MajorLineWidth = 1;
        plot.Layout.Fixed(new PixelPadding(left, right, bottom, top));
        plot.Axes.Frame(false);
        foreach (IAxis axis in plot.Axes.GetAxes())
        {
            axis.TickLabelStyle.FontSize = TextSize;
            axis.TickLabelStyle.FontName = ChartFont.Family;
            axis.TickLabelStyle.ForeColor = Soft;
            axis.MajorTickStyle.Length = 0;
            axis.MinorTickStyle.Length = 0;
        }

        return plot;
    }

    /// <summary>Ticks at multiples of a round step (1, 2 or 5 times a power of ten), in at most <paramref name="most"/> steps between the
    /// ends; the last one carries the unit.</summary>
    internal static NumericManual Ticks(double from, double to, int most, string unit)
    {
        double step = RoundStep((to - from) / most);
        int decimals = Math.Max(0, -(int)Math.Floor(Math.Log10(step)));
        var places = new List<double>();
        for (double at = Math.Ceiling(from / step - 1e-9) * step; at <= to + step * 1e-9; at += step)
        {
            places.Add(at);
        }

        return Ticks(places, at => Formatting.Format.Number(at, decimals), unit);
    }

    /// <summary>A tick at each place; the last one carries the unit.</summary>
    internal static NumericManual Ticks(List<double> places, Func<double, string> text, string unit)
    {
        var ticks = new NumericManual();
        for (int i = 0; i < places.Count; i++)
        {
            ticks.AddMajor(places[i], i == places.Count - 1 && unit.Length > 0 ? $"{text(places[i])} {unit}" : text(places[i]));
        }

        return ticks;
    }

    /// <summary>A text within a chart, such as the reference of an axis in dB.</summary>
    internal static ScottPlot.Plottables.Text Note(Plot plot, string words, double x, double y, Alignment at)
    {
        ScottPlot.Plottables.Text text = plot.Add.Text(words, x, y);
        text.LabelFontName = ChartFont.Family;
        text.LabelFontSize = TextSize;
        text.LabelFontColor = Soft;
        text.LabelAlignment = at;
        text.OffsetX = 4;
        return text;
    }

    /// <summary>The least of 1, 2 and 5 times a power of ten that is not below a step.</summary>
    /// <param name="raw">That step, above 0.</param>
    internal static double RoundStep(double raw)
    {
        double decade = Math.Pow(10, Math.Floor(Math.Log10(raw)));
        return (raw / decade) switch
            {
                <= 1 => 1,
                <= 2 => 2,
                <= 5 => 5,
                _ => 10,
            } * decade;
    }

    /// <summary>The chart as an SVG element of a page: it scales with its container, and its ids begin with <paramref name="id"/>, so that
    /// they differ from those of other charts.</summary>
    internal static Markup ToMarkup(Plot plot, int width, int height, string id, string label)
    {
        string svg = Svg(plot, width, height);
        int body = svg.IndexOf('>', svg.IndexOf("<svg", StringComparison.Ordinal)) + 1;
        var text = new StringBuilder(svg.Length);
        text.Append(
            CultureInfo.InvariantCulture,
            $"<svg viewBox=\"0 0 {width} {height}\" role=\"img\" aria-label=\"{Markup.Of($"{label}")}\">"
        );
        text.Append(svg, body, svg.Length - body);
        text.Replace(", \"", "\"").Replace("\t", "").Replace(">\n", ">");
        var ids = new Dictionary<string, string>();
        string own = ClipId()
            .Replace(
                text.ToString(),
                match =>
                {
                    ids.TryAdd(match.Value, string.Create(CultureInfo.InvariantCulture, $"{id}-{ids.Count}"));
                    return ids[match.Value];
                }
            );
        return Markup.Trusted(ShortNumbers(own));
    }

    // A chart computes its layout when it is first drawn. The library's own SVG export draws a bitmap for that, which takes two thirds of
    // the time; here the first drawing goes into a recording that is discarded.
    private static string Svg(Plot plot, int width, int height)
    {
        var area = new SKRect(0, 0, width, height);
        using (var recorder = new SKPictureRecorder())
        {
            plot.Render(recorder.BeginRecording(area), width, height);
        }

        // Clearing the canvas would be written to the SVG too, as a black box.
        plot.RenderManager.ClearCanvasBeforeEachRender = false;
        using var memory = new MemoryStream();
        using (SKCanvas canvas = SKSvgCanvas.Create(area, memory))
        {
            plot.Render(canvas, width, height);
        }

        return Encoding.UTF8.GetString(memory.GetBuffer(), 0, (int)memory.Length);
    }

    // The drawing library numbers clip paths over the whole process; a page must be the same every time.
    [GeneratedRegex("cl_[0-9a-f]+")]
    private static partial Regex ClipId();

    // Cuts numbers after two decimals: a hundredth of a unit is finer than any screen or printer shows, and the digits beyond it are half
    // of the file. Only numbers inside tags are cut; text of the chart stays as it is.
    private static string ShortNumbers(string svg)
    {
        var text = new StringBuilder(svg.Length);
        bool inTag = false;
        int decimals = -1;
        foreach (char c in svg)
        {
            inTag = c == '<' || (inTag && c != '>');
            decimals =
                c == '.' ? 0
                : decimals >= 0 && char.IsAsciiDigit(c) ? decimals + 1
                : -1;
            if (!inTag || decimals <= 2)
            {
                text.Append(c);
            }
        }

        return text.ToString();
    }
}
