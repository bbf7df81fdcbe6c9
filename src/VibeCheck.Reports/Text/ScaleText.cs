using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports.Text;

/// <summary>One flight on a scale, in words.</summary>
internal static class ScaleText
{
    /// <summary>One sentence; null where nothing is known. Never a pass or a fail.</summary>
    internal static string? Of(FlightAnalysis flight, IReadOnlyList<FlightAnalysis> earlier)
    {
        IReadOnlyList<ScaleReading> scale = FlightScale.Of(flight, earlier);
        if (scale.Count == 0)
        {
            return null;
        }

        string[] own = [.. scale.Where(r => r.Basis == ScaleBasis.OwnFlights).Select(Own)],
            common = [.. scale.Where(r => r.Basis == ScaleBasis.CommonPractice).Select(Common)];
        string against =
            own.Length == 0
                ? ""
                : $"Against {Say.Whole(scale.Max(r => r.Flights))} earlier flights of this aircraft: {string.Join("; ", own)}. ";
        return against
            + (
                common.Length == 0 ? "" : $"For small multirotors (common practice, no limit and no standard): {string.Join("; ", common)}."
            );
    }

    /// <summary>A quantity as a word of the JSON.</summary>
    internal static string Code(ScaleQuantity quantity) =>
        quantity switch
        {
            ScaleQuantity.AllVibration => "all-vibration",
            ScaleQuantity.RotorVibration => "rotor-vibration",
            ScaleQuantity.HottestMotor => "hottest-motor",
            ScaleQuantity.HottestEsc => "hottest-esc",
            ScaleQuantity.LargestLoad => "largest-load",
            _ => "yaw-trim",
        };

    /// <summary>A place as a word of the JSON.</summary>
    internal static string Code(ScalePlace place) =>
        place switch
        {
            ScalePlace.Low => "low",
            ScalePlace.Usual => "usual",
            ScalePlace.High => "high",
            _ => "very-high",
        };

    /// <summary>Unit of a quantity.</summary>
    internal static string Unit(ScaleQuantity quantity) =>
        quantity switch
        {
            ScaleQuantity.AllVibration or ScaleQuantity.RotorVibration => "m/s²",
            ScaleQuantity.HottestMotor or ScaleQuantity.HottestEsc => "°C",
            _ => "share",
        };

    private static string Own(ScaleReading r) =>
        $"{Name(r.Quantity)} {Amount(r.Quantity, r.Value)}, higher than {Say.Number(r.Percentile!.Value, 0)} % of them";

    private static string Common(ScaleReading r) =>
        $"{Name(r.Quantity)} {Amount(r.Quantity, r.Value)} is {Word(r.Place!.Value)} ({Amount(r.Quantity, r.Usual.Low)} to {Amount(r.Quantity, r.Usual.High)} is usual)";

    private static string Word(ScalePlace place) => Code(place).Replace('-', ' ');

    private static string Amount(ScaleQuantity quantity, double value) =>
        Unit(quantity) switch
        {
            "share" => $"{Say.Number(100 * value, 1)} %",
            "°C" => $"{Say.Number(value, 0)} °C",
            _ => $"{Say.Trimmed(value, 0, 1)} m/s²",
        };

    private static string Name(ScaleQuantity quantity) =>
        quantity switch
        {
            ScaleQuantity.AllVibration => "all vibration",
            ScaleQuantity.RotorVibration => "vibration from the rotors",
            ScaleQuantity.HottestMotor => "the hottest motor's rise",
            ScaleQuantity.HottestEsc => "the hottest ESC's rise",
            ScaleQuantity.LargestLoad => "the most loaded motor's share above an even one",
            _ => "the yaw trim's split",
        };
}
