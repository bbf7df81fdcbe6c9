using VibeCheck.Core.Signals;
using Tuning = VibeCheck.Core.Orders.OrderTuning.Lag;
using Windows = VibeCheck.Core.Orders.OrderTuning.Windows;

namespace VibeCheck.Core.Orders;

/// <summary>Delay of the reported speeds: the lag under which the lines, followed at the reported speed, hold together
/// best.</summary>
internal static class SpeedLag
{
    /// <summary>The lag common to all rotors, s; null when speeds varied too little to determine it.</summary>
    /// <param name="longest">The longest segment, demodulated at the speeds as reported.</param>
    /// <param name="angles">The angles as reported, one a rotor.</param>
    internal static double? Of(DemodulatedSegment longest, IReadOnlyList<RotorAngle> angles)
    {
        using DemodulatedSegment head = longest.Head(Tuning.LongestS, line => line.Order <= Tuning.HighestOrder);
        NoiseEstimate noise = new NoiseEstimator(head.Segment, head.Workspace.Threads).Of(
            JointFit.Of(head, Windows.WindowS, Windows.DiagonalLoading)
        );
        double[] coarse = Scores(Tuning.CoarseSteps, s => Tuning.EarliestS + s * Tuning.CoarseStepS);
        int best = Array.IndexOf(coarse, coarse.Max());
        if (coarse[best] - coarse.Min() < Tuning.LeastEvidence || best == 0 || best == Tuning.CoarseSteps - 1)
        {
            return null;
        }

        double near = Tuning.EarliestS + best * Tuning.CoarseStepS - 4 * Tuning.FineStepS;
        double[] fine = Scores(9, s => near + s * Tuning.FineStepS);
        int top = Math.Clamp(Array.IndexOf(fine, fine.Max()), 1, 7);
        double bend = fine[top - 1] - 2 * fine[top] + fine[top + 1];
        return near + Tuning.FineStepS * (top + (bend < 0 ? Math.Clamp(0.5 * (fine[top - 1] - fine[top + 1]) / bend, -1, 1) : 0));

        double[] Scores(int count, Func<int, double> lagS)
        {
            double[] scores = new double[count];
            int parts = Environment.ProcessorCount;
            Parallel.For(
                0,
                parts,
                part =>
                {
                    for (int s = part; s < count; s += parts)
                    {
                        scores[s] = Score(head, angles, lagS(s), noise);
                    }
                }
            );
            return scores;
        }
    }

    private static double Score(DemodulatedSegment head, IReadOnlyList<RotorAngle> angles, double lagS, NoiseEstimate noise)
    {
        using DemodulatedSegment late = head.Rotated(Later(head, angles, lagS), withSpeeds: false);
        WindowFits fits = JointFit.Of(late, Windows.WindowS, Windows.DiagonalLoading);
        double score = 0;
        for (int line = 0; line < late.Lines.Count; line++)
        {
            for (int w = 0; w < fits.Windows; w++)
            {
                for (int axis = 0; axis < 3; axis++)
                {
                    score += fits.Explained(line, w)[axis] * fits.Plan.Length * 4 / 6 / noise.Variance[3 * line + axis];
                }
            }
        }

        return score;
    }

    /// <summary>What to add to the angles for speeds that came so much later than they happened, rad, [rotor][sample].</summary>
    private static double[][] Later(DemodulatedSegment head, IReadOnlyList<RotorAngle> angles, double lagS)
    {
        double[][] later = new double[angles.Count][];
        for (int rotor = 0; rotor < later.Length; rotor++)
        {
            double[] angle = later[rotor] = new double[head.Segment.EnvelopeCount];
            angles[rotor].Fill(head.Segment.StartS + lagS, head.Segment.EnvelopeS, angle);
            for (int b = 0; b < angle.Length; b++)
            {
                angle[b] -= head.Phases.Angle(rotor, b);
            }
        }

        return later;
    }
}
