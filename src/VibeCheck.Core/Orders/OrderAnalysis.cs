using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;
using Tuning = VibeCheck.Core.Orders.OrderTuning.Selection;

namespace VibeCheck.Core.Orders;

/// <summary>Measures what every rotor does to the airframe: the size of each order of each motor, from acceleration and reported
/// speeds.</summary>
public static class OrderAnalysis
{
    /// <summary>Size of each order of each rotor over the hover, sqrt(sum over axes of mean(A²) / 2), m/s².</summary>
    /// <param name="imu">Acceleration, m/s², on even clock blocks. NaN samples are bridged (up to 3) or cut out.</param>
    /// <param name="rotors">Reported speeds. Readings that are 0, negative, NaN or spikes are left out.</param>
    /// <param name="hover">The time to measure over, on the IMU clock.</param>
    /// <param name="options">What to measure.</param>
    /// <returns>What can be computed; the rest is unknown with its reason.</returns>
    /// <exception cref="ArgumentNullException">An argument is null.</exception>
    /// <exception cref="ArgumentOutOfRangeException">An order below 1.</exception>
    public static OrderResult Measure(
        ImuTrack imu,
        IReadOnlyList<RotorSpeed> rotors,
        IReadOnlyList<TimeInterval> hover,
        OrderOptions options
    )
    {
        ArgumentNullException.ThrowIfNull(imu);
        ArgumentNullException.ThrowIfNull(rotors);
        ArgumentNullException.ThrowIfNull(hover);
        ArgumentNullException.ThrowIfNull(options);
        List<DetrendedSegment> segments = imu.Count == 0 ? [] : DetrendedSegment.Cut(imu, MeasuredTime.Of(hover), Tuning.ShortestSegmentS);
        var selection = LineSelection.Of(rotors, segments, options);
        if (selection.Lines.Count == 0)
        {
            return new OrderReport(selection, segments, [], null).Result([]);
        }

        (SegmentOrders[] measured, double? lagS) = Measure(selection, segments, new Workspace(options.Progress));
        double seconds = segments.Sum(s => s.Seconds),
            leftOut = MeasuredTime.LeftOut(hover);
        double[] shares = [.. segments.Select(s => s.Seconds / seconds)];
        LineLevel[] levels = [.. selection.Lines.Select((_, l) => LineLevel.Over([.. measured.Select(m => m.Levels[l])], shares, leftOut))];
        return new OrderReport(selection, segments, [.. measured.Select(m => m.Demodulated)], lagS).Result(levels);
    }

    private static (SegmentOrders[] Measured, double? LagS) Measure(
        LineSelection selection,
        List<DetrendedSegment> segments,
        Workspace workspace
    )
    {
        RotorAngle[] angles = [.. selection.Speeds.Select(s => new RotorAngle(s))];
        double? lagS = Lag(selection.Lines, angles, segments.MaxBy(s => s.Seconds)!, workspace);
        if (lagS is { } lag)
        {
            angles = [.. selection.Speeds.Select(s => new RotorAngle(s.Shifted(-lag)))];
        }

        double processNoise = selection.Rotors.Max(r => SpeedSmoothing.AngleProcessNoise(r.Rpm));
        Workspace each = segments.Count < Environment.ProcessorCount ? workspace : workspace.WithOneThread();
        var measured = new SegmentOrders[segments.Count];
        Parallel.For(
            0,
            segments.Count,
            s => measured[s] = SegmentOrders.Of(segments[s], selection.Lines, RotorPhases.Reported(segments[s], angles), processNoise, each)
        );
        return (measured, lagS);
    }

    private static double? Lag(IReadOnlyList<Line> lines, RotorAngle[] angles, DetrendedSegment longest, Workspace workspace)
    {
        using var demodulated = DemodulatedSegment.Of(longest, lines, RotorPhases.Reported(longest, angles), workspace);
        return SpeedLag.Of(demodulated, angles);
    }
}
