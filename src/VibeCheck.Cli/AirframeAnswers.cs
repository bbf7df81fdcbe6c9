using System.Globalization;
using VibeCheck.Core;
using VibeCheck.Core.Airframes;
using VibeCheck.Logs.Airframes;

namespace VibeCheck.Cli;

/// <summary>Data of an airframe from options or answers; each member is checked by
/// itself, so that a mistake is reported at once.</summary>
internal sealed record AirframeAnswers
{
    internal string Name { get; init; } = "My aircraft";

    internal int Arms { get; init; } = 4;

    internal ArmLayout Layout { get; init; }

    internal bool Coaxial { get; init; }

    /// <summary>Between motor axes over the centre, mm; null for a rectangle.</summary>
    internal double? SpanMm { get; init; }

    internal double? WideMm { get; init; }

    internal double? LongMm { get; init; }

    internal IReadOnlyList<Spin> Spins { get; init; } = [Spin.Clockwise];

    internal IReadOnlyList<string>? Ids { get; init; }

    internal int Blades { get; init; } = 2;

    internal int? PolePairs { get; init; }

    internal double? MassKg { get; init; }

    internal BoltWords? Bolts { get; init; }

    internal IReadOnlyList<double>? ShimsMm { get; init; }

    internal int MotorCount => Arms * (Coaxial ? 2 : 1);

    /// <summary>The airframe.</summary>
    internal Airframe ToAirframe()
    {
        IReadOnlyList<(double, double)> arms =
            Layout == ArmLayout.Rectangle
                ? AirframeLayout.Rectangle(WideMm!.Value / 1000, LongMm!.Value / 1000)
                : AirframeLayout.Even(Arms, Layout, Math.Round(SpanMm!.Value / 2000, 5));
        return new()
        {
            Name = Name,
            MassKg = MassKg,
            Bolts = Bolts?.Pattern,
            ShimKit = ShimsMm is null ? null : new ShimKit(ShimsMm, ShimKit.Usual.MaxStack),
            Motors = AirframeLayout.Motors(arms, Coaxial, Ids, Spins, Blades, PolePairs),
        };
    }

    /// <summary>Each of these methods adds a typed text to the answers, or returns what is wrong with it.</summary>
    internal (AirframeAnswers? Answers, string? Problem) WithArms(string text) =>
        int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int arms)
        && arms is >= AirframeLayout.FewestArms and <= AirframeLayout.MostArms
            ? (this with { Arms = arms }, null)
            : (null, "Give the number of arms, 3 to 16; a coaxial pair shares one.");

    internal (AirframeAnswers? Answers, string? Problem) WithShape(string text) =>
        text.ToLowerInvariant() switch
        {
            "x" or "y" => (this with { Layout = ArmLayout.NoseBetweenArms }, null),
            "plus" or "+" => (this with { Layout = ArmLayout.NoseOnArm }, null),
            "rectangle" or "h" when Arms == 4 => (this with { Layout = ArmLayout.Rectangle }, null),
            "rectangle" or "h" => (null, "A rectangle has four arms. Give x or plus."),
            _ => (null, "Give x (nose between two arms), plus (an arm at the nose) or rectangle (four arms, wider or longer)."),
        };

    internal (AirframeAnswers? Answers, string? Problem) WithCoaxial(string text) =>
        text.ToLowerInvariant() switch
        {
            "y" or "yes" => (this with { Coaxial = true }, null),
            "n" or "no" => (this with { Coaxial = false }, null),
            _ => (null, "Type y or n."),
        };

    internal (AirframeAnswers? Answers, string? Problem) WithSpan(string text, bool inch) =>
        Size(text, inch, mm => this with { SpanMm = mm });

    internal (AirframeAnswers? Answers, string? Problem) WithWide(string text, bool inch) =>
        Size(text, inch, mm => this with { WideMm = mm });

    internal (AirframeAnswers? Answers, string? Problem) WithLong(string text, bool inch) =>
        Size(text, inch, mm => this with { LongMm = mm });

    internal (AirframeAnswers? Answers, string? Problem) WithSpins(string text)
    {
        Spin?[] spins =
        [
            .. Words(text)
                .Select(w =>
                    w.ToLowerInvariant() switch
                    {
                        "cw" => Spin.Clockwise,
                        "ccw" => Spin.CounterClockwise,
                        _ => (Spin?)null,
                    }
                ),
        ];
        return spins.Length == 0 || spins.Any(s => s is null) ? (null, "Give cw or ccw, as seen from above.")
            : spins.Length != 1 && spins.Length != MotorCount
                ? (null, $"Give one spin, that of the first motor, or {MotorCount}, clockwise from the nose.")
            : (this with { Spins = [.. spins.Select(s => s!.Value)] }, null);
    }

    internal (AirframeAnswers? Answers, string? Problem) WithIds(string text)
    {
        string[] ids = Words(text);
        return ids.Length != MotorCount
                ? (null, $"Give {MotorCount} names, clockwise from the nose{(Coaxial ? ", of each pair the upper motor first" : "")}.")
            : ids.Distinct(StringComparer.OrdinalIgnoreCase).Count() < ids.Length ? (null, "Two motors have the same name.")
            : (this with { Ids = ids }, null);
    }

    internal (AirframeAnswers? Answers, string? Problem) WithBlades(string text) =>
        int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int blades) && blades is >= 1 and <= 12
            ? (this with { Blades = blades }, null)
            : (null, "Give the blades of one propeller, 1 to 12.");

    internal (AirframeAnswers? Answers, string? Problem) WithPolePairs(string text) =>
        int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int pairs) && pairs is >= 1 and <= 100
            ? (this with { PolePairs = pairs }, null)
            : (null, "Give half the number of magnets in the bell, 1 to 100.");

    internal (AirframeAnswers? Answers, string? Problem) WithMass(string text) =>
        TypedNumber.Read(text.ToLowerInvariant().Replace("kg", "", StringComparison.Ordinal), out double kg) == TypedNumberForm.Number
        && kg is >= 0.005 and <= 5000
            ? (this with { MassKg = kg }, null)
            : (null, "Give the take-off mass in kg, such as 6.8.");

    internal (AirframeAnswers? Answers, string? Problem) WithBolts(string text, bool inch) =>
        BoltWords.Read(text, inch) is (BoltWords bolts, _)
            ? (this with { Bolts = bolts }, null)
            : (null, BoltWords.Read(text, inch).Problem);

    internal (AirframeAnswers? Answers, string? Problem) WithShims(string text, bool inch)
    {
        double?[] mm =
        [
            .. text.Split([' ', ';'], StringSplitOptions.RemoveEmptyEntries).Select(w => TypedLength.ReadMm(w.TrimEnd(','), inch)),
        ];
        return mm.Length == 0 || mm.Any(t => t is not (>= 0.005 and <= 5))
            ? (null, "Give the thicknesses at hand with blanks between them, 0.005 to 5 mm, such as 0.1 0.2 0.3.")
            : (this with { ShimsMm = [.. mm.Select(t => Math.Round(t!.Value, 4)).Distinct().Order()] }, null);
    }

    private static (AirframeAnswers? Answers, string? Problem) Size(string text, bool inch, Func<double, AirframeAnswers> with) =>
        TypedLength.ReadMm(text, inch) is double mm and >= 20 and <= 40000
            ? (with(mm), null)
            : (null, $"Give a length between 20 mm and 40 m, such as {(inch ? "17.7 or 450 mm" : "450 or 17.7 in")}.");

    private static string[] Words(string text) =>
        text.Split([' ', ',', ';'], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
}
