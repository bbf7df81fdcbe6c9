using VibeCheck.Core.Orders;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Checks;

/// <summary>Made acceleration cut into segments of a hover, and demodulated by angles that are known.</summary>
internal static class OrderSegments
{
    /// <summary>A track on one even clock from 0 on.</summary>
    internal static ImuTrack Track(double rateHz, double[] x, double[] y, double[] z) =>
        new()
        {
            Blocks = [new ContiguousSegment(0, x.Length, 0, 1 / rateHz)],
            AccXMps2 = x,
            AccYMps2 = y,
            AccZMps2 = z,
        };

    /// <summary>Acceleration on x alone.</summary>
    /// <param name="rateHz">Sample rate, Hz.</param>
    /// <param name="seconds">Length, s; the last sample stands there.</param>
    /// <param name="x">m/s² at a time, s.</param>
    internal static ImuTrack Track(double rateHz, double seconds, Func<double, double> x)
    {
        int count = (int)Math.Round(seconds * rateHz) + 1;
        return Track(rateHz, [.. Enumerable.Range(0, count).Select(i => x(i / rateHz))], new double[count], new double[count]);
    }

    /// <summary>A rotor whose speed is read now and then.</summary>
    internal static RotorSpeed Rotor(string id, double seconds, Func<double, double> rpm)
    {
        double[] times = [.. Enumerable.Range(0, (int)(seconds * 20) + 1).Select(i => i / 20.0)];
        return new(id, new Series(times, [.. times.Select(rpm)]), 2);
    }

    /// <summary>Every segment demodulated by the angles that the lines' rotors report.</summary>
    internal static DemodulatedSegment[] Demodulated(LineSelection selection, IReadOnlyList<DetrendedSegment> segments)
    {
        RotorAngle[] angles = [.. selection.Speeds.Select(s => new RotorAngle(s))];
        return [.. segments.Select(s => DemodulatedSegment.Of(s, selection.Lines, RotorPhases.Reported(s, angles), new Workspace()))];
    }

    /// <summary>A normal deviate (Box and Muller, 1958).</summary>
    internal static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble());
}
