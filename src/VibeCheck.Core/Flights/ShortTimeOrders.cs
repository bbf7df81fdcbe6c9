using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>Mean square of each order of each motor on each IMU channel, window by window, at the phase of the reported speed.</summary>
/// <remarks>A plain least-squares fit in windows of 2 s. Errors of the reported speed attenuate all channels alike, so the ratios between
/// channels and between windows are correct even where the levels are not. They test the results of <see cref="OrderAnalysis"/> and do not
/// replace them. The floor is fitted in the same way beside the order.</remarks>
internal sealed class ShortTimeOrders
{
    private const double WindowS = 2,
        LeastRpm = 300,
        TopShare = 0.9;
    private const int MostWindows = 40,
        LeastWindows = 8;

    private ShortTimeOrders(IReadOnlyList<MotorOrder> lines, int channels, IReadOnlyList<Window> windows) =>
        (Lines, Channels, Windows) = (lines, channels, windows);

    /// <summary>The lines, in the order of the values of a window.</summary>
    internal IReadOnlyList<MotorOrder> Lines { get; }

    /// <summary>3 with acceleration only, 6 with rates.</summary>
    internal int Channels { get; }

    /// <summary>Windows in order of time.</summary>
    internal IReadOnlyList<Window> Windows { get; }

    /// <summary>One window.</summary>
    /// <param name="FromS">Its start, s.</param>
    /// <param name="ToS">Its end, s.</param>
    /// <param name="Power">Mean square by line, then channel: (m/s²)² and (rad/s)².</param>
    /// <param name="Floor">Mean square of the floor alone.</param>
    internal sealed record Window(double FromS, double ToS, double[] Power, double[] Floor);

    /// <summary>Fits the orders that are known in the analysis; null without speeds or with too short a hover.</summary>
    internal static ShortTimeOrders? Of(Flight flight, FlightAnalysis analysis)
    {
        ImuTrack imu = flight.Imu;
        (string Id, Series Rpm)[] motors =
        [
            .. analysis
                .Airframe.Motors.Select(m => (m.Id, flight.Track(m.Id)?.Rpm))
                .Where(m => m.Rpm is { Count: > 1 })
                .Select(m => (m.Id, Spikes.Without(m.Rpm!)))
                .Where(m => m.Item2.MeanOver(analysis.Hover.Segments) > LeastRpm),
        ];
        int length = (int)(WindowS * imu.RateHz);
        if (motors.Length == 0 || length < 64)
        {
            return null;
        }

        double fastestHz = motors.Max(m => m.Rpm.MeanOver(analysis.Hover.Segments)!.Value) / 60;
        int[] orders = [.. analysis.MeasuredOrders.Where(k => k * fastestHz * ShortTimeFit.HighestBeside < TopShare * imu.RateHz / 2)];
        IReadOnlyList<ContiguousSegment> runs = ContiguousSegment.Within(imu, analysis.Hover.Segments);
        double[][] channels =
            imu.RateXRadps is { } x && imu.RateYRadps is { } y && imu.RateZRadps is { } z
                ? [.. imu.Acceleration, x, y, z]
                : [.. imu.Acceleration];
        if (orders.Length == 0)
        {
            return null;
        }

        var fit = new ShortTimeFit([.. motors.Select(m => m.Rpm)], orders, channels, length);
        int step = Math.Max(length, (int)(runs.Sum(r => (long)r.SampleCount) / MostWindows));
        var windows = new List<Window>();
        foreach (ContiguousSegment run in runs)
        {
            for (int first = run.FirstSample; first + length <= run.FirstSample + run.SampleCount; first += step)
            {
                Window window = fit.At(first, run);
                if (window.Power.All(double.IsFinite) && window.Floor.All(double.IsFinite))
                {
                    windows.Add(window);
                }
            }
        }

        return windows.Count < LeastWindows
            ? null
            : new([.. orders.SelectMany(k => motors.Select(m => new MotorOrder(m.Id, k)))], channels.Length, windows);
    }

    /// <summary>Mean over some windows of the power above the floor of a line on the acceleration (0 to 2) or the rates (3 to 5).</summary>
    internal (double Power, double Floor) Mean(int line, int fromChannel, IEnumerable<Window> windows)
    {
        double power = 0,
            floor = 0;
        int n = 0;
        foreach (Window window in windows)
        {
            for (int c = fromChannel; c < fromChannel + 3; c++)
            {
                power += window.Power[line * Channels + c];
                floor += window.Floor[line * Channels + c];
            }

            n++;
        }

        return (power / n, floor / n);
    }
}
