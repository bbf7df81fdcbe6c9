using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Figures;

/// <summary>The name of a peak, to be written at its line.</summary>
/// <param name="Hz">Frequency of the peak, Hz.</param>
/// <param name="Name">Such as "M3 ×1", "M1 M3 M5 ×1" or "M4 ×1.5"; the order alone for more
/// motors, the frequency where no line of a rotor, or more than one order, lies there.</param>
internal sealed record PeakLabel(double Hz, string Name)
{
    private const int MostMotors = 3;
    private const double SamePeakHz = 0.5,
        SameLineHz = 1;

    /// <summary>The peaks of a channel in any of the flights, strongest first, each once.</summary>
    internal static IReadOnlyList<PeakLabel> Of(IEnumerable<FlightAnalysis> flights, string channel)
    {
        var labels = new List<PeakLabel>();
        foreach (
            (FlightAnalysis flight, SpectralPeak peak) in flights
                .SelectMany(f => f.Peaks.Where(p => p.Channel == channel).Select(p => (f, p)))
                .OrderByDescending(p => p.p.Amplitude)
        )
        {
            if (!labels.Any(l => Math.Abs(l.Hz - peak.Hz) < SamePeakHz))
            {
                labels.Add(new(peak.Hz, NameOf(flight, peak)));
            }
        }

        return labels;
    }

    private static string NameOf(FlightAnalysis flight, SpectralPeak peak)
    {
        int[] orders = [.. peak.Assigned.Select(a => a.Order).Distinct()];
        string[] motors = [.. peak.Assigned.Select(a => a.Motor).Distinct().Order(StringComparer.Ordinal)];
        return orders.Length == 1
            ? motors.Length <= MostMotors
                ? $"{string.Join(" ", motors)} ×{Format.Whole(orders[0])}"
                : $"×{Format.Whole(orders[0])}"
            : Locked(flight, peak.Hz) is { } line
                ? $"{line.MotorId} ×{Format.Number(line.Multiple, line.Multiple % 0.5 == 0 ? 1 : 2)}".TrimStart()
                : $"{Format.Number(peak.Hz, 0)} Hz";
    }

    /// <summary>A half order or another line locked to a rotor within 1 Hz; null without one.</summary>
    private static LockedLine? Locked(FlightAnalysis flight, double hz) =>
        flight.Accounting is not { } account
            ? null
            : account
                .HalfOrders.Concat(account.LockedLines)
                .FirstOrDefault(l => Rpm(flight, l) is double rpm && Math.Abs(l.Multiple * rpm / 60 - hz) < SameLineHz);

    private static double? Rpm(FlightAnalysis flight, LockedLine line) =>
        line.MotorId is null ? flight.Group?.Rpm.Value : flight.Motors.FirstOrDefault(m => m.Id == line.MotorId)?.RpmMean.Value;
}
