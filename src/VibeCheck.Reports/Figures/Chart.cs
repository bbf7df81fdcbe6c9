using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using ScottPlot;
using ScottPlot.TickGenerators;
using SkiaSharp;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Figures;

/// <summary>The house style of charts, and their way into a page: light grid, no frame, the tool's own font.</summary>
internal static partial class Chart
{
    /// <summary>Pixels; the wide chart is printed at nine tenths of its width, where this is 9 pt.</summary>
    internal const float TextSize = 13.5f;
    internal static readonly Color Ink = Color.FromHex(Drawings.Palette.Ink);
    internal static readonly Color Soft = Color.FromHex(Drawings.Palette.Soft);
    internal static readonly Color Data = Color.FromHex(Drawings.Palette.Data);
    internal static readonly Color Grid = Color.FromHex("#e4e7eb");

    /// <summary>An empty plot with fixed margins, so that charts below one another line up.</summary>
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

    /// <summary>Even ticks with few figures, at most so many, from one end to the other; the last one carries the unit.</summary>
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

    /// <summary>Words within a chart, such as the reference of an axis in dB.</summary>
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

    /// <summary>The chart as an element of a page: it scales with its place, and its ids meet no other chart's.</summary>
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

    // A chart settles its layout the first time it is drawn. The library's own way to SVG draws it as a picture for that, which took two
    // thirds of the time; here that drawing goes into a record that nobody plays.
    private static string Svg(Plot plot, int width, int height)
    {
        var area = new SKRect(0, 0, width, height);
        using (var recorder = new SKPictureRecorder())
        {
            plot.Render(recorder.BeginRecording(area), width, height);
        }

        // Clearing would be drawn too, as a black box.
        plot.RenderManager.ClearCanvasBeforeEachRender = false;
        using var memory = new MemoryStream();
        using (SKCanvas canvas = SKSvgCanvas.Create(area, memory))
        {
            plot.Render(canvas, width, height);
        }

        return Encoding.UTF8.GetString(memory.GetBuffer(), 0, (int)memory.Length);
    }

    // The drawing library numbers clip paths over the whole process; a page must come out the same every time.
    [GeneratedRegex("cl_[0-9a-f]+")]
    private static partial Regex ClipId();

    // A hundredth of a unit is finer than any screen or printer shows; the digits beyond make half of the file. Only attributes
    // are shortened: what is written in the chart stays as it is.
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
