using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Pages;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports;

/// <summary>A motor mount from above, out up and the hub down, with the shims at each bolt.</summary>
internal static class BoltDrawing
{
    private const double Radius = 27;

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
            <svg viewBox="-58 -44 116 98" width="{widthMm}mm" role="img" aria-label="{label}"><circle r="{Radius}" fill="none" stroke="#777" stroke-dasharray="2 2"/><circle r="9" fill="none" stroke="#777"/><text y="-36" text-anchor="middle" font-size="8.5">out</text>{marks}<path d="M0 33v9m-3.5 -4l3.5 5l3.5 -5" fill="none" stroke="#000" stroke-width="1.5"/><text y="52" text-anchor="middle" font-size="8.5">hub this way</text></svg>

            """);
    }

    private static Markup Mark(double x, double y, BoltShims? shims, bool inch)
    {
        bool raised = shims is { StackMm.Count: > 0 };
        Markup bolt = Markup.Of($"""<circle cx="{x}" cy="{y}" r="{(raised ? 7 : 4.5)}" fill="{(raised ? "#000" : "#fff")}" stroke="#000" stroke-width="1.4"/>""");
        if (!raised)
        {
            return bolt;
        }

        // Pieces one under the other beside the bolt, away from the middle.
        string anchor = x > 3 ? "start" : x < -3 ? "end" : "middle";
        double left = x + (x > 3 ? 9 : x < -3 ? -9 : 0), first = y + (Math.Abs(x) <= 3 ? (y < 0 ? -10 : 16) : 4.5 - 6.5 * (shims!.StackMm.Count - 1));
        IEnumerable<Markup> pieces = shims!.StackMm.Select((t, i) => Markup.Of(
            $"""<text x="{left}" y="{first + 13 * i}" text-anchor="{anchor}" font-size="{(inch ? 9.5 : 13.5)}" font-weight="700">{(i > 0 ? "+" : "")}{ShimWords.Thickness(t, inch)}</text>"""));
        return Markup.Of($"{bolt}{pieces}");
    }
}
