using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Hovers;

/// <summary>Quantities that distinguish a hover from the rest of a flight, in even time cells over the IMU's record. NaN where not
/// known.</summary>
internal sealed class HoverGrid
{
    // Wide enough for a mean over a hundred samples of a usual IMU, narrow enough to locate a landing.
    internal const double CellS = 0.1;

    // After a longer silence of the telemetry, the values between are not known.
    private const double LongestSilenceS = 2;

    internal required double StartS { get; init; }

    internal required int Count { get; init; }

    /// <summary>The quantity of the loads: rotor speed squared, command, current, or the vibration itself.</summary>
    internal required HoverSource Source { get; init; }

    /// <summary>One row for each motor (or one row for the vibration), each in its own unit.</summary>
    internal required IReadOnlyList<double[]> Loads { get; init; }

    /// <summary>Rate of turn, rad/s, without vibration; null without a gyro.</summary>
    internal required double[]? TurnRadps { get; init; }

    /// <summary>Size of the acceleration, m/s², without vibration.</summary>
    internal required double[] AccelerationMps2 { get; init; }

    /// <summary>Height, m; null when not logged.</summary>
    internal required double[]? HeightM { get; init; }

    internal double EdgeS(int cell) => StartS + cell * CellS;

    internal static HoverGrid Of(Flight flight)
    {
        ImuTrack imu = flight.Imu;
        int count = Math.Max(1, (int)((imu.EndS - imu.StartS) / CellS));
        CellMeans cells = new(imu, imu.StartS, count);
        (HoverSource source, IReadOnlyList<double[]> loads) = LoadsOf(flight, cells, count);
        return new()
        {
            StartS = imu.StartS,
            Count = count,
            Source = source,
            Loads = loads,
            TurnRadps = cells.TurnRadps(),
            AccelerationMps2 = cells.Size(imu.AccXMps2, imu.AccYMps2, imu.AccZMps2),
            HeightM = flight.HeightM is { Count: > 1 } height ? Sampled(height, imu.StartS, count) : null,
        };
    }

    private static (HoverSource Source, IReadOnlyList<double[]> Loads) LoadsOf(Flight flight, CellMeans cells, int count)
    {
        (HoverSource Source, Func<MotorTrack, Series?> Of)[] choices =
        [
            (HoverSource.Rpm, m => m.Rpm),
            (HoverSource.Command, m => m.Command),
            (HoverSource.Current, m => m.CurrentA),
        ];
        foreach ((HoverSource source, Func<MotorTrack, Series?> of) in choices)
        {
            List<double[]> loads =
            [
                .. flight
                    .Motors.Select(of)
                    .OfType<Series>()
                    .Where(s => s.Count > 1 && s.Values.Any(v => v > 0))
                    .Select(s => Sampled(Spikes.Without(s), flight.Imu.StartS, count)),
            ];
            if (loads.Count > 0)
            {
                return (source, source == HoverSource.Rpm ? [.. loads.Select(l => Array.ConvertAll(l, v => v * v))] : loads);
            }
        }

        return (HoverSource.Vibration, [cells.Roughness()]);
    }

    private static double[] Sampled(Series series, double startS, int count)
    {
        double[] values = new double[count];
        for (int cell = 0; cell < count; cell++)
        {
            values[cell] = series.AtOrNaN(startS + (cell + 0.5) * CellS, LongestSilenceS / 2);
        }

        return values;
    }
}
