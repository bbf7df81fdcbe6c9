using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether large values were compressed: by a range that is too small, or a sensor or amplifier that saturates.</summary>
/// <remarks>The fourth cumulant of undistorted lines and noise follows from the sizes of the lines. It is smaller when large values are
/// compressed.</remarks>
internal static class SignalShape
{
    private const double PieceS = 0.5;

    // A sensor that compresses peaks by the first value loses about 0.4 dB of the lines. Lines of one order beat with each other. In a
    // short hover they do so only a few times, and the ratio may be anywhere up to its value for lines in phase: this share of the way is
    // allowed.
    private const double MostFlat = 0.33,
        BeatShare = 0.45;

    // An axis with less of the power than this does not matter for the answer.
    private const double LeastPowerShare = 0.02;

    private const double ExcessPerLoss = 8;

    internal static IEnumerable<QualityIssue> Of(ImuTrack imu, IReadOnlyList<ContiguousSegment> runs, FlightAnalysis analysis)
    {
        if (!analysis.RotorVibrationMps2.IsKnown)
        {
            yield break;
        }

        int piece = Math.Max(16, (int)(PieceS * imu.RateHz));
        (double Excess, double Power)[] shapes = [.. imu.Acceleration.Select(a => Shape(a, runs, piece))];
        double all = shapes.Sum(s => s.Power);
        for (int axis = 0; axis < 3; axis++)
        {
            (double excess, double power) = shapes[axis];
            if (power > LeastPowerShare * all)
            {
                (double expected, double inPhase) = Lines(analysis, axis, power, power / all);
                if (excess < expected - MostFlat - BeatShare * (expected - inPhase))
                {
                    double lossDb = -20 * Math.Log10(Math.Max(0.1, 1 + (excess - expected) / ExcessPerLoss));
                    yield return Issue(new PeaksFlattened(Name(axis), excess, expected, lossDb), axis);
                }
            }
        }
    }

    /// <summary>Fourth cumulant over the squared variance, and the variance, of a column about its mean over short pieces.</summary>
    private static (double Excess, double Power) Shape(double[] values, IReadOnlyList<ContiguousSegment> runs, int piece)
    {
        double two = 0,
            four = 0;
        long n = 0;
        foreach (ContiguousSegment run in runs)
        {
            for (int first = run.FirstSample; first + piece <= run.FirstSample + run.SampleCount; first += piece)
            {
                ReadOnlySpan<double> x = values.AsSpan(first, piece);
                double mean = System.Numerics.Tensors.TensorPrimitives.Sum(x) / piece;
                foreach (double value in x)
                {
                    double square = (value - mean) * (value - mean);
                    two += square;
                    four += square * square;
                }

                n += piece;
            }
        }

        return n == 0 || two == 0 ? (0, 0) : (four * n / (two * two) - 3, two / n);
    }

    /// <summary>Fourth cumulant of the lines over the squared variance: a sine of root mean square r has -3/2 r⁴, and independent parts add
    /// (M. Kendall, The Advanced Theory of Statistics, 3.12: cumulants of sums). Also its value if all lines of an order were in phase, and
    /// those of a motor with half orders too: its waveform repeats every other turn, and may be flat.</summary>
    private static (double Independent, double InPhase) Lines(FlightAnalysis analysis, int axis, double power, double axisShare)
    {
        double independent = 0;
        var byOrder = new Dictionary<int, double>();
        var groups = new HashSet<string>();
        foreach (OrderLevel order in analysis.Motors.SelectMany(m => m.Orders))
        {
            double square =
                order.PerAxisMps2 is { Count: 3 } axes ? axes[axis] * axes[axis]
                : order.GroupMps2?.Value is double all
                && groups.Add(FormattableString.Invariant($"{order.Order} {string.Join(' ', order.Group)}"))
                    ? all * all
                : 0;
            square = Math.Min(square, power);
            independent += square * square;
            byOrder[order.Order] = byOrder.GetValueOrDefault(order.Order) + square;
        }

        double inPhase = byOrder.Values.Sum(s => Math.Min(s, power) * Math.Min(s, power));
        foreach (IGrouping<string?, LockedLine> motor in OtherLines(analysis).GroupBy(l => l.MotorId))
        {
            // The vibration account has them only for all axes together.
            double[] squares = [.. motor.Select(l => Math.Min(l.Mps2.Value!.Value * l.Mps2.Value.Value * axisShare, power))];
            double whole = analysis
                .Motors.Where(m => m.Id == motor.Key)
                .SelectMany(m => m.Orders)
                .Sum(o => o.PerAxisMps2 is { Count: 3 } axes ? axes[axis] * axes[axis] : 0);
            double together = Math.Min(squares.Sum() + whole, power);
            independent += squares.Sum(s => s * s);
            inPhase += together * together;
        }

        string channel = Name(axis);
        foreach (SpectralPeak peak in analysis.Peaks.Where(p => p.Channel == channel && p.Assigned.Count == 0))
        {
            double square = Math.Min(peak.Amplitude * peak.Amplitude, power);
            independent += square * square;
            inPhase += square * square;
        }

        return (Math.Max(-1.5, -1.5 * independent / (power * power)), Math.Max(-1.5, -1.5 * inPhase / (power * power)));
    }

    private static IEnumerable<LockedLine> OtherLines(FlightAnalysis analysis) =>
        (analysis.Accounting is { } account ? account.HalfOrders.Concat(account.LockedLines) : []).Where(l => l.Mps2.IsKnown);

    private static string Name(int axis) => "acc_" + "xyz"[axis];

    private static QualityIssue Issue(Reason cause, int axis) =>
        new()
        {
            Cause = cause,
            Track = "imu",
            Channel = Name(axis),
            Effect = QualityEffect.Withheld,
            Affects = Answers.Vibration,
        };
}
