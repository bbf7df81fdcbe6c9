using VibeCheck.Core.Airframes;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;

namespace VibeCheck.Reports.Formatting;

/// <summary>Puts motors in order clockwise from the nose, seen from above, the upper motor of a coaxial pair first; motors that the
/// airframe does not know come last. Results for scripts keep the airframe's order.</summary>
internal static class Clockwise
{
    internal static Comparison Sorted(Comparison comparison) =>
        comparison with
        {
            Motors = Sorted(comparison.Motors, comparison.Airframe, motor => motor.Id),
            Before = [.. comparison.Before.Select(Sorted)],
            After = [.. comparison.After.Select(Sorted)],
        };

    internal static FlightAnalysis Sorted(FlightAnalysis flight) =>
        flight with
        {
            Motors = Sorted(flight.Motors, flight.Airframe, motor => motor.Id),
        };

    internal static T[] Sorted<T>(IReadOnlyList<T> motors, Airframe airframe, Func<T, string> id) =>
        [.. motors.OrderBy(motor => AzimuthDeg(airframe.Find(id(motor)))).ThenBy(motor => airframe.Find(id(motor))?.Level)];

    // Rounded to 0.01°, so that the two motors of a coaxial pair compare as equal.
    private static double AzimuthDeg(Motor? motor) =>
        motor is null ? double.PositiveInfinity : Math.Round((motor.AzimuthDeg % 360 + 360) % 360, 2) % 360;
}
