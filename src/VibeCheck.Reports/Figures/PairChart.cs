using ScottPlot;
using ScottPlot.TickGenerators;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Figures;

/// <summary>One row of a <see cref="PairChart"/>.</summary>
/// <param name="Label">Text at the left.</param>
/// <param name="Before">Open and thin; null for a single flight.</param>
/// <param name="After">Filled and thick.</param>
/// <param name="Note">Text at the right, such as the change.</param>
/// <param name="OpensGroup">Whether there is a gap above it.</param>
internal sealed record PairRow(string Label, Estimate? Before, Estimate After, string Note, bool OpensGroup = false);

/// <summary>Rows of points with their intervals, before and after on one scale, joined by a line.</summary>
internal sealed class PairChart
{
    /// <summary>Least span of an axis of temperatures, °C: with less, the scatter of the sensors would look large.</summary>
    internal const double LeastSpanC = 10;

    private const int RowHeight = 22,
        GroupGap = 9;
    private const float Left = 62,
        Right = 98,
        Bottom = 24,
        Top = 4;

    internal required IReadOnlyList<PairRow> Rows { get; init; }

    internal required string Unit { get; init; }

    /// <summary>Whether the scale is logarithmic: equal ratios have equal lengths.</summary>
    internal bool Logarithmic { get; init; }

    /// <summary>Whether zero is on the scale, with a line: for amounts that should be zero.</summary>
    internal bool AgainstZero { get; init; }

    /// <summary>Least span of the scale in its unit, so that small differences do not look large; 0 for none.</summary>
    internal double LeastSpan { get; init; }

    internal Markup Draw(int width, string id, string label)
    {
        Plot plot = Chart.New(Left, Right, Bottom, Top);
        double height = Rows.Sum(row => RowHeight + (row.OpensGroup ? GroupGap : 0));
        var (low, high) = Limits();
        plot.Axes.SetLimits(low, high, -height, 0);
        plot.Axes.Right.TickLabelStyle.ForeColor = Chart.Ink;
        var labels = new NumericManual();
        var notes = new NumericManual();
        if (AgainstZero)
        {
            var zero = plot.Add.VerticalLine(0);
            zero.LineColor = Chart.Ink;
            zero.LineWidth = 1;
        }

        double y = 0;
        foreach (PairRow row in Rows)
        {
            y -= RowHeight / 2.0 + (row.OpensGroup ? GroupGap : 0);
            labels.AddMajor(y, row.Label);
            notes.AddMajor(y, row.Note);
            Draw(plot, row, y, low);
            y -= RowHeight / 2.0;
        }

        plot.Axes.Left.TickGenerator = labels;
        plot.Axes.Right.TickGenerator = notes;
        plot.Axes.Right.Min = -height;
        plot.Axes.Right.Max = 0;
        plot.Grid.YAxisStyle.IsVisible = false;
        plot.Axes.Bottom.TickGenerator = Logarithmic
            ? Decades(low, high, Unit)
            : Chart.Ticks(low, high, Math.Max(4, (int)(width - Left - Right) / 62), Unit);
        return Chart.ToMarkup(plot, width, (int)(height + Bottom + Top), id, label);
    }

    private void Draw(Plot plot, PairRow row, double y, double low)
    {
        double? before = Place(row.Before?.Value, low),
            after = Place(row.After.Value, low);
        if (before is double from && after is double to)
        {
            Line(plot, from, to, y, 1);
        }

        // The two are drawn a little apart, so that overlapping intervals can both be seen.
        double apart = row.Before is null ? 0 : 3;
        if (row.Before?.IsKnown == true)
        {
            Interval(plot, row.Before, y + apart, low, 1);
            Point(plot, before!.Value, y + apart, open: true);
        }

        if (row.After.IsKnown)
        {
            Interval(plot, row.After, y - apart, low, 3);
            Point(plot, after!.Value, y - apart, open: false);
        }

        if (before is null && after is null)
        {
            Chart.Note(plot, Format.NotKnown, low, y, Alignment.MiddleLeft);
        }
    }

    private void Interval(Plot plot, Estimate estimate, double y, double low, float thickness)
    {
        if (estimate.Ci95 is Interval ci)
        {
            Line(plot, Place(ci.Low, low)!.Value, Place(ci.High, low)!.Value, y, thickness);
        }
    }

    private static void Line(Plot plot, double from, double to, double y, float thickness)
    {
        var line = plot.Add.Line(from, y, to, y);
        line.LineColor = Chart.Data.WithAlpha(thickness > 2 ? .55 : .9);
        line.LineWidth = thickness;
    }

    private static void Point(Plot plot, double x, double y, bool open)
    {
        var point = plot.Add.Marker(x, y, MarkerShape.FilledCircle, open ? 8 : 9);
        point.MarkerStyle.FillColor = open ? Colors.White : Chart.Data;
        point.MarkerStyle.OutlineColor = Chart.Data;
        point.MarkerStyle.OutlineWidth = 1.4f;
    }

    private double? Place(double? value, double low) =>
        value is double v
            ? Logarithmic
                ? (v > 0 ? Math.Max(low, Math.Log10(v)) : low)
                : v
            : null;

    private (double Low, double High) Limits()
    {
        double[] values = [.. Rows.SelectMany(Values)];
        if (values.Length == 0)
        {
            return (0, 1);
        }

        if (!Logarithmic)
        {
            double least = values.Min(),
                most = values.Max();
            (least, most) = AgainstZero ? (Math.Min(0, least), Math.Max(0, most)) : (least, most);
            double margin = Math.Max(0.06 * (most - least), 0.02 * Math.Max(1, Math.Abs(most)));
            double missing = Math.Max(0, LeastSpan - (most - least + 2 * margin)) / 2;
            return (least - margin - missing, most + margin + missing);
        }

        double[] sizes = [.. values.Where(v => v > 0).Select(Math.Log10)];
        return sizes.Length == 0 ? (-2, 0) : (Math.Max(sizes.Min() - 0.05, sizes.Max() - 4), sizes.Max() + 0.05);
    }

    private static IEnumerable<double> Values(PairRow row)
    {
        foreach (Estimate? one in new[] { row.Before, row.After })
        {
            if (one?.Value is double value)
            {
                yield return one.Ci95?.Low ?? value;
                yield return value;
                yield return one.Ci95?.High ?? value;
            }
        }
    }

    // 1, 3, 10 and so on: nearly even steps on a logarithmic scale, with room for every label.
    private static NumericManual Decades(double low, double high, string unit)
    {
        var places = new List<double>();
        for (int decade = (int)Math.Floor(low); decade <= high; decade++)
        {
            places.AddRange(new[] { decade, decade + Math.Log10(3) }.Where(at => at >= low && at <= high));
        }

        return Chart.Ticks(places, at => Math.Pow(10, at).ToString("0.######", System.Globalization.CultureInfo.InvariantCulture), unit);
    }
}
