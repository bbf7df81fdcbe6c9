using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Findings;

/// <summary>The reference with which a reading is compared.</summary>
public enum ScaleBasis
{
    /// <summary>Earlier flights of the same aircraft.</summary>
    OwnFlights,

    /// <summary>Small multirotors, by common practice; not a limit and not a standard.</summary>
    CommonPractice,
}

/// <summary>Quantities of the scale.</summary>
public enum ScaleQuantity
{
    /// <summary>All vibration of the hover, m/s² rms.</summary>
    AllVibration,

    /// <summary>Vibration of the rotors, m/s² rms.</summary>
    RotorVibration,

    /// <summary>Steady rise of the hottest motor, °C.</summary>
    HottestMotor,

    /// <summary>Steady rise of the hottest ESC, °C.</summary>
    HottestEsc,

    /// <summary>Largest load share of a motor above an even one, 1 = 100 %.</summary>
    LargestLoad,

    /// <summary>Yaw trim, size of the split.</summary>
    YawTrim,
}

/// <summary>The place of a value among others.</summary>
public enum ScalePlace
{
    /// <summary>Lower than most.</summary>
    Low,

    /// <summary>Like most.</summary>
    Usual,

    /// <summary>Higher than most.</summary>
    High,

    /// <summary>Higher than almost all.</summary>
    VeryHigh,
}

/// <summary>One value of a flight on a scale; never a pass or a fail.</summary>
/// <param name="Quantity">What it is.</param>
/// <param name="Value">Its value, in the unit of the quantity.</param>
/// <param name="Basis">What it is compared with.</param>
/// <param name="Percentile">Share of the aircraft's own earlier flights with a lower value, 0 to 100 (ties count half); null for common
/// practice.</param>
/// <param name="Flights">Number of earlier flights; 0 for common practice.</param>
/// <param name="Place">Its place by common practice; null for own flights.</param>
/// <param name="Usual">The usual range: from the lower to the upper quartile of the own flights, or by common practice.</param>
public sealed record ScaleReading(
    ScaleQuantity Quantity,
    double Value,
    ScaleBasis Basis,
    double? Percentile,
    int Flights,
    ScalePlace? Place,
    Interval Usual
);

/// <summary>Compares one flight with a scale.</summary>
public static class FlightScale
{
    /// <summary>Number of earlier flights needed for a scale of their own: with fewer, a percentile means very little.</summary>
    public const int LeastFlights = 4;

    // Values from which a value is usual, high and very high on small multirotors (1 to 25 kg) in a calm hover. Common practice, from
    // memory.
    private static readonly Dictionary<ScaleQuantity, (double Usual, double High, double VeryHigh)> s_practice = new()
    {
        [ScaleQuantity.AllVibration] = (1, 4, 10),
        [ScaleQuantity.RotorVibration] = (0.7, 3, 8),
        [ScaleQuantity.HottestMotor] = (15, 45, 65),
        [ScaleQuantity.HottestEsc] = (10, 35, 50),
        [ScaleQuantity.LargestLoad] = (0.02, 0.1, 0.2),
        [ScaleQuantity.YawTrim] = (0.003, 0.02, 0.05),
    };

    /// <summary>Each quantity that is known for the flight, relative to earlier flights where it is known for enough of them, else relative
    /// to common practice.</summary>
    /// <param name="flight">The flight.</param>
    /// <param name="earlier">Earlier flights of the same aircraft; empty for none.</param>
    public static IReadOnlyList<ScaleReading> Of(FlightAnalysis flight, IReadOnlyList<FlightAnalysis> earlier)
    {
        ArgumentNullException.ThrowIfNull(earlier);
        return Of(ValuesOf(flight), [.. earlier.Select(ValuesOf)]);
    }

    /// <summary>The same for flights of which only the values were stored.</summary>
    /// <param name="flight">Values of the flight.</param>
    /// <param name="earlier">Values of earlier flights of the same aircraft; empty for none.</param>
    public static IReadOnlyList<ScaleReading> Of(
        IReadOnlyDictionary<ScaleQuantity, double> flight,
        IReadOnlyList<IReadOnlyDictionary<ScaleQuantity, double>> earlier
    )
    {
        ArgumentNullException.ThrowIfNull(flight);
        ArgumentNullException.ThrowIfNull(earlier);
        return
        [
            .. flight
                .OrderBy(v => v.Key)
                .Select(v => Reading(v.Key, v.Value, [.. earlier.Where(e => e.ContainsKey(v.Key)).Select(e => e[v.Key])])),
        ];
    }

    /// <summary>The values of a flight for the scale; unknown ones are left out.</summary>
    /// <param name="flight">The flight.</param>
    public static IReadOnlyDictionary<ScaleQuantity, double> ValuesOf(FlightAnalysis flight)
    {
        ArgumentNullException.ThrowIfNull(flight);
        return Enum.GetValues<ScaleQuantity>()
            .Select(q => (Quantity: q, Value: ValueOf(q, flight)))
            .Where(v => v.Value is not null)
            .ToDictionary(v => v.Quantity, v => v.Value!.Value);
    }

    private static ScaleReading Reading(ScaleQuantity quantity, double value, double[] earlier)
    {
        if (earlier.Length >= LeastFlights)
        {
            double below = earlier.Count(e => e < value) + 0.5 * earlier.Count(e => e == value);
            return new(
                quantity,
                value,
                ScaleBasis.OwnFlights,
                100 * below / earlier.Length,
                earlier.Length,
                null,
                new(Robust.Quantile(earlier, 0.25), Robust.Quantile(earlier, 0.75))
            );
        }

        (double usual, double high, double veryHigh) = s_practice[quantity];
        ScalePlace place =
            value >= veryHigh ? ScalePlace.VeryHigh
            : value >= high ? ScalePlace.High
            : value >= usual ? ScalePlace.Usual
            : ScalePlace.Low;
        return new(quantity, value, ScaleBasis.CommonPractice, null, 0, place, new(usual, high));
    }

    private static double? ValueOf(ScaleQuantity quantity, FlightAnalysis flight) =>
        quantity switch
        {
            ScaleQuantity.AllVibration => flight.Accounting?.TotalMps2.Value,
            ScaleQuantity.RotorVibration => flight.VibrationMps2.Value,
            ScaleQuantity.HottestMotor => flight.Motors.Max(m => m.MotorTemp.RiseSteadyC.Value),
            ScaleQuantity.HottestEsc => flight.Motors.Max(m => m.EscTemp.RiseSteadyC.Value),
            ScaleQuantity.LargestLoad => flight.Airframe.Motors.Any(m => m.Level != MotorLevel.Single)
                ? null
                : flight.Motors.Max(m => m.LoadShare.Value) - 1,
            _ => flight.YawTrim.Split.Value is double split ? Math.Abs(split) : null,
        };
}
