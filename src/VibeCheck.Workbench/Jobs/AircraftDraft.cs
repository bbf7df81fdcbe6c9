using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Logs.Airframes;

namespace VibeCheck.Workbench.Jobs;

/// <summary>An aircraft while it is being drawn: the layout that places its motors, and all other data of its file.</summary>
public sealed record AircraftDraft
{
    /// <summary>Fewest arms that can be drawn.</summary>
    public const int FewestArms = 3;

    /// <summary>Most arms that can be drawn.</summary>
    public const int MostArms = 12;

    private const double LeastMm = 20,
        MostMm = 40_000;
    private const double LeastShimMm = 0.005,
        MostShimMm = 5;

    /// <summary>The present aircraft.</summary>
    public required Airframe Airframe { get; init; }

    /// <summary>Number of arms.</summary>
    public required int Arms { get; init; }

    /// <summary>How the arms are placed; null where the file places them in none of these layouts.</summary>
    public required ArmLayout? Layout { get; init; }

    /// <summary>Whether each arm carries an upper and a lower motor.</summary>
    public required bool Coaxial { get; init; }

    /// <summary>From motor axis to motor axis over the centre, mm.</summary>
    public required double SpanMm { get; init; }

    /// <summary>Between the left and the right motors of a rectangle, mm.</summary>
    public required double WideMm { get; init; }

    /// <summary>Between the front and the rear motors of a rectangle, mm.</summary>
    public required double LongMm { get; init; }

    /// <summary>A new aircraft to begin with: four arms, single motors.</summary>
    public static AircraftDraft New(string name) =>
        new AircraftDraft
        {
            Airframe = new Airframe { Name = name, Motors = [new("M1", 0, 0.3, Spin.Clockwise, MotorLevel.Single, 2, null)] },
            Arms = 4,
            Layout = ArmLayout.NoseBetweenArms,
            Coaxial = false,
            SpanMm = 450,
            WideMm = 360,
            LongMm = 300,
        }.WithMotors();

    /// <summary>The draft of an existing aircraft.</summary>
    public static AircraftDraft Of(Airframe airframe)
    {
        ArgumentNullException.ThrowIfNull(airframe);
        bool coaxial = airframe.Motors.All(m => m.Level != MotorLevel.Single);
        int arms = airframe.Motors.Count / (coaxial ? 2 : 1);
        double spanMm = Math.Round(2000 * airframe.Motors[0].ArmM, 3);
        AircraftDraft draft = new()
        {
            Airframe = airframe,
            Arms = arms,
            Layout = null,
            Coaxial = coaxial,
            SpanMm = spanMm,
            WideMm = Math.Round(spanMm * Math.Abs(Math.Sin(double.DegreesToRadians(airframe.Motors[0].AzimuthDeg))), 1),
            LongMm = Math.Round(spanMm * Math.Abs(Math.Cos(double.DegreesToRadians(airframe.Motors[0].AzimuthDeg))), 1),
        };
        ArmLayout[] possible =
        [
            ArmLayout.NoseBetweenArms,
            ArmLayout.NoseOnArm,
            .. arms == 4 && draft.WideMm > 0 && draft.LongMm > 0 ? (ArmLayout[])[ArmLayout.Rectangle] : [],
        ];
        ArmLayout? layout = possible
            .Where(l => arms is >= FewestArms and <= MostArms && Stands(airframe, draft.Places(l), coaxial))
            .Cast<ArmLayout?>()
            .FirstOrDefault();
        return draft with { Layout = layout };
    }

    /// <summary>The same with another number of arms; unchanged where the number is out of range.</summary>
    public AircraftDraft WithArms(int arms) =>
        arms is < FewestArms or > MostArms
            ? this
            : (
                this with
                {
                    Arms = arms,
                    Layout = Layout is null or ArmLayout.Rectangle && arms != 4 ? ArmLayout.NoseBetweenArms : Layout,
                }
            ).WithMotors();

    /// <summary>The same with another layout.</summary>
    public AircraftDraft WithLayout(ArmLayout layout) =>
        (this with { Layout = layout, Arms = layout == ArmLayout.Rectangle ? 4 : Math.Clamp(Arms, FewestArms, MostArms) }).WithMotors();

    /// <summary>The same with one motor per arm, or two.</summary>
    public AircraftDraft WithCoaxial(bool coaxial) =>
        (this with { Coaxial = coaxial, Layout = Layout ?? ArmLayout.NoseBetweenArms }).WithMotors();

    /// <summary>The same with another span; null where the text is not a length from 20 mm to 40 m.</summary>
    public AircraftDraft? WithSpan(string text, bool inch) =>
        Length(text, inch) is double mm ? (this with { SpanMm = mm }).WithMotors() : null;

    /// <summary>The same with another width; null where the text is not a length from 20 mm to 40 m.</summary>
    public AircraftDraft? WithWide(string text, bool inch) =>
        Length(text, inch) is double mm ? (this with { WideMm = mm }).WithMotors() : null;

    /// <summary>The same with another length; null where the text is not a length from 20 mm to 40 m.</summary>
    public AircraftDraft? WithLong(string text, bool inch) =>
        Length(text, inch) is double mm ? (this with { LongMm = mm }).WithMotors() : null;

    /// <summary>The same with one motor turning the other way.</summary>
    public AircraftDraft WithSpinTurned(string id) =>
        WithEach(m => m.Id != id ? m : m with { Spin = m.Spin == Spin.Clockwise ? Spin.CounterClockwise : Spin.Clockwise });

