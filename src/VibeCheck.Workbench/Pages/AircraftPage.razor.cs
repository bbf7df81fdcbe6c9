using System.Globalization;
using Microsoft.AspNetCore.Components.Web;
using VibeCheck.Core;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Airframes;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Formatting;
using VibeCheck.Workbench.Jobs;
using VibeCheck.Workbench.Parts;

namespace VibeCheck.Workbench.Pages;

/// <summary>The page on which the aircraft is drawn.</summary>
public sealed partial class AircraftPage
{
    private static readonly (ArmLayout, string, string)[] s_layouts =
    [
        (ArmLayout.NoseBetweenArms, "X", "nose between two arms"),
        (ArmLayout.NoseOnArm, "+", "an arm at the nose"),
        (ArmLayout.Rectangle, "H", "four arms, wider or longer"),
    ];

    private static readonly string[] s_patterns = ["square", "rectangle", "cross", "diagonals", "three", "two"];
    private AircraftDraft _draft = AircraftDraft.New("My aircraft");
    private string _bolts = "";

    // The unit of the text of the bolts.
    private bool _boltsInch;
    private bool _saved;

    // The aircraft as its file had it when the page was opened or saved.
    private string _opened = "";

    private Airframe A => _draft.Airframe;

    /// <summary>The file of the aircraft, as it is named on the page.</summary>
    private string FileName => ShowableText.OneLine(Desk.Folder.NameOf(Desk.AirframePath));

    private string Unit => Desk.Inch ? "inch" : "mm";

    private AirframePlan Plan => AirframePlan.Of(A, MapDrawing.Wide, MapDrawing.High, 340);

    private ShimKit Kit => A.ShimKit ?? ShimKit.Usual;

    private string Shims => string.Join(' ', Kit.ThicknessesMm.Select(t => AircraftDraft.Shown(t, Desk.Inch)));

    private string ShimsHint =>
        $"Separated by spaces, such as {(Desk.Inch ? "0.004 0.008 0.012" : "0.1 0.2 0.3")}"
        + (Kit.Counts is null ? "" : $". {FileName} counts the pieces; the counts end when a thickness is added");

    private string BoltsHint =>
        Desk.Inch
            ? "square 1.125, rectangle 1.1x1.2, cross 1, diagonals 0.63x0.75, three 1 or two 1"
            : "square 28.6, rectangle 28.6x30, cross 25, diagonals 16x19, three 25 or two 25";

    /// <summary>The bolts as they were typed, with their lengths in the unit that is shown now.</summary>
    private string BoltsText => _boltsInch == Desk.Inch ? _bolts : BoltWords.WithUnit(_bolts, _boltsInch, Desk.Inch);

    /// <summary>The first motor without shims, for the drawing of its bolts.</summary>
    private MotorShims Bare =>
        new()
        {
            Motor = A.Motors[0] with { Level = MotorLevel.Single },
            Tilt = null,
            Action = ShimAction.Leave,
            Why = new VibeCheck.Core.Statistics.NotMeasured(),
        };

    /// <inheritdoc/>
    protected override void OnInitialized()
    {
        base.OnInitialized();
        _draft = View.Airframe is Airframe known ? AircraftDraft.Of(known) : AircraftDraft.New("My aircraft");
        (_bolts, _boltsInch) = (BoltsShown(), Desk.Inch);
        _opened = TextInFile;
    }

    /// <summary>The aircraft as its file has it; empty without one.</summary>
    private string TextInFile => View.Airframe is Airframe airframe ? AirframeText.Of(airframe, null) : "";

    private static string Number(double? value) => value?.ToString("0.###", CultureInfo.InvariantCulture) ?? "";

    private string Shown(double mm) => AircraftDraft.Shown(mm, Desk.Inch);

    private static string Line(Motor motor) =>
        $"{(motor.Spin == Spin.Clockwise ? "cw" : "ccw")}{(motor.Level == MotorLevel.Single ? "" : ", " + motor.Level.ToString().ToLowerInvariant())}";

    private string BoltsShown() =>
        A.Bolts is not BoltPattern bolts ? ""
        : bolts.Bolts.Count == 4
        && bolts.Bolts.All(b =>
            Math.Abs(Math.Abs(b.AcrossMm) - bolts.AcrossSpanMm / 2) < 0.001 && Math.Abs(Math.Abs(b.AlongMm) - bolts.AlongSpanMm / 2) < 0.001
        )
            ? bolts.AcrossSpanMm == bolts.AlongSpanMm ? $"square {Shown(bolts.AcrossSpanMm)}"
                : $"rectangle {Shown(bolts.AcrossSpanMm)}x{Shown(bolts.AlongSpanMm)}"
        : $"as in {FileName}";

