namespace VibeCheck.Core.Flights.Hovers;

/// <summary>What tells a hover from the rest of a flight, in even cells of time over the IMU's record. NaN where not known.</summary>
internal sealed class HoverGrid
{
    // Wide enough for a mean over a hundred samples of a usual IMU, narrow enough to place a landing.
    internal const double CellS = 0.1;

    // Telemetry that is silent for longer says nothing of the time between.
    private const double LongestSilenceS = 2;

    private HoverGrid(double startS, int count)
    {
        StartS = startS;
        Count = count;
    }

    internal double StartS { get; }

    internal int Count { get; }

    /// <summary>What the loads are: rotor speed squared, command, current, or the vibration itself.</summary>
    internal required HoverSource Source { get; init; }

    /// <summary>One row a motor (or one row for the vibration), each in its own unit.</summary>
    internal required IReadOnlyList<double[]> Loads { get; init; }

    /// <summary>Rate of turn, rad/s, vibration averaged out; null without a gyro.</summary>
    internal required double[]? TurnRadps { get; init; }

    /// <summary>Size of the acceleration, m/s², vibration averaged out.</summary>
    internal required double[] AccelerationMps2 { get; init; }

    /// <summary>Height, m; null when not logged.</summary>
    internal required double[]? HeightM { get; init; }

    /// <summary>Whether the IMU has samples in a cell.</summary>
    internal required bool[] HasImu { get; init; }

    internal double MiddleS(int cell) => StartS + (cell + 0.5) * CellS;

    internal double EdgeS(int cell) => StartS + cell * CellS;

    internal static HoverGrid Of(Flight flight)
    {
        ImuTrack imu = flight.Imu;
        int count = Math.Max(1, (int)((imu.EndS - imu.StartS) / CellS));
        HoverGrid empty = new(imu.StartS, count)
        {
            Source = default, Loads = [], TurnRadps = null, AccelerationMps2 = [], HeightM = null, HasImu = [],
        };
        CellMeans cells = new(imu, empty);
        (HoverSource source, IReadOnlyList<double[]> loads) = empty.LoadsOf(flight, cells);
        return new(imu.StartS, count)
        {
            Source = source,
            Loads = loads,
            TurnRadps = cells.TurnRadps(),
            AccelerationMps2 = cells.Size(imu.AccXMps2, imu.AccYMps2, imu.AccZMps2),
            HeightM = flight.HeightM is { Count: > 1 } height ? empty.Sampled(height) : null,
            HasImu = cells.HasSamples,
        };
    }

    private (HoverSource Source, IReadOnlyList<double[]> Loads) LoadsOf(Flight flight, CellMeans cells)
    {
        (HoverSource Source, Func<MotorTrack, Series?> Of)[] choices =
        [
            (HoverSource.Rpm, m => m.Rpm), (HoverSource.Command, m => m.Command), (HoverSource.Current, m => m.CurrentA),
        ];
        foreach ((HoverSource source, Func<MotorTrack, Series?> of) in choices)
        {
            List<double[]> loads = [.. flight.Motors.Select(of).OfType<Series>().Where(s => s.Count > 1 && s.Values.Any(v => v > 0)).Select(Sampled)];
            if (loads.Count > 0)
            {
                return (source, source == HoverSource.Rpm ? [.. loads.Select(l => Array.ConvertAll(l, v => v * v))] : loads);
            }
        }

        return (HoverSource.Vibration, [cells.Roughness()]);
    }

    private double[] Sampled(Series series)
    {
        double[] values = new double[Count];
        for (int cell = 0; cell < Count; cell++)
        {
            double at = MiddleS(cell);
            int next = series.FirstAtOrAfter(at);
            double before = next == 0 ? double.NegativeInfinity : series.TimeS[next - 1];
            double after = next == series.Count ? double.PositiveInfinity : series.TimeS[next];
            bool heard = Math.Min(at - before, after - at) <= LongestSilenceS / 2;
            values[cell] = heard ? series.At(at) : double.NaN;
        }

        return values;
    }
}

/// <summary>What a hover was found from.</summary>
internal enum HoverSource
{
    Rpm,
    Command,
    Current,
    Vibration,
}
