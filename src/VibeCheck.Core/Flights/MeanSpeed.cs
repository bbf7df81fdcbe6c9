using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>Mean speed of the rotors over a whole flight.</summary>
internal static class MeanSpeed
{
    /// <summary>Mean over the motors that report, rpm, at the times of the motor that reports most often; null when none does.</summary>
    internal static Series? Of(Flight flight)
    {
        List<Series> speeds = [.. flight.Motors.Select(m => m.Rpm).OfType<Series>().Where(s => s.Count > 1)];
        if (speeds.Count == 0)
        {
            return null;
        }

        double[] times = speeds.MaxBy(s => s.Count)!.TimeS,
            means = new double[times.Length];
        for (int i = 0; i < times.Length; i++)
        {
            foreach (Series speed in speeds)
            {
                means[i] += (speed.ReadingAt(i, times[i]) ?? speed.At(times[i])) / speeds.Count;
            }
        }

        return new(times, means);
    }
}
