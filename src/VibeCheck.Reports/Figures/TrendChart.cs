using ScottPlot;
using ScottPlot.TickGenerators;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Figures;

/// <summary>The change from the stage before.</summary>
/// <param name="Sign">Sign of its call; empty when unknown or not called.</param>
/// <param name="Size">Size of the change as text; empty when unknown.</param>
/// <param name="Unit">Its unit; may be empty.</param>
internal sealed record StageChange(string Sign, string Size, string Unit)
{
    internal static StageChange None { get; } = new("", "", "");

    /// <summary>As much as fits into this width: first the unit is left out, then all but the sign.</summary>
    internal string Fit(double pixels) =>
        Size.Length == 0 ? ""
        : pixels >= 84 ? $"{Sign}{Size} {Unit}".TrimEnd()
        : pixels >= 58 ? Sign + Size
        : Sign.Length > 0 ? Sign.TrimEnd()
        : Size;
}

/// <summary>One metric over the history of an airframe: one point per stage with its interval, and between stages a dashed line for the
/// work with the change on it. Charts of several metrics line up one below the other.</summary>
internal sealed class TrendChart
{
    private const float Left = 62,
        Right = 14;
    private const int PanelHeight = 124,
        DateHeight = 30,
        NumberHeight = 20;

    // Height at which the text of a change is written, as a share of the panel: below the title.
    private const double StepShare = 0.84;

    // Dashes of the line of a work, and how much of their spacing they fill.
    private const int Dashes = 12;
    private const double DashShare = 0.55;

    /// <summary>Metric with its unit.</summary>
    internal required string Title { get; init; }

    /// <summary>One per stage.</summary>
    internal required IReadOnlyList<Estimate> Stages { get; init; }

    /// <summary>One per stage: the change from the stage before.</summary>
    internal required IReadOnlyList<StageChange> Steps { get; init; }

    /// <summary>For the last chart of a figure the day of each stage, written below it; null for the others.</summary>
    internal IReadOnlyList<string>? Days { get; init; }

    /// <summary>For the first chart of a figure: the number of each work is written above its line.</summary>
    internal bool Numbered { get; init; }

    internal Markup Draw(int width, string id, string label)
    {
        float top = Numbered ? NumberHeight : 2,
            bottom = Days is null ? 9 : DateHeight;
        Plot plot = Chart.New(Left, Right, bottom, top);
        (double low, double high) = Limits();
        plot.Axes.SetLimits(-0.5, Stages.Count - 0.5, low, high);
        plot.Grid.XAxisStyle.IsVisible = false;
        plot.Axes.Left.TickGenerator = Chart.Ticks(low, low + 0.72 * (high - low), 4, "");
        plot.Axes.Bottom.TickGenerator = DayTicks(width);
        // Moved down, clear of the lowest label of the scale.
        plot.Axes.Bottom.TickLabelStyle.OffsetY = 5;
        var zero = plot.Add.HorizontalLine(0);
        zero.LineColor = Chart.Ink;
        zero.LineWidth = 1;
        for (int i = 1; i < Stages.Count; i++)
        {
            Work(plot, i, low, high, (width - Left - Right) / Stages.Count);
        }

        for (int i = 0; i < Stages.Count; i++)
        {
            Stage(plot, i);
        }

        ScottPlot.Plottables.Text title = Text(plot, Title, -0.5, high, Alignment.UpperLeft, Chart.Ink);
        title.OffsetX = 3;
        title.LabelBackgroundColor = Colors.White;
        if (Numbered)
        {
            plot.Axes.Top.TickGenerator = Numbers();
            plot.Axes.Top.TickLabelStyle.ForeColor = Chart.Ink;
            plot.Axes.Top.Min = -0.5;
            plot.Axes.Top.Max = Stages.Count - 0.5;
        }

        return Chart.ToMarkup(plot, width, (int)(PanelHeight + top + bottom), id, label);
    }

    private void Work(Plot plot, int stage, double low, double high, double room)
    {
        double x = stage - 0.5;
        // The line ends below the title. Its dashes are drawn one by one: the SVG writer knows no dashed line.
        for (int dash = 0; dash < Dashes; dash++)
        {
            double from = low + StepShare * (high - low) * dash / Dashes;
            var line = plot.Add.Line(x, from, x, from + StepShare * (high - low) * DashShare / Dashes);
            line.LineColor = Chart.Soft;
            line.LineWidth = 1;
        }

        // The change is written on the line, in the free band below the title.
        var step = Text(plot, Steps[stage].Fit(room), x, low + StepShare * (high - low), Alignment.UpperCenter, Chart.Ink);
        step.LabelBackgroundColor = Colors.White;
        if (Stages[stage - 1].Value is double before && Stages[stage].Value is double after)
        {
            var path = plot.Add.Line(stage - 1, before, stage, after);
            path.LineColor = Chart.Data.WithAlpha(.9);
            path.LineWidth = 1;
        }
    }

    private void Stage(Plot plot, int stage)
    {
        Estimate one = Stages[stage];
        if (one.Value is not double value)
        {
            Text(plot, Format.NotKnown, stage, 0, Alignment.LowerCenter, Chart.Soft);
            return;
        }

        if (one.Ci95 is Interval ci)
        {
            var bar = plot.Add.Line(stage, ci.Low, stage, ci.High);
            bar.LineColor = Chart.Data.WithAlpha(.55);
            bar.LineWidth = 3;
        }

        var point = plot.Add.Marker(stage, value, MarkerShape.FilledCircle, 7);
        point.MarkerStyle.FillColor = Chart.Data;
        point.MarkerStyle.OutlineColor = Chart.Data;
    }

    private static ScottPlot.Plottables.Text Text(Plot plot, string words, double x, double y, Alignment alignment, Color colour)
    {
        ScottPlot.Plottables.Text text = plot.Add.Text(words, x, y);
        text.LabelFontName = ChartFont.Family;
        text.LabelFontSize = Chart.TextSize;
        text.LabelFontColor = colour;
        text.LabelAlignment = alignment;
        return text;
    }

    private NumericManual Numbers()
    {
        var ticks = new NumericManual();
        for (int i = 1; i < Stages.Count; i++)
        {
            ticks.AddMajor(i - 0.5, Format.Whole(i + 1));
        }

        return ticks;
    }

    /// <summary>As many days as fit: on a narrow chart every second or third.</summary>
    private NumericManual DayTicks(int width)
    {
        var ticks = new NumericManual();
        int every = (int)Math.Ceiling(84.0 * Stages.Count / (width - Left - Right));
        for (int i = 0; i < Stages.Count; i += every)
        {
            ticks.AddMajor(i, Days?[i] ?? "");
        }

        return ticks;
    }

    /// <summary>Zero is on the scale, and the upper 28 % is free for text.</summary>
    private (double Low, double High) Limits()
    {
        double[] values =
        [
            0,
            .. Stages.Where(s => s.IsKnown).SelectMany(s => new[] { s.Value!.Value, s.Ci95?.Low ?? 0, s.Ci95?.High ?? 0 }),
        ];
        double least = values.Min(),
            most = values.Max();
        most = most > least ? most : least + 1;
        double low = least < 0 ? least - 0.08 * (most - least) : 0;
        return (low, low + (most - low) / 0.72);
    }
}
