using VibeCheck.Core.Statistics;
using Tuning = VibeCheck.Core.Orders.OrderTuning.Levels;

namespace VibeCheck.Core.Orders;

/// <summary>From levels of lines to the result of every motor: sizes with intervals, groups that could not be separated, reasons
/// for the rest.</summary>
/// <param name="selection">The lines.</param>
/// <param name="segments">Segments measured.</param>
/// <param name="demodulated">The same at their final phases; empty when nothing was measured.</param>
/// <param name="lagS">Lag of the reported speeds, s; null when not known.</param>
internal sealed class OrderReport(
    LineSelection selection,
    IReadOnlyList<DetrendedSegment> segments,
    IReadOnlyList<DemodulatedSegment> demodulated,
    double? lagS
)
{
    private double _square;
    private double _variance;
    private double _unbounded;

    /// <summary>The result.</summary>
    /// <param name="levels">One a line, over the hover; empty when nothing was measured.</param>
    internal OrderResult Result(IReadOnlyList<LineLevel> levels)
    {
        List<RotorOrders> motors = [.. selection.All.Select(rotor => Motor(rotor.MotorId, selection.IndexOf(rotor), rotor, levels))];
        return new OrderResult
        {
            Motors = motors,
            RotorVibrationMps2 =
                levels.Count == 0 ? Estimate.Unknown(WhyNothing())
                : _unbounded <= Tuning.MostUnbounded * Math.Max(0, _square) ? Root(_square, Math.Sqrt(_variance + _unbounded * _unbounded))
                : Estimate.WithoutInterval(Math.Sqrt(Math.Max(0, _square)), new BeatTooSlow()),
            SecondsUsed = segments.Sum(s => s.Seconds),
        };
    }

    private Reason WhyNothing() =>
        selection.All.Any(r => selection.WhyNot(r) is null)
            ? new NoMeasurableOrder()
            : selection.All.Select(r => selection.WhyNot(r)).FirstOrDefault() ?? new NoRotors();

    private RotorOrders Motor(string id, int rotor, Tracks.RotorSpeed speed, IReadOnlyList<LineLevel> levels) =>
        new()
        {
            MotorId = id,
            Orders =
            [
                .. selection
                    .Orders(speed)
                    .Select(order =>
                        selection.IndexOf(rotor, order) is >= 0 and int line
                            ? Level(line, levels[line])
                            : Unknown(order, selection.WhyNot(speed, order))
                    ),
            ],
            RpmMean = rotor < 0 ? Estimate.Unknown(selection.WhyNot(speed) ?? new NoMeasurableOrder()) : Rpm(rotor),
            SpeedLagS = rotor < 0 ? null : lagS,
        };

    /// <summary>The level of a line, which it also adds to the total.</summary>
    private OrderLevel Level(int line, LineLevel level)
    {
        int order = selection.Lines[line].Order;
        double deviation = Widened(level, order, level.VarianceInflation),
            inTotal = Widened(level, order, inflation: 1);
        if (
            level.VarianceInflation > Tuning.MostInflation
            || BeatsTooFew(line)
            || (level.VarianceInflation > Tuning.SomeInflation && deviation > Tuning.MostDeviation * level.Square)
        )
        {
            OrderLevel merged = Merged(line);
            AddToTotal(merged);
            return merged;
        }

        _square += level.Square;
        // What one line takes from its neighbour by mistake, the total keeps.
        _variance += inTotal * inTotal;
        return new OrderLevel
        {
            Order = order,
            RmsMps2 = Root(level.Square, deviation),
            PerAxisMps2 = [.. level.PerAxis.Select(p => Math.Sqrt(Math.Max(0, p)))],
            Separable = true,
            FoldedFromHz = FoldedFromHz(line),
        };
    }

    /// <summary>Each member of a group brings its even share, so that the group counts once.</summary>
    private void AddToTotal(OrderLevel merged)
    {
        int members = Math.Max(1, merged.Group.Count);
        double of = merged.GroupMps2?.Value ?? 0,
            most = merged.GroupMps2?.Ci95?.High ?? of;
        _square += of * of / members;
        _variance += Math.Pow((most * most - of * of) / 1.96, 2) / members;
        _unbounded += merged.GroupMps2 is { Value: not null, Ci95: null } ? of * of / members : 0;
    }

    /// <summary>Whether the same order of another rotor and a line go through less than a beat together in every segment: one line
    /// whose size and phase change would look the same.</summary>
    private bool BeatsTooFew(int line) =>
        Near(line).Any(other => other != line && demodulated.All(d => Beats(d, line, other) < Tuning.LeastBeats));

    private static double Beats(DemodulatedSegment segment, int a, int b) => segment.Phases.Beats(segment.Lines[a], segment.Lines[b]);

    /// <summary>Lines of the same order next to a line, with it: those that it would be given as a group with.</summary>
    private int[] Near(int line)
    {
        Line own = selection.Lines[line];
        return
        [
            .. Enumerable
                .Range(0, selection.Lines.Count)
                .Where(l => selection.Lines[l].Order == own.Order && Math.Abs(selection.Lines[l].Hz - own.Hz) < Tuning.GroupHz),
        ];
    }

    /// <summary>Standard deviation of a line's square: noise, by the factor found on trials, and error from imperfect phase
    /// tracking.</summary>
    private static double Widened(LineLevel level, int order, double inflation)
    {
        double model = inflation * (Tuning.ModelShare + Tuning.ModelShareByOrder * order) * Math.Max(0, level.Square);
        return Math.Sqrt(Tuning.DeviationFactor * Tuning.DeviationFactor * level.Deviation * level.Deviation + model * model);
    }

    /// <summary>A line that could not be separated from others: the size of all of them together, from windows too short to separate
    /// them.</summary>
    private OrderLevel Merged(int line)
    {
        int[] near = Near(line);
        OrderLevel level = Unknown(selection.Lines[line].Order, near.Length > 1 ? new OrderNotSeparable() : new PhaseNotTracked()) with
        {
            FoldedFromHz = FoldedFromHz(line),
        };
        if (near.Length < 2)
        {
            return level;
        }

        double square = MergedLines.Square(demodulated, near),
            unknown = Interference(near);
        return level with
        {
            Separable = false,
            Group = [.. near.Select(l => selection.Rotors[selection.Lines[l].Rotor].MotorId)],
            GroupMps2 =
                square <= 0 ? Estimate.Unknown(new GroupInNoise())
                : unknown > Tuning.MostInterference ? Estimate.WithoutInterval(Math.Sqrt(square), new BeatTooSlow())
                : Estimate.Of(Math.Sqrt(square), new Interval(Math.Sqrt(square / (1 + unknown)), Math.Sqrt(square / (1 - unknown)))),
        };
    }

    /// <summary>Share of a group's square that may be interference: the mean of cos over N beats of two equal lines is at most 1/(πN),
    /// in windows that fade at their ends twice that; each further line adds as much.</summary>
    private double Interference(int[] group)
    {
        double beats = group.SelectMany(a => group.Where(b => b < a).Select(b => demodulated.Sum(d => Beats(d, a, b)))).Min();
        return 2 * (group.Length - 1) / (Math.PI * Math.Max(1e-3, beats));
    }

    private double? FoldedFromHz(int line) => selection.Lines[line].Hz > selection.RateHz / 2 ? selection.Lines[line].Hz : null;

    private Estimate Rpm(int rotor)
    {
        double turns = demodulated.Sum(d => (d.Phases.Angle(rotor, d.Segment.Intervals) - d.Phases.Angle(rotor, 0)) / Math.Tau);
        double seconds = demodulated.Sum(d => d.Segment.Seconds);
        return Estimate.Around(60 * turns / seconds, 60 * Tuning.TurnsHalf95 * demodulated.Count / seconds);
    }

    private static OrderLevel Unknown(int order, Reason reason) =>
        new()
        {
            Order = order,
            RmsMps2 = Estimate.Unknown(reason),
            Separable = true,
        };

    private static Estimate Root(double square, double deviation)
    {
        double low = Math.Sqrt(Math.Max(0, square - 1.96 * deviation)),
            high = Math.Sqrt(Math.Max(0, square) + 1.96 * deviation);
        // Never below what chance alone would leave: a size is not 0, nor its logarithm infinite, because noise went the other way.
        double value = Math.Sqrt(Math.Max(square, Tuning.LeastSquare * deviation));
        return Estimate.Of(value, new Interval(Math.Min(low, value), Math.Max(high, value)));
    }
}
