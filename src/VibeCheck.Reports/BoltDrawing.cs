using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Pages;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports;

/// <summary>A motor mount from above, out up and the hub down, with the shims at each bolt.</summary>
internal static class BoltDrawing
{
    private const double Radius = 23;

    internal static Markup Draw(BoltPattern? bolts, MotorShims motor, bool inch, int widthMm)
    {
        if (bolts is null)
        {
            return Markup.Of($"""<p class="soft">no bolt pattern in the airframe file</p>""");
        }

        double reach = bolts.Bolts.Max(b => Math.Sqrt(b.AcrossMm * b.AcrossMm + b.AlongMm * b.AlongMm));
        IEnumerable<Markup> marks = bolts.Bolts.Select((b, i) =>
            Mark(Radius * b.AcrossMm / reach, -Radius * b.AlongMm / reach, motor.Stacks?.Bolts[i], inch));
        string label = motor.Stacks is ShimStacks stacks
            ? $"Bolts of {motor.Motor.Id} from above: " + string.Join(", ", stacks.Bolts.Select(b => $"{b.Bolt.Place} {ShimWords.Stack(b, inch)}"))
            : $"Bolts of {motor.Motor.Id} from above: no shims";
        return Markup.Of(
            $"""
            <svg viewBox="-62 -40 124 94" width="{widthMm}mm" role="img" aria-label="{label}"><circle r="{Radius}" fill="none" stroke="#777" stroke-dasharray="2 2"/><circle r="9" fill="none" stroke="#777"/><text y="-33" text-anchor="middle" font-size="8.5">out</text>{marks}<path d="M0 33v9m-3.5 -4l3.5 5l3.5 -5" fill="none" stroke="#000" stroke-width="1.5"/><text y="52" text-anchor="middle" font-size="8.5">hub this way</text></svg>

            """);
    }

    /// <summary>Inches without the leading zero, as the trade writes them: there is little room beside a bolt.</summary>
    private static string Figure(double mm, bool inch) => inch ? ShimWords.Thickness(mm, inch).TrimStart('0') : ShimWords.Thickness(mm, inch);

    private static Markup Mark(double x, double y, BoltShims? shims, bool inch)
    {
        IReadOnlyList<double> stackMm = shims?.StackMm ?? [];
        bool raised = stackMm.Count > 0;
        Markup bolt = Markup.Of($"""<circle cx="{x}" cy="{y}" r="{(raised ? 7 : 4.5)}" fill="{(raised ? "#000" : "#fff")}" stroke="#000" stroke-width="1.4"/>""");
        if (!raised)
        {
            return bolt;
        }

        // Pieces one under the other beside the bolt, away from the middle; on the arm's axis to the right.
        bool toLeft = x < -3;
        string anchor = toLeft ? "end" : "start";
        double left = x + (toLeft ? -9 : 9), first = y + 4.5 - 6.5 * (stackMm.Count - 1);
        IEnumerable<Markup> pieces = stackMm.Select((t, i) => Markup.Of(
            $"""<text x="{left}" y="{first + 13 * i}" text-anchor="{anchor}" font-size="{(inch ? 10 : 12.5)}" font-weight="700">{(i > 0 ? "+" : "")}{Figure(t, inch)}</text>"""));
        return Markup.Of($"{bolt}{pieces}");
    }
}
