using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>One flight on a scale, in words.</summary>
internal static class ScaleText
{
    /// <summary>One or two sentences, never a pass or a fail; null where nothing is known.</summary>
    internal static string? Of(FlightAnalysis flight, IReadOnlyList<FlightAnalysis> earlier)
    {
        IReadOnlyList<ScaleReading> scale = FlightScale.Of(flight, earlier);
        if (scale.Count == 0)
        {
            return null;
        }

        string[] own = [.. scale.Where(r => r.Basis == ScaleBasis.OwnFlights).Select(Own)],
            common = [.. scale.Where(r => r.Basis == ScaleBasis.CommonPractice).Select(Common)];
        string[] sentences =
        [
            .. own.Length == 0
                ? (string[])[]
                :
                [
                    $"Compared with {Grammar.Count(scale.Max(r => r.Flights), "earlier flight")} of this aircraft: {string.Join("; ", own)}.",
                ],
            .. common.Length == 0
                ? (string[])[]
                :
                [
                    "Compared with what is usual on small multirotors (common practice, not a limit; the usual range in brackets): "
                        + $"{string.Join("; ", common)}.",
                ],
        ];
        return string.Join(' ', sentences);
    }

    /// <summary>Unit of a quantity; "share" where it is a fraction.</summary>
    internal static string Unit(ScaleQuantity quantity) =>
        quantity switch
        {
            ScaleQuantity.AllVibration or ScaleQuantity.RotorVibration => "m/s²",
            ScaleQuantity.HottestMotor or ScaleQuantity.HottestEsc => "°C",
            _ => "share",
        };

    /// <summary>Why a reading has no percentile, or no place.</summary>
    internal static string Why(ScaleReading reading) =>
        reading.Basis == ScaleBasis.OwnFlights
            ? "compared with earlier flights of this aircraft, so it has no place by common practice"
            : $"fewer than {Grammar.Count(FlightScale.LeastFlights, "earlier flight")} of this aircraft: compared with common "
                + "practice, which has no percentile";

    private static string Own(ScaleReading r) =>
        $"{Name(r.Quantity)} {Amount(r.Quantity, r.Value)}, higher than {Format.Number(r.Percentile!.Value, 0)} % of them";

    private static string Common(ScaleReading r) =>
        $"{Name(r.Quantity)} {Amount(r.Quantity, r.Value)}, {Word(r.Place!.Value)} ({Number(r.Quantity, r.Usual.Low)} "
        + $"to {Number(r.Quantity, r.Usual.High)})";

    /// <summary>A value compared with common practice.</summary>
    internal static string Word(ScalePlace place) =>
        place switch
        {
            ScalePlace.Low => "low",
            ScalePlace.Usual => "usual",
            ScalePlace.High => "high",
            _ => "very high",
        };

    /// <summary>A value with its unit; a share in percent.</summary>
    internal static string Amount(ScaleQuantity quantity, double value) =>
        Number(quantity, value) + (Unit(quantity) == "share" ? " %" : " " + Unit(quantity));

    /// <summary>A value without its unit; a share in percent.</summary>
    internal static string Number(ScaleQuantity quantity, double value) =>
        Unit(quantity) switch
        {
            "share" => Format.Trimmed(100 * value, 0, 1),
            "°C" => Format.Number(value, 0),
            _ => Format.Trimmed(value, 0, 1),
        };

    /// <summary>What a quantity is called.</summary>
    internal static string Name(ScaleQuantity quantity) =>
        quantity switch
        {
            ScaleQuantity.AllVibration => "total vibration",
            ScaleQuantity.RotorVibration => "vibration from the rotors",
            ScaleQuantity.HottestMotor => "hottest motor's rise",
            ScaleQuantity.HottestEsc => "hottest ESC's rise",
            ScaleQuantity.LargestLoad => "most loaded motor above an even share",
            _ => "yaw trim",
        };
}
