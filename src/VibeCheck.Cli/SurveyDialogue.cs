using System.Globalization;
using VibeCheck.Core;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Surveys;
using VibeCheck.Reports.Text;

namespace VibeCheck.Cli;

/// <summary>Asks for a survey motor by motor. Every reading is saved before the next question; places already read are skipped.</summary>
/// <param name="airframe">The airframe.</param>
/// <param name="earlier">Readings taken before.</param>
/// <param name="when">As found or as left.</param>
/// <param name="input">Answers; its end stops the survey as q does.</param>
/// <param name="output">Questions.</param>
/// <param name="save">Saves one reading.</param>
/// <param name="removeLast">Removes the last saved reading.</param>
internal sealed class SurveyDialogue(
    Airframe airframe,
    IReadOnlyList<GaugeReading> earlier,
    SurveyTime when,
    TextReader input,
    TextWriter output,
    Action<GaugeReading> save,
    Action removeLast
)
{
    private readonly List<GaugeReading> _readings = [.. earlier];

    // Number of readings in each answer of this session: all readings typed in one line are removed together.
    private readonly Stack<int> _answers = [];
    private bool _stopped;

    private sealed record Step(Motor? Motor, GaugePlace Where, TiltDirection Direction)
    {
        internal bool Holds(GaugeReading r, SurveyTime when) =>
            r.MotorId == Motor?.Id && r.Where == Where && r.Direction == Direction && r.When == when;
    }

    /// <summary>Asks until every place is read, or the surveyor stops.</summary>
    /// <returns>All readings, the earlier ones included.</returns>
    internal IReadOnlyList<GaugeReading> Run(string path)
    {
        output.WriteLine(
            $"Survey of {airframe.Name}, {(when == SurveyTime.AsFound ? "before the work" : "after the work")}. Saved to {path} after "
                + $"every reading."
        );
        output.WriteLine("Propellers off, battery out. Sides are as seen from the hub, looking out along the arm.");
        Help();
        List<Step> steps = Steps(HubOnce());
        for (int i = 0; i < steps.Count && !_stopped; )
        {
            Heading(steps, i);
            i = AskOne(steps, i);
        }

        output.WriteLine(_stopped ? $"Stopped; the same command continues from here. {Missing(steps)}" : "The survey is complete.");
        return _readings;
    }

    private bool HubOnce()
    {
        if (_readings.Any(r => r.Where == GaugePlace.Frame && r.When == when))
        {
            return _readings.Any(r => r.MotorId is null && r.When == when);
        }

        // Any other answer is most likely a reading typed one question too early: it must not be lost without a message.
        while (true)
        {
            output.Write("Is the frame read once at the hub (h), or beside each motor (Enter)? ");
            string? answer = input.ReadLine();
            _stopped = answer is null || IsWord(answer, "q");
            if (_stopped || IsWord(answer!, "h") || string.IsNullOrWhiteSpace(answer))
            {
                if (!_stopped && IsWord(answer!, "h"))
                {
                    output.WriteLine("  The zero error of the gauge does not cancel unless the hub is read both ways: 0.1 r, t 0.1 l");
                }

                return !_stopped && IsWord(answer!, "h");
            }

            output.WriteLine("  Type h or press Enter; the readings come next.");
        }
    }

    private List<Step> Steps(bool hubOnce)
    {
        TiltDirection[] ways = [TiltDirection.Across, TiltDirection.Along];
        var steps = new List<Step>();
        if (hubOnce)
        {
            steps.AddRange(ways.Select(d => new Step(null, GaugePlace.Frame, d)));
        }

        GaugePlace[] places = hubOnce ? [GaugePlace.Mount] : [GaugePlace.Frame, GaugePlace.Mount];
        steps.AddRange(airframe.Motors.SelectMany(m => ways.SelectMany(d => places.Select(p => new Step(m, p, d)))));
        return steps;
    }

    private void Heading(List<Step> steps, int i)
    {
        Motor? motor = steps[i].Motor;
        if (motor is not null && (i == 0 || steps[i - 1].Motor != motor))
        {
            output.WriteLine();
            output.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{motor.Id} ({MotorNumber(motor)}), arm at {motor.AzimuthDeg:0.#}° from the "
                        + $"nose{(motor.Level == MotorLevel.Single ? "" : ", " + motor.Level.ToString().ToLowerInvariant() + " motor")}"
                )
            );
            if (motor.Level == MotorLevel.Lower)
            {
                output.WriteLine("  It hangs: hold the gauge to the same face from below, or lay it on top. Sides");
                output.WriteLine("  stay as seen from the hub looking out: do not mirror them.");
            }
        }
    }

    private string MotorNumber(Motor motor) =>
        string.Create(CultureInfo.InvariantCulture, $"{airframe.Motors.TakeWhile(m => m != motor).Count() + 1} of {airframe.Motors.Count}");

    /// <summary>One place; returns the number of the next step.</summary>
    private int AskOne(List<Step> steps, int i)
    {
        Step step = steps[i];
        bool noReference = step.Where == GaugePlace.Mount && !HasReference(step);
        if (noReference || _readings.Any(r => step.Holds(r, when)))
        {
            if (!noReference)
            {
                ShowTilt(step);
            }

            return i + 1;
        }

        while (true)
        {
            output.Write(Question(step));
            string? answer = input.ReadLine()?.Trim();
            if (answer is null || IsWord(answer, "q"))
            {
                _stopped = true;
                return i;
            }

            if (answer.Length == 0)
            {
                return i + 1;
            }

            if (IsWord(answer, "b") || IsWord(answer, "back"))
            {
                return Back(steps, i);
            }

            if (answer is "?" or "help")
            {
                Help();
            }
            else if (Accept(step, answer))
            {
                ShowTilt(step);
                return i + 1;
            }
        }
    }

    private bool HasReference(Step step) =>
        _readings.Any(r =>
            r.Where == GaugePlace.Frame && (r.MotorId is null || r.MotorId == step.Motor!.Id && r.Direction == step.Direction)
        );

    private int Back(List<Step> steps, int i)
    {
        if (_readings.Count == 0)
        {
            output.WriteLine("    Nothing to take back.");
            return i;
        }

        int count = _answers.TryPop(out int typed) ? typed : 1;
        GaugeReading[] taken = [.. _readings.TakeLast(count)];
        for (int n = 0; n < count; n++)
        {
            _readings.RemoveAt(_readings.Count - 1);
            removeLast();
        }

        output.WriteLine($"    Taken back: {string.Join(", ", taken.Select(SurveyFile.Text))}.");
        int at = steps.FindIndex(s => s.Holds(taken[0], when));
        return at < 0 ? i : at;
    }

    private bool Accept(Step step, string text)
    {
        GaugeAnswer answer = GaugeAnswer.Read(text, step.Direction, step.Motor is null);
        if (answer.Problem is string problem)
        {
            output.WriteLine($"    {problem}");
            return false;
        }

        var readings = new List<GaugeReading>();
        foreach (TypedReading typed in answer.Readings)
        {
            if (SideOf(step, typed) is not LowSide side)
            {
                return false;
            }

            readings.Add(Reading(step, typed, side) with { Note = readings.Count == 0 ? answer.Note : "" });
        }

        if (ReadingConflict.Find([.. _readings, .. readings]) is ReadingConflict conflict)
        {
            output.WriteLine(
                $"    {SurveyFile.Text(conflict.First)} and {SurveyFile.Text(conflict.Second)} contradict each other: read it again."
            );
            return false;
        }

        foreach (GaugeReading reading in readings)
        {
            _readings.Add(reading);
            save(reading);
        }

        _answers.Push(readings.Count);
        return true;
    }

    private GaugeReading Reading(Step step, TypedReading typed, LowSide side) =>
        new()
        {
            MotorId = step.Motor?.Id,
            When = when,
            Where = step.Where,
            Direction = typed.Direction ?? step.Direction,
            LowDeg = typed.LowDeg,
            HighDeg = typed.HighDeg,
            LowSide = side,
            Turned = typed.Turned,
            Knock = typed.Knocked ? Knock.After : Knock.Before,
        };

    /// <summary>The low side; the surveyor is asked where it was not typed. Null, with a message, where it stays unknown.</summary>
    private LowSide? SideOf(Step step, TypedReading typed)
    {
        switch (typed.Question)
        {
            case SideQuestion.TrialShim:
                LowSide? shown = Trial(step.Direction);
                if (shown is null)
                {
                    output.WriteLine("    The trial shim does not show a side: the mount may be level, or the shim too thin.");
                }

                return shown;
            case SideQuestion.Sign:
                output.Write($"    A minus sign does not say which side is low. Which one is it ({Sides(step)})? ");
                LowSide? told = GaugeAnswer.SideOf(input.ReadLine() ?? "", step.Direction, step.Motor is null);
                if (told is null)
                {
                    output.WriteLine("    Nothing was saved: type the reading again, without a sign and with its low side.");
                }

                return told;
            default:
                return typed.Side;
        }
    }

    /// <summary>The gauge does not show a side: a thin shim under its low end makes the reading smaller.</summary>
    private LowSide? Trial(TiltDirection direction)
    {
        (string first, string second) = direction == TiltDirection.Across ? ("left", "right") : ("in", "out");
        double? underFirst = Number($"    with a thin shim under its {first} end it shows: "),
            underSecond = Number($"    with the shim under its {second} end: ");
        return underFirst is not double a || underSecond is not double b || a == b ? null
            : direction == TiltDirection.Across
                ? b < a ? LowSide.Right
                    : LowSide.Left
            : b < a ? LowSide.Out
            : LowSide.In;
    }

    private double? Number(string question)
    {
        output.Write(question);
        return TypedNumber.Read(input.ReadLine(), out double deg) == TypedNumberForm.Number && deg is >= 0 and <= SurveyFile.LargestDeg
            ? deg
            : null;
    }

    private void ShowTilt(Step step)
    {
        if (step.Where != GaugePlace.Mount || step.Motor is null)
        {
            return;
        }

        Survey survey = TiltCombination.Of(airframe, _readings);
        MotorTilt? tilt = when == SurveyTime.AsFound ? survey.Found(step.Motor.Id) : survey.Left(step.Motor.Id);
        Estimate? deg = step.Direction == TiltDirection.Across ? tilt?.AcrossDeg : tilt?.AlongDeg;
        if (deg?.Ci95 is Interval ci)
        {
            string way = step.Direction == TiltDirection.Across ? "across" : "along",
                size = ShimPlanText.Tilt(deg, step.Direction);
            output.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"    tilt {way} the arm: {size}{(size == "0.00" ? "" : " low")}, ± {ci.Width / 2:F2}°"
                )
            );
        }
    }

    private static string Question(Step step)
    {
        string place = step.Where == GaugePlace.Frame ? "frame" : "mount",
            way = step.Direction == TiltDirection.Across ? "across" : "along";
        return step.Motor is null
            ? $"  hub, {(step.Direction == TiltDirection.Across ? "right to left" : "nose to tail")} ({Sides(step)}): "
            : $"  {step.Motor.Id} {place} {way} ({Sides(step)}): ";
    }

    private static string Sides(Step step) => GaugeAnswer.Sides(step.Direction, step.Motor is null);

    private string Missing(List<Step> steps)
    {
        int left = steps.Count(s => !_readings.Any(r => s.Holds(r, when)));
        return left == 1 ? "1 place is not read." : $"{left.ToString(CultureInfo.InvariantCulture)} places are not read.";
    }

    private void Help()
    {
        output.WriteLine("Type what the gauge shows and the low side: 0.4 r   0.4/0.5 l (flickers)   0");
        output.WriteLine("Read each place twice, the gauge lifted in between: 0.4 r, 0.5 r");
        output.WriteLine("A note: 0.4 r # warm");
        output.WriteLine("Bull's-eye level: 0.3 @ 2 (bubble at 0.3°, at 2 o'clock; 12 is out, 3 right)");
        output.WriteLine("Gauge turned by 180°: t 0.3 r   after a knock: k 0.4 r   side unknown: 0.4 ?");
        output.WriteLine("Enter skips, b takes the last line back, q stops, ? shows this again.");
    }

    private static bool IsWord(string text, string word) => text.Trim().Equals(word, StringComparison.OrdinalIgnoreCase);
}