    /// <summary>The same with a change made to every motor.</summary>
    public AircraftDraft WithEach(Func<Motor, Motor> change) =>
        this with
        {
            Airframe = Airframe with { Motors = [.. Airframe.Motors.Select(change)] },
        };

    /// <summary>The same with other names, clockwise from the nose; null where their number is wrong, two are equal, or one is *.</summary>
    public AircraftDraft? WithNames(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        string[] names = text.Split([' ', ',', ';'], StringSplitOptions.RemoveEmptyEntries);

        // In a survey * is the hub.
        return
            names.Length != Airframe.Motors.Count
            || names.Distinct(StringComparer.OrdinalIgnoreCase).Count() < names.Length
            || names.Contains("*")
            ? null
            : this with
            {
                Airframe = Airframe with { Motors = [.. Airframe.Motors.Select((m, i) => m with { Id = names[i] })] },
            };
    }

    /// <summary>Places the motors by the layout. Where their number stays, names, spins, blades, pole pairs and bolts are kept.</summary>
    private AircraftDraft WithMotors()
    {
        if (Layout is not ArmLayout layout)
        {
            return this;
        }

        IReadOnlyList<Motor> now = Airframe.Motors;
        int count = Arms * (Coaxial ? 2 : 1);
        bool same = now.Count == count;
        IReadOnlyList<Motor> motors = AirframeLayout.Motors(
            Places(layout),
            Coaxial,
            same ? [.. now.Select(m => m.Id)] : null,
            same ? [.. now.Select(m => m.Spin)] : [now[0].Spin],
            now[0].Blades,
            now[0].PolePairs
        );
        return this with
        {
            Airframe = Airframe with
            {
                Motors =
                [
                    .. motors.Select(
                        (m, i) => same ? m with { Bolts = now[i].Bolts, Blades = now[i].Blades, PolePairs = now[i].PolePairs } : m
                    ),
                ],
            },
        };
    }

    private IReadOnlyList<(double AzimuthDeg, double ArmM)> Places(ArmLayout layout) =>
        layout == ArmLayout.Rectangle
            ? AirframeLayout.Rectangle(WideMm / 1000, LongMm / 1000)
            : AirframeLayout.Even(Arms, layout, Math.Round(SpanMm / 2000, 5));

    private static bool Stands(Airframe airframe, IReadOnlyList<(double AzimuthDeg, double ArmM)> places, bool coaxial)
    {
        const double SameDeg = 0.05,
            SameM = 0.0002;
        int each = coaxial ? 2 : 1;
        return airframe.Motors.Count == each * places.Count
            && airframe
                .Motors.Select((m, i) => (m, place: places[i / each]))
                .All(p =>
                    Math.Abs(Math.IEEERemainder(p.m.AzimuthDeg - p.place.AzimuthDeg, 360)) < SameDeg
                    && Math.Abs(p.m.ArmM - p.place.ArmM) < SameM
                );
    }

    private static double? Length(string text, bool inch) =>
        TypedLength.ReadMm(text, inch) is double mm and >= LeastMm and <= MostMm ? mm : null;

    /// <summary>A shim kit as it was typed: thicknesses with spaces, semicolons or commas followed by a space between them, each with a
    /// decimal point or comma. A unit holds for the bare numbers before it as well, as in 0.004 0.008 in.</summary>
    /// <param name="text">As typed.</param>
    /// <param name="inch">Whether bare numbers are in inches; else in millimetres.</param>
    /// <param name="now">The present kit. A thickness that reads as one of its own, once it is rounded for the page, is that one.</param>
    /// <returns>The kit; null where a part of the text is no thickness from 0.005 to 5 mm.</returns>
    internal static ShimKit? KitOf(string text, bool inch, ShimKit now)
    {
        double?[] typed = [.. WithUnits(text).Select(t => TypedLength.ReadMm(t, inch))];
        if (typed.Length == 0 || typed.Any(t => t is not (>= LeastShimMm and <= MostShimMm)))
        {
            return null;
        }

        double Known(double mm) =>
            now.ThicknessesMm.Where(t => Shown(t, inch) == Shown(mm, inch)).DefaultIfEmpty(Math.Round(mm, 4)).First();
        double[] mm = [.. typed.Select(t => Known(t!.Value)).Distinct().Order()];
        int[] places =
        [
            .. mm.Select(t => now.ThicknessesMm.Index().Where(o => o.Item == t).Select(o => o.Index).DefaultIfEmpty(-1).First()),
        ];
        return new(mm, now.MaxStack)
        {
            Counts = now.Counts is { } counts && !places.Contains(-1) ? [.. places.Select(p => counts[p])] : null,
        };
    }

    /// <summary>The numbers of a text, each with the unit that holds for it; without one where none follows.</summary>
    private static List<string> WithUnits(string text)
    {
        string unit = "";
        bool isAlone = false;
        List<string> numbers = [];
        foreach (
            string word in text.Split([' ', ';', '\t', '\u00a0'], StringSplitOptions.RemoveEmptyEntries)
                .Select(w => w.TrimEnd(','))
                .Reverse()
        )
        {
            int digits = word.AsSpan().LastIndexOfAnyInRange('0', '9') + 1;
            unit = digits < word.Length ? word[digits..] : unit;
            isAlone = digits == 0;
            if (digits > 0)
            {
                numbers.Add(word[..digits] + unit);
            }
        }

        // A unit before the first number holds for none.
        numbers.Reverse();
        return isAlone ? [] : numbers;
    }

    /// <summary>A length as text for a field, without its unit.</summary>
    internal static string Shown(double mm, bool inch) =>
        (inch ? mm / 25.4 : mm).ToString(inch ? "0.####" : "0.###", CultureInfo.InvariantCulture);
}
