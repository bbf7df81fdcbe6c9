using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Drawings;

/// <summary>A change as a point with its interval, against zero. The grey band holds changes that are too small to matter.</summary>
/// <param name="Reach">Change at either end of the strip, in the change's unit, above 0.</param>
/// <param name="Matters">Half width of the grey band: the least change that would be called, in the same unit.</param>
/// <param name="Width">Width in the drawing's units.</param>
internal sealed record IntervalStrip(double Reach, double Matters, double Width)
{
    /// <summary>A round reach, <paramref name="least"/> or more, that holds every interval of a drawing.</summary>
    internal static double ReachFor(IEnumerable<Estimate> changes, double least)
    {
        double largest = least;
        foreach (Estimate change in changes)
        {
            largest = Math.Max(largest, Math.Abs(change.Ci95?.Low ?? change.Value ?? 0));
            largest = Math.Max(largest, Math.Abs(change.Ci95?.High ?? change.Value ?? 0));
        }

        double step =
            largest <= 5 ? 1
            : largest <= 20 ? 2
            : 10;
        return Math.Ceiling(largest / step) * step;
    }

    /// <summary>The strip, with its middle line at <paramref name="y"/>; hatched where the change is not known.</summary>
    internal Markup Draw(double left, double y, Estimate change, CallKind call, double half = 5)
    {
        double middle = left + Width / 2;
        if (change.Value is not double value)
        {
            return Markup.Of($"""<rect x="{left}" y="{y - half}" width="{Width}" height="{2 * half}" fill="{Hatch.Fill}"/>""");
        }

        double band = Math.Min(Width / 2, Matters / Reach * Width / 2);
        string colour = Colour(call);
        Markup whisker = change.Ci95 is Interval ci
            ? Markup.Of($"""<path d="M{At(left, ci.Low)} {y}H{At(left, ci.High)}" stroke="{colour}" stroke-width="3"/>""")
            : Markup.Empty;
        return Markup.Of(
            $"""
            <rect x="{middle - band}" y="{y - half}" width="{2 * band}" height="{2 * half}" fill="#eceef1"/><path d="M{left} {y}H{left
                + Width}" stroke="{Palette.Line}"/><path d="M{middle} {y - half - 1}V{y
                + half
                + 1}" stroke="{Palette.Ink}"/>{whisker}{Point(At(left, value), y, call, colour)}
            """
        );
    }

    internal static string Colour(CallKind call) =>
        call switch
        {
            CallKind.Improved => Palette.Better,
            CallKind.Worse => Palette.Worse,
            _ => Palette.Same,
        };

    // Calls differ in shape as well as colour: a triangle down for improved, up for worse, a circle for any other.
    private static Markup Point(double x, double y, CallKind call, string colour) =>
        call switch
        {
            CallKind.Improved => Markup.Of($"""<path d="M{x - 5} {y - 4}h10l-5 9z" fill="{colour}"/>"""),
            CallKind.Worse => Markup.Of($"""<path d="M{x - 5} {y + 4}h10l-5 -9z" fill="{colour}"/>"""),
            _ => Markup.Of($"""<circle cx="{x}" cy="{y}" r="4" fill="{colour}"/>"""),
        };

    private double At(double left, double value) => left + Width / 2 * (1 + Math.Clamp(value / Reach, -1, 1));
}
