using Microsoft.AspNetCore.Components;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Surveys;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;
using VibeCheck.Reports.Text;

namespace VibeCheck.Workbench.Parts;

/// <summary>Entry of the readings of one motor, with the tilt and the shims that follow from them.</summary>
public sealed partial class SurveyBench
{
    private static readonly TiltDirection[] s_ways = [TiltDirection.Across, TiltDirection.Along];
    private readonly Dictionary<(string?, GaugePlace, TiltDirection), string> _typed = [];
    private (string?, GaugePlace, TiltDirection)? _wrongAt;
    private bool? _hubOnce;
    private string? _began;
    private (string Motor, string Text)? _fitted;

    /// <summary>As found, or as left.</summary>
    [Parameter, EditorRequired]
    public SurveyTime When { get; set; }

    /// <summary>The motor that is open; null for the first one that is not read.</summary>
    [Parameter]
    public string? MotorId { get; set; }

    /// <summary>The open motor. Where none was chosen, the first one that was not read at the start, also after it is read.</summary>
    private Motor M =>
        Find(MotorId)
        ?? Find(_began ??= (View.Airframe!.Motors.FirstOrDefault(m => !IsRead(m)) ?? View.Airframe.Motors[0]).Id)
        ?? View.Airframe!.Motors[0];

    private Motor? Find(string? id) => id is null ? null : View.Airframe!.Find(id);

    private GaugeReading[] _readings => [.. View.Readings.Where(r => r.When == When)];

    private bool HubOnce => _readings.Any(r => r.Where == GaugePlace.Frame) ? _readings.Any(r => r.MotorId is null) : _hubOnce ?? false;

    private MotorTilt? Tilt => TiltOf(M) is { } tilt && (tilt.AcrossDeg.IsKnown || tilt.AlongDeg.IsKnown) ? tilt : null;

    private MotorShims? Shims => View.Plan?.Motors.FirstOrDefault(m => m.Motor.Id == M.Id && m.IsRead);

    private double Scale => TiltDial.ScaleFor(Tilt is { } tilt ? [tilt] : []);

    /// <summary>The shims under the motor: as typed here, else as the last reading of the motor after the work notes them.</summary>
    private string FittedText =>
        _fitted is (string motor, string text) && motor == M.Id
            ? text
            : View.Readings.LastOrDefault(r => r.When == SurveyTime.AsLeft && r.MotorId == M.Id && r.Fitted is not null)?.Fitted!.Text
                ?? "";

    /// <summary>Whether the noted shims are these, in whatever form they were written.</summary>
    private bool IsFitted(IReadOnlyList<BoltShims> planned) =>
        FittedShims.Read(M.Id, FittedText, View.Airframe!.BoltsOf(M)).Shims?.Bolts is { } fitted
        && FittedShims.TextOf(fitted) == FittedShims.TextOf(planned);

    private string? TakeFitted(string text)
    {
        if (text.Trim().Length > 0 && FittedShims.Read(M.Id, text.Trim(), View.Airframe!.BoltsOf(M)).NotRead is string part)
        {
            return $"'{part}' is not a place with its shims. Write a side or a bolt with its shims in mm, such as right 0.2; or none.";
        }

        _fitted = (M.Id, text.Trim());
        return null;
    }

    private MotorTilt? TiltOf(Motor motor) => When == SurveyTime.AsFound ? View.Survey?.Found(motor.Id) : View.Survey?.Left(motor.Id);

    private bool IsRead(Motor motor) => TiltOf(motor)?.AcrossDeg.IsKnown == true;

    private Motor? Neighbour(int step)
    {
        IReadOnlyList<Motor> motors = View.Airframe!.Motors;
        int at = motors.TakeWhile(m => m.Id != M.Id).Count() + step;
        return at >= 0 && at < motors.Count ? motors[at] : null;
    }

    private void Go(Motor motor) =>
        Navigation.NavigateTo($"job?motor={Uri.EscapeDataString(motor.Id)}#{(When == SurveyTime.AsFound ? "survey" : "left")}");

