using VibeCheck.Core.Airframes;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>The frequency of a rotor in each window of the spectra.</summary>
/// <param name="MotorId">The motor; null for the rotors as a group.</param>
/// <param name="Hz">Centre in each window, Hz.</param>
/// <param name="HalfHz">Largest distance from the centre to either side, Hz.</param>
/// <param name="Orders">Highest whole order that is counted.</param>
internal sealed record RotorPath(string? MotorId, double[] Hz, double[] HalfHz, int Orders)
{
    // Telemetry is delayed and rounded; the line is within this share of it.
    private const double TelemetryShare = 0.003;
    private const int HighestOrder = 8;

    internal double MeanHz => Hz.Average();

    /// <summary>One path for each motor whose speed is known, else one for the group; empty where neither is known.</summary>
    internal static IReadOnlyList<RotorPath> Of(Flight flight, Airframe airframe, GroupResult? group, double[] centreS, double windowS)
    {
        RotorPath[] motors =
        [
            .. airframe
                .Motors.Where(m => flight.Track(m.Id)?.Rpm is { Count: > 1 })
                .Select(m => FromTelemetry(m, Spikes.Without(flight.Track(m.Id)!.Rpm!), centreS, windowS))
                .Where(p => p.Hz.Min() > 1),
        ];
        if (motors.Length > 0 && (motors.Length == airframe.Motors.Count || group?.Path is null))
        {
            return motors;
        }

        return group is { Path: { } path, Band: { } band, TotalMps2.IsKnown: true }
            ? [FromGroup(path, band.High, group.Counted, centreS)]
            : [];
    }

    private static RotorPath FromTelemetry(Motor motor, Series rpm, double[] centreS, double windowS)
    {
        double[] hz = new double[centreS.Length],
            half = new double[centreS.Length];
        for (int w = 0; w < hz.Length; w++)
        {
            double low = double.PositiveInfinity,
                high = 0;
            for (int i = -2; i <= 2; i++)
            {
                double at = rpm.At(centreS[w] + i * windowS / 6) / 60;
                (low, high) = (Math.Min(low, at), Math.Max(high, at));
                hz[w] += at / 5;
            }

            half[w] = Math.Max(high - hz[w], hz[w] - low) + TelemetryShare * hz[w];
        }

        return new(motor.Id, hz, half, Math.Max(2 * motor.Blades, HighestOrder));
    }

    private static RotorPath FromGroup(GroupSpeedPath path, double half, IReadOnlyList<int> counted, double[] centreS)
    {
        var series = new Series(path.TimeS, path.Hz);
        double[] hz = Array.ConvertAll(centreS, series.At);
        return new(null, hz, Array.ConvertAll(hz, f => half * f), counted.Max());
    }
}
