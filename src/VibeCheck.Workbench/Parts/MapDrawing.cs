using VibeCheck.Core.Airframes;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;
using VibeCheck.Workbench.Jobs;

namespace VibeCheck.Workbench.Parts;

/// <summary>The plan of the aircraft, on which each motor is a link to its data.</summary>
internal static class MapDrawing
{
    /// <summary>Size of a motor's card in the drawing.</summary>
    internal const double Wide = 116,
        High = 54;

    /// <summary>The drawing.</summary>
    /// <param name="view">What the desk shows; with an aircraft.</param>
    /// <param name="place">The place that the links of the motors open.</param>
    /// <param name="selected">The motor that is open; null for none.</param>
    internal static Markup Of(DeskView view, string place, string? selected)
    {
        AirframePlan plan = AirframePlan.Of(view.Airframe!, Wide, High, 320);
        return Markup.Of(
            $"""
            <svg class="plan" viewBox="0 0 {plan.Width} {plan.Height}" role="group" aria-label="{view.Airframe!.Name} from above, nose up">
            {plan.Frame()}{plan.Places.Select(p => Motor(view, p, place, selected))}
            </svg>
            """
        );
    }

    /// <summary>A motor's card: name, direction of rotation and one line.</summary>
    internal static Markup Card(PlanPlace at, string line, bool on) =>
        Markup.Of(
            $"""
            <rect class="card{(on ? " on" : "")}" x="{at.X - Wide / 2 + 2}" y="{at.Y - High / 2 + 2}" width="{Wide - 4}" height="{High
                - 4}" rx="8" fill="#fff" stroke="{(on ? Palette.Ink : "#8a919c")}" stroke-width="{(on ? 3 : 1.2)}"/>
            <text x="{at.X - Wide / 2 + 12}" y="{at.Y
                - 3}" font-size="16" font-weight="600" fill="{Palette.Ink}">{at.Motor.Id}</text>{SpinMark.Draw(
                at.X + Wide / 2 - 16,
                at.Y - 9,
                at.Motor.Spin
            )}
            <text x="{at.X - Wide / 2 + 12}" y="{at.Y + 16}" font-size="12.5" fill="{Palette.Soft}">{line}</text>
            """
        );

    private static Markup Motor(DeskView view, PlanPlace at, string place, string? selected)
    {
        string line = place == "answer" ? Change(view, at.Motor) : Tilt(view, at.Motor);
        bool on = at.Motor.Id == selected;
        return Markup.Of(
            $"""<a href="{place}?motor={Uri.EscapeDataString(at.Motor.Id)}"{(on ? Markup.Of($" aria-current=\"true\"") : Markup.Empty)}>{Card(at, line, on)}</a>"""
        );
    }

    private static string Tilt(DeskView view, Motor motor)
    {
        MotorTilt? found = view.Survey?.Found(motor.Id),
            left = view.Survey?.Left(motor.Id);
        return found?.MagnitudeDeg is null && left?.MagnitudeDeg is null
            ? view.Readings.Any(r => r.MotorId == motor.Id)
                ? "begun"
                : "not read"
            : TiltFormat.Change(found, left).Replace(" → ?", "", StringComparison.Ordinal);
    }

    private static string Change(DeskView view, Motor motor) =>
        view.Answer.Result?.Whole.Motors.FirstOrDefault(m => m.Id == motor.Id)?.Orders.FirstOrDefault(o => o.Order == 1)
            is OrderChange { ChangeDb.Value: double db }
            ? $"×1 {Format.Signed(db, 1)} dB"
            : "×1 not known";
}