    private string Pattern(string word) =>
        Desk.Inch
            ? word switch
            {
                "rectangle" => "rectangle 1.1x1.2",
                "diagonals" => "diagonals 0.63x0.75",
                "square" => "square 1.125",
                _ => word + " 1",
            }
            : word switch
            {
                "rectangle" => "rectangle 28.6x30",
                "diagonals" => "diagonals 16x19",
                "square" => "square 28.6",
                _ => word + " 25",
            };

    private string? Set(AircraftDraft draft)
    {
        (_draft, _saved) = (draft, false);
        return null;
    }

    private void Turn(Motor motor) => Set(_draft.WithSpinTurned(motor.Id));

    private void OnKey(KeyboardEventArgs e, Motor motor)
    {
        if (e.Key is "Enter" or " ")
        {
            Turn(motor);
        }
    }

    private string? Length(string text, AircraftDraft? draft) =>
        draft is null ? $"Give a length between 20 mm and 40 m, such as {(Desk.Inch ? "17.7 or 450 mm" : "450 or 17.7 in")}." : Set(draft);

    private string? TakeMass(string text) =>
        string.IsNullOrWhiteSpace(text) ? Set(_draft with { Airframe = A with { MassKg = null } })
        : TypedNumber.Read(text.ToLowerInvariant().Replace("kg", "", StringComparison.Ordinal), out double kg) == TypedNumberForm.Number
        && kg is >= 0.005 and <= 5000
            ? Set(_draft with { Airframe = A with { MassKg = kg } })
        : "Give the take-off mass in kg, such as 6.8.";

    private string? TakeBlades(string text) =>
        Whole(text, 12) is int blades
            ? Set(_draft.WithEach(m => m with { Blades = blades }))
            : "Give the blades of one propeller, 1 to 12.";

    private string? TakePoles(string text) =>
        string.IsNullOrWhiteSpace(text) ? Set(_draft.WithEach(m => m with { PolePairs = null }))
        : Whole(text, 100) is int pairs ? Set(_draft.WithEach(m => m with { PolePairs = pairs }))
        : "Give half the number of magnets in the bell, 1 to 100.";

    private string? TakeNames(string text) =>
        _draft.WithNames(text) is AircraftDraft named
            ? Set(named)
            : $"Give {A.Motors.Count} different names, separated by spaces; none of them *.";

    private string? TakeName(string text) =>
        string.IsNullOrWhiteSpace(text) ? "Give the aircraft a name." : Set(_draft with { Airframe = A with { Name = text.Trim() } });

    private string? TakeBolts(string text)
    {
        if (string.IsNullOrWhiteSpace(text))
        {
            (_bolts, _boltsInch) = ("", Desk.Inch);
            return Set(_draft with { Airframe = A with { Bolts = null } });
        }

        (BoltWords? bolts, string? problem) = BoltWords.Read(text, Desk.Inch);
        if (bolts is null)
        {
            return problem;
        }

        (_bolts, _boltsInch) = (text.Trim(), Desk.Inch);
        return Set(_draft with { Airframe = A with { Bolts = bolts.Pattern } });
    }

    private string? TakeShims(string text) =>
        AircraftDraft.KitOf(text, Desk.Inch, Kit) is ShimKit kit
            ? Set(_draft with { Airframe = A with { ShimKit = kit } })
            : "Give the thicknesses at hand, separated by spaces, "
                + (
                    Desk.Inch
                        ? "0.0002 to 0.19 inch, such as 0.004 0.008 0.012 or 0.1 mm."
                        : "0.005 to 5 mm, such as 0.1 0.2 0.3 or 0.004 in."
                );

    private string? TakeStack(string text) =>
        Whole(text, 5) is int most
            ? Set(_draft with { Airframe = A with { ShimKit = (A.ShimKit ?? ShimKit.Usual) with { MaxStack = most } } })
            : "Give the most pieces that may lie under one bolt, 1 to 5.";

    private static int? Whole(string text, int most) =>
        int.TryParse(text.Trim(), NumberStyles.None, CultureInfo.InvariantCulture, out int number) && number >= 1 && number <= most
            ? number
            : null;

    private void Save()
    {
        _saved = false;
        if (!Try(Desk.LookAtFiles))
        {
            return;
        }

        if (TextInFile != _opened)
        {
            _opened = TextInFile;
            Problem =
                "It was not saved, because the aircraft was changed in another page or by hand since this page was opened. Load the page again to "
                + "see that change, or save once more to replace it.";
            return;
        }

        _saved = Try(() => Desk.Save(A));
        _opened = TextInFile;
    }
}
