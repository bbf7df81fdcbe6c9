using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Drawings;

/// <summary>A motor mount with the shims at each bolt, outwards up and the hub down: seen from above, or from
/// below for a lower motor, as the reader sees it.</summary>
public static class BoltDrawing
{
    private const double Radius = 23;
    private const double ViewWidth = 124;

    // Smallest text on the card.
    private const double LeastPt = 9;
    private const double PtPerMm = 72 / 25.4;

    /// <summary>Draws the mount with its bolts.</summary>
    /// <param name="bolts">The bolts; null where the airframe file has none, which a text then says.</param>
    /// <param name="motor">The motor with its stacks, if it has any.</param>
    /// <param name="inch">Whether thicknesses are in inches instead of millimetres.</param>
    /// <param name="widthMm">Width on paper, mm.</param>
    public static Markup Draw(BoltPattern? bolts, MotorShims motor, bool inch, int widthMm)
    {
        if (bolts is null)
        {
            return Markup.Of($"""<p class="soft">no bolt pattern in the airframe file</p>""");
        }

        double reach = bolts.Bolts.Max(b => Math.Sqrt(b.AcrossMm * b.AcrossMm + b.AlongMm * b.AlongMm));
        bool below = motor.Motor.Level == MotorLevel.Lower;
        double sense = below ? -1 : 1,
            size = LeastPt / (widthMm / ViewWidth * PtPerMm);
        IEnumerable<Markup> marks = bolts.Bolts.Select(
            (b, i) =>
                Mark(
                    sense * Radius * b.AcrossMm / reach,
                    -Radius * b.AlongMm / reach,
                    motor.Stacks?.Bolts[i],
                    inch,
                    Math.Max(size, inch ? 10 : 12.5)
                )
        );
        string from = below ? "below" : "above";
        string label = motor.Stacks is ShimStacks stacks
            ? $"Bolts of {motor.Motor.Id} from {from}: "
                + string.Join(", ", stacks.Bolts.Select(b => $"{b.Bolt.Place} {ShimPlanText.Stack(b, inch)}"))
            : $"Bolts of {motor.Motor.Id} from {from}: no shims";
        return Markup.Of(
            $"""
            <svg viewBox="-62 -44 124 104" width="{widthMm}mm" role="img" aria-label="{label}">
            <circle r="{Radius}" fill="none" stroke="#777" stroke-dasharray="2 2"/>{Distances(
                bolts,
                sense * Radius / reach,
                inch,
                size
            )}<text y="-33" text-anchor="middle" font-size="{size}">{(
                below ? "out (from below)" : "out"
            )}</text>{marks}<path d="M0 32v9m-3.5 -4l3.5 5l3.5 -5" fill="none" stroke="#000" stroke-width="1.5"/>
            <text y="57" text-anchor="middle" font-size="{size}">hub this way</text></svg>

            """
        );
    }

    /// <summary>For two pairs of bolts with different distances, a line over each pair with its
    /// distance; otherwise the circle of the hole in the middle.</summary>
    private static Markup Distances(BoltPattern bolts, double scale, bool inch, double size)
    {
        if (bolts.OppositePairs is not [var first, var second] || Math.Abs(first.DistanceMm - second.DistanceMm) < 0.05)
        {
            return Markup.Of($"""<circle r="9" fill="none" stroke="#777"/>""");
        }

        double up = Math.Abs(scale);
        Markup Pair((Bolt A, Bolt B, double DistanceMm) pair, int end)
        {
            Bolt outer = pair.A.AlongMm > 0.1 || (Math.Abs(pair.A.AlongMm) <= 0.1 && pair.A.AcrossMm > 0) ? pair.A : pair.B;
            double x = scale * outer.AcrossMm,
                y = -up * outer.AlongMm,
                length = Math.Sqrt(x * x + y * y);
            string text = inch
                ? Format.Number(pair.DistanceMm / 25.4, 2).TrimStart('0')
                : pair.DistanceMm.ToString("0.#", System.Globalization.CultureInfo.InvariantCulture);
            return Markup.Of(
                $"""<path d="M{-x} {-y}L{x} {y}" stroke="#777" stroke-width=".8"/><text x="{end * 11 * x / length}" """
                    + $"""y="{end * 11 * y / length + size / 3}" text-anchor="middle" font-size="{size}" paint-order="stroke" """
                    + $"""stroke="#fff" stroke-width="3">{text}</text>"""
            );
        }

        return Markup.Of($"{Pair(first, 1)}{Pair(second, -1)}");
    }

    /// <summary>A thickness as text; inches without the leading zero, because there is little room beside a bolt.</summary>
    private static string Figure(double mm, bool inch) =>
        inch ? ShimPlanText.Thickness(mm, inch).TrimStart('0') : ShimPlanText.Thickness(mm, inch);

    private static Markup Mark(double x, double y, BoltShims? shims, bool inch, double size)
    {
        IReadOnlyList<double> stackMm = shims?.StackMm ?? [];
        bool raised = stackMm.Count > 0;
        Markup bolt = Markup.Of(
            $"""<circle cx="{x}" cy="{y}" r="{(raised ? 7 : 4.5)}" fill="{(raised ? "#000" : "#fff")}" stroke="#000" stroke-width="1.4"/>"""
        );
        if (!raised)
        {
            return bolt;
        }

        // Pieces are listed one below the other on the outer side of the bolt; near the arm's axis on the right.
        bool toLeft = x < -3;
        string anchor = toLeft ? "end" : "start";
        double left = x + (toLeft ? -9 : 9),
            first = y + 4.5 - 6.5 * (stackMm.Count - 1);
        IEnumerable<Markup> pieces = stackMm.Select(
            (t, i) =>
                Markup.Of(
                    $"""<text x="{left}" y="{first + 13 * i}" text-anchor="{anchor}" font-size="{size}" """
                        + $"""font-weight="700">{(i > 0 ? "+" : "")}{Figure(t, inch)}</text>"""
                )
        );
        return Markup.Of($"{bolt}{pieces}");
    }
}
