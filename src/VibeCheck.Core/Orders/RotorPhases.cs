using VibeCheck.Core.Signals;

namespace VibeCheck.Core.Orders;

/// <summary>The angle of every rotor over a segment, what was added to the reported one, and the speed that the angles show.
/// Immutable.</summary>
internal sealed class RotorPhases
{
    private readonly double _envelopeS;
    private readonly double[][] _halfSteps;

    private RotorPhases(double envelopeS, double[][] halfSteps, double[][] correction, double[][] speedHz)
    {
        (_envelopeS, _halfSteps) = (envelopeS, halfSteps);
        (Correction, SpeedHz) = (correction, speedHz);
    }

    internal int Rotors => _halfSteps.Length;

    /// <summary>What was added to each rotor's reported angle, rad, [rotor][sample].</summary>
    internal double[][] Correction { get; }

    /// <summary>Smoothed frequency of each rotor, Hz, [rotor][sample].</summary>
    internal double[][] SpeedHz { get; }

    private int Last => Correction[0].Length - 1;

    /// <summary>The angles as reported.</summary>
    /// <param name="segment">The segment.</param>
    /// <param name="angles">One a rotor.</param>
    internal static RotorPhases Reported(DetrendedSegment segment, IReadOnlyList<RotorAngle> angles)
    {
        double[][] halfSteps = [.. angles.Select(_ => new double[2 * segment.Intervals + 1])];
        for (int rotor = 0; rotor < halfSteps.Length; rotor++)
        {
            angles[rotor].Fill(segment.StartS, segment.EnvelopeS / 2, halfSteps[rotor]);
        }

        return new RotorPhases(segment.EnvelopeS, halfSteps, [.. angles.Select(_ => new double[segment.EnvelopeCount])], []).WithSpeeds();
    }

    /// <summary>A rotor's angle at every envelope sample and midway between, rad.</summary>
    internal ReadOnlySpan<double> HalfSteps(int rotor) => _halfSteps[rotor];

    /// <summary>Angle of a rotor at an envelope sample, rad.</summary>
    internal double Angle(int rotor, int sample) => _halfSteps[rotor][2 * sample];

    /// <summary>Mean frequency of a rotor between two envelope samples, Hz.</summary>
    internal double MeanHz(int rotor, int from, int to) => (Angle(rotor, to) - Angle(rotor, from)) / (Math.Tau * (to - from) * _envelopeS);

    /// <summary>Mean frequency of each line over the segment, as it appears, Hz.</summary>
    internal double[] ApparentHz(IReadOnlyList<Line> lines) => [.. lines.Select(l => l.ApparentHz(MeanHz(l.Rotor, 0, Last)))];

    /// <summary>The angles with something slow added; speeds stay as they are.</summary>
    /// <param name="correction">rad, [rotor][sample].</param>
    internal RotorPhases Plus(double[][] correction)
    {
        double[][] halfSteps = [.. _halfSteps.Select(a => (double[])a.Clone())],
            sum = [.. Correction.Select(c => (double[])c.Clone())];
        for (int rotor = 0; rotor < halfSteps.Length; rotor++)
        {
            Add(correction[rotor], halfSteps[rotor], sum[rotor]);
        }

        return new RotorPhases(_envelopeS, halfSteps, sum, SpeedHz);
    }

    /// <summary>The angles with another correction in place of theirs; speeds stay as they are.</summary>
    /// <param name="correction">What is added to the reported angles, rad, [rotor][sample].</param>
    internal RotorPhases MovedTo(double[][] correction) =>
        Plus([.. correction.Zip(Correction, (to, from) => to.Zip(from, (t, f) => t - f).ToArray())]);

    /// <summary>The same angles with the speeds that they show.</summary>
    internal RotorPhases WithSpeeds() => new(_envelopeS, _halfSteps, Correction, [.. Enumerable.Range(0, Rotors).Select(SpeedsOf)]);

    /// <summary>The first part.</summary>
    /// <param name="intervals">Whole steps kept.</param>
    internal RotorPhases Head(int intervals) =>
        new(_envelopeS, [.. _halfSteps.Select(a => a[..(2 * intervals + 1)])], [.. Correction.Select(c => c[..(intervals + 1)])], SpeedHz);

    /// <summary>Beats that two lines go through, by the angles as reported: how far their phases come apart between any two samples,
    /// turns.</summary>
    internal double Beats(Line a, Line b)
    {
        double least = double.PositiveInfinity,
            most = double.NegativeInfinity,
            perSample = (b.ShiftHz - a.ShiftHz) * _envelopeS;
        for (int k = 0; k <= Last; k++)
        {
            double own = a.SignedOrder * (Angle(a.Rotor, k) - Correction[a.Rotor][k]);
            double its = b.SignedOrder * (Angle(b.Rotor, k) - Correction[b.Rotor][k]);
            double apart = (its - own) / Math.Tau + perSample * k;
            (least, most) = (Math.Min(least, apart), Math.Max(most, apart));
        }

        return most - least;
    }

    private static void Add(double[] correction, double[] halfSteps, double[] sum)
    {
        for (int b = 0; b < correction.Length; b++)
        {
            sum[b] += correction[b];
            halfSteps[2 * b] += correction[b];
            if (b + 1 < correction.Length)
            {
                halfSteps[2 * b + 1] += Midway(correction, b);
            }
        }
    }

    // Cubic through four samples where there are four: a straight line would leave corners in the angle.
    private static double Midway(ReadOnlySpan<double> values, int left) =>
        left > 0 && left + 2 < values.Length
            ? (9 * (values[left] + values[left + 1]) - values[left - 1] - values[left + 2]) / 16
            : (values[left] + values[left + 1]) / 2;

    private double[] SpeedsOf(int rotor)
    {
        int half = Math.Max(1, (int)Math.Round(OrderTuning.Preparation.HalfSpeedS / _envelopeS));
        double[] speeds = new double[Last + 1];
        for (int b = 0; b < speeds.Length; b++)
        {
            speeds[b] = MeanHz(rotor, Math.Max(0, b - half), Math.Min(Last, b + half));
        }

        return speeds;
    }
}