    private Markup Dial(MotorTilt tilt) =>
        new TiltDial(Scale, 52).Draw(
            new PlanPlace(M, 60, 60),
            When == SurveyTime.AsFound ? tilt : View.Survey?.Found(M.Id),
            When == SurveyTime.AsFound ? null : tilt
        );

    private static string TiltText(string way, Estimate tilt, TiltDirection direction) =>
        tilt.Value is null
            ? $"{way}: not read"
            : $"{way}: {ShimPlanText.Tilt(tilt, direction)}{(tilt.Ci95 is Interval ci ? $" ± {Format.Number(ci.Width / 2, 2)}" : "")}°";

    private string Do(MotorShims shims) =>
        shims is { Action: ShimAction.Shim, IsOneSided: false, Stacks: not null } ? "shim each bolt as drawn"
        : shims.Action == ShimAction.Shim && shims.Side is LowSide side
            ? $"shim {side.Word()} {ShimPlanText.Thickness(shims.ThicknessMm!.Value, Desk.Inch)} {(Desk.Inch ? "in" : "mm")}"
        : ShimPlanText.Short(shims);

    private string Typed(string? motor, GaugePlace where, TiltDirection direction) =>
        _typed.GetValueOrDefault((motor, where, direction), "");

    private static string PlaceName(string? motor, GaugePlace where, TiltDirection direction) =>
        $"{(where == GaugePlace.Frame ? "Frame" : "Mount")}{(motor is null ? " at the hub" : "")}, {(direction == TiltDirection.Across ? motor is null ? "right to left" : "across the arm" : motor is null ? "nose to tail" : "along the arm")}";

    /// <summary>Takes what was typed, with the side of the button that was pressed; a text that was not taken stays in the field.</summary>
    private void Take(string? motor, GaugePlace where, TiltDirection direction, LowSide? side)
    {
        string text = Typed(motor, where, direction).Trim();
        _wrongAt = (motor, where, direction);
        if (text.Length == 0)
        {
            Problem = "Type the angle that the gauge shows first, then tap the low side.";
            return;
        }

        string whole = side is LowSide pressed and not LowSide.Level ? $"{text} {pressed.Word()[0]}" : text;
        GaugeAnswer answer = GaugeAnswer.Read(whole, direction, hub: false);
        if (answer.Problem is string problem)
        {
            Problem = Grammar.Capital(problem);
            return;
        }

        if (answer.Readings.FirstOrDefault(r => r.Side is null) is not null)
        {
            Problem = "Say which side is low.";
            return;
        }

        GaugeReading[] readings =
        [
            .. answer.Readings.Select((r, i) => Reading(motor, where, direction, r) with { Note = i == 0 ? answer.Note : "" }),
        ];
        if (ReadingConflict.Find([.. View.Readings, .. readings]) is ReadingConflict conflict)
        {
            Problem =
                $"{SurveyFile.Text(conflict.First)} and {SurveyFile.Text(conflict.Second)} contradict each other: read "
                + "it again, or take the wrong one out.";
            return;
        }

        if (Try(() => Desk.Add(readings)))
        {
            _typed.Remove((motor, where, direction));
        }
    }

    private void TakeOut(string? motor, GaugePlace where, TiltDirection direction, GaugeReading reading)
    {
        _wrongAt = (motor, where, direction);
        Try(() => Desk.Remove(reading));
    }

    private GaugeReading Reading(string? motor, GaugePlace where, TiltDirection direction, TypedReading typed) =>
        new()
        {
            MotorId = motor,
            When = When,
            Where = where,
            Direction = typed.Direction ?? direction,
            LowDeg = typed.LowDeg,
            HighDeg = typed.HighDeg,
            LowSide = typed.Side!.Value,
            Turned = typed.Turned,
            Knock = typed.Knocked ? Knock.After : Knock.Before,
            Fitted =
                When == SurveyTime.AsLeft && motor is not null && FittedText.Length > 0
                    ? FittedShims.Read(motor, FittedText, View.Airframe!.BoltsOf(M)).Shims
                    : null,
        };
}
