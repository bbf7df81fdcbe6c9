using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>Results for one motor in the hover.</summary>
public sealed record MotorAnalysis
{
    /// <summary>The motor.</summary>
    public required string Id { get; init; }

    /// <summary>Mean rotor speed, rpm.</summary>
    public required Estimate RpmMean { get; init; }

    /// <summary>Its mean thrust (speed squared) divided by the mean of all motors, or mean command divided by mean command; 1 is an even
    /// share.</summary>
    public required Estimate LoadShare { get; init; }

    /// <summary>Mean current, A.</summary>
    public required Estimate CurrentA { get; init; }

    /// <summary>Orders, in rising order.</summary>
    public required IReadOnlyList<OrderLevel> Orders { get; init; }

    /// <summary>Motor temperature.</summary>
    public required TemperatureRise MotorTemp { get; init; }

    /// <summary>ESC temperature.</summary>
    public required TemperatureRise EscTemp { get; init; }

    /// <summary>Unbalance of the rotor, g·mm, as a rigid body estimate.</summary>
    public required Estimate UnbalanceGmm { get; init; }

    /// <summary>Mass, g, above which a rotor with that unbalance would be within grade G 6.3 of ISO 21940-11 (fans; the standard does not
    /// name propellers): for reference; null when unknown.</summary>
    public double? RotorMassWithinG63G { get; init; }

    /// <summary>Its speed over the flight, rpm, for figures; null where it is neither logged nor found.</summary>
    public Series? Rpm { get; init; }

    /// <summary>Whether <see cref="RpmMean"/> and everything derived from it come from lines found in the vibration, because no speed is
    /// logged.</summary>
    public bool SpeedIsFound { get; init; }

    /// <summary>Delay of the reported speed relative to the vibration, s; null when speeds varied too little to determine it.</summary>
    public double? SpeedLagS { get; init; }
}
