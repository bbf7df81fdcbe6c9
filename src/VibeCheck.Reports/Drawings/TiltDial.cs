using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Drawings;

/// <summary>Which way and how far a motor leans, seen from above: an arrowhead points to the low side. It must not look like the bubble
/// of a level, which lies on the high side.</summary>
/// <param name="ScaleDeg">Tilt at the rim, degrees, above 0; the same for all dials of a drawing.</param>
/// <param name="Radius">Radius of the rim in the drawing's units.</param>
public sealed record TiltDial(double ScaleDeg, double Radius)
{
    private static readonly double[] _scalesDeg = [0.25, 0.5, 0.75, 1, 1.5, 2, 3, 5, 10];

    /// <summary>The least round scale that holds every tilt with 5 % to spare, degrees; 10 at most.</summary>
    public static double ScaleFor(IEnumerable<MotorTilt> tilts)
    {
        double largest = tilts.Select(t => t.MagnitudeDeg ?? 0).DefaultIfEmpty(0).Max();
        return _scalesDeg.FirstOrDefault(s => s >= 1.05 * largest, _scalesDeg[^1]);
    }

    /// <summary>The dial at a place: the tilt before open and thin, the tilt after filled and thick, joined by a line. A tilt beyond the
    /// scale is drawn at the rim.</summary>
    /// <param name="place">Centre of the dial and direction of the arm.</param>
    /// <param name="before">Tilt before; null when not read.</param>
    /// <param name="after">Tilt after; null when not read.</param>
    public Markup Draw(PlanPlace place, MotorTilt? before, MotorTilt? after)
    {
        ArgumentNullException.ThrowIfNull(place);
        bool known = before?.MagnitudeDeg is not null || after?.MagnitudeDeg is not null;
        string fill = known ? "#fff" : Hatch.Fill;
        return Markup.Of(
            $"""
            <g transform="translate({place.X} {place.Y})"><circle r="{Radius}" fill="{fill}" stroke="#8a919c"/>{Rings(known)}{Path(
                place,
                before,
                after
            )}{Mark(place, before, false)}{Mark(place, after, true)}</g>

            """
        );
    }

    private Markup Rings(bool known) =>
        known
            ? Markup.Of($"""<circle r="{Radius / 2}" fill="none" stroke="{Palette.Line}"/><path d="M-4 0H4M0 -4V4" stroke="#8a919c"/>""")
            : Markup.Empty;

    private Markup Path(PlanPlace place, MotorTilt? before, MotorTilt? after)
    {
        if (before?.MagnitudeDeg is null || after?.MagnitudeDeg is null)
        {
            return Markup.Empty;
        }

        var (x0, y0) = Tip(place, before);
        var (x1, y1) = Tip(place, after);
        return Markup.Of($"""<path d="M{x0} {y0}L{x1} {y1}" stroke="{Palette.Data}" stroke-width="1.2"/>""");
    }

    private Markup Mark(PlanPlace place, MotorTilt? tilt, bool isAfter)
    {
        if (tilt?.MagnitudeDeg is null)
        {
            return Markup.Empty;
        }

        var (x, y) = Tip(place, tilt);
        double across = HalfWidth(tilt.AcrossDeg),
            along = HalfWidth(tilt.AlongDeg);
        Markup uncertainty = Markup.Of(
            $"""<ellipse transform="translate({x} {y}) rotate({place.Motor.AzimuthDeg})" rx="{across}" ry="{along}" """
                + $"""fill="{Palette.Data}" fill-opacity=".16"/>"""
        );
        double turnDeg = double.RadiansToDegrees(Math.Atan2(x, -y));
        Markup paint = isAfter
            ? Markup.Of($"fill=\"{Palette.Data}\"")
            : Markup.Of($"fill=\"#fff\" stroke=\"{Palette.Data}\" stroke-width=\"1.4\"");
        Markup dot = Markup.Of($"""<path transform="translate({x} {y}) rotate({turnDeg})" d="M0 -5.5L4.8 3.4H-4.8Z" {paint}/>""");
        return Markup.Of($"{uncertainty}{dot}");
    }

    private double HalfWidth(Estimate tilt) => tilt.Ci95 is Interval ci ? ci.Width / 2 / ScaleDeg * Radius : 0;

    private (double X, double Y) Tip(PlanPlace place, MotorTilt tilt)
    {
        double right = tilt.AcrossDeg.Value ?? 0,
            outwards = tilt.AlongDeg.Value ?? 0;
        double shrink = Math.Min(1, ScaleDeg / Math.Max(1e-9, Math.Sqrt(right * right + outwards * outwards))) * Radius / ScaleDeg;
        return (
            shrink * (right * place.Right.X + outwards * place.Outwards.X),
            shrink * (right * place.Right.Y + outwards * place.Outwards.Y)
        );
    }
}
