using VibeCheck.Core.Signals;

namespace VibeCheck.Core.Orders;

/// <summary>How far the reported speeds come late: the lag under which the lines, followed at the reported speed, hold together best.</summary>
internal static class SpeedLag
{
    private const double EarliestS = -0.12;
    private const double CoarseStepS = 0.04;
    private const int CoarseSteps = 17;
    private const double FineStepS = 0.01;
    private const double WindowS = 2;
    private const double Ridge = 0.03;

    /// <summary>Most time looked at in one stretch, s.</summary>
    private const double MostS = 60;

    /// <summary>Highest order looked at.</summary>
    private const int HighestOrder = 6;

    /// <summary>Least gain in log likelihood over the worst lag that counts as seen.</summary>
    private const double LeastEvidence = 20;

    /// <summary>The lag common to all rotors, s; null when speeds moved too little to tell.</summary>
    /// <param name="tracked">Stretches with their sums done at the speeds as reported.</param>
    /// <param name="angles">The angles as reported, one a rotor.</param>
    internal static double? Find(IReadOnlyList<DemodulatedSegment> tracked, IReadOnlyList<RotorAngle> angles)
    {
        DemodulatedSegment longest = tracked.MaxBy(t => t.Stretch.Seconds)!;
        // One a core, turned by each lag in turn.
        DemodulatedSegment[] copies = [.. Enumerable.Range(0, Environment.ProcessorCount).Select(_ => longest.Copy(MostS, IsLow))];
        double? lagS = Find(longest, copies, angles);
        Array.ForEach(copies, c => c.GiveBack());
        return lagS;
    }

    private static double? Find(DemodulatedSegment longest, DemodulatedSegment[] copies, IReadOnlyList<RotorAngle> angles)
    {
        double[] noise = Noise(copies[0]);
        double[] coarse = Scores(CoarseSteps, s => EarliestS + s * CoarseStepS);
        int best = Array.IndexOf(coarse, coarse.Max());
        if (coarse[best] - coarse.Min() < LeastEvidence || best == 0 || best == CoarseSteps - 1)
        {
            return null;
        }

        double near = EarliestS + best * CoarseStepS - 4 * FineStepS;
        double[] fine = Scores(9, s => near + s * FineStepS);
        int top = Math.Clamp(Array.IndexOf(fine, fine.Max()), 1, 7);
        double bend = fine[top - 1] - 2 * fine[top] + fine[top + 1];
        return near + FineStepS * (top + (bend < 0 ? Math.Clamp(0.5 * (fine[top - 1] - fine[top + 1]) / bend, -1, 1) : 0));

        double[] Scores(int count, Func<int, double> lagS)
        {
            double[] scores = new double[count];
            Parallel.For(0, copies.Length, part =>
            {
                for (int s = part; s < count; s += copies.Length)
                {
                    copies[part].TakeFrom(longest);
                    scores[s] = Score(copies[part], angles, lagS(s), noise);
                }
            });
            return scores;
        }
    }

    private static double[] Noise(DemodulatedSegment few)
    {
        var noise = new LineNoise(few);
        noise.Read(Residual.Of(JointFit.Of(few, WindowS, Ridge)));
        return noise.Nodes;
    }

    private static bool IsLow(Line line) => line.Order <= HighestOrder;

    private static double Score(DemodulatedSegment few, IReadOnlyList<RotorAngle> angles, double lagS, double[] noise)
    {
        double[] late = new double[few.Stretch.Nodes];
        for (int rotor = 0; rotor < angles.Count; rotor++)
        {
            angles[rotor].Fill(few.Stretch.StartS + lagS, few.Stretch.NodeS, late);
            for (int b = 0; b < late.Length; b++)
            {
                late[b] -= few.Angle(rotor, b);
            }

            few.TurnBy(rotor, late);
        }

        WindowFits fits = JointFit.Of(few, WindowS, Ridge);
        double score = 0;
        for (int line = 0; line < few.Lines.Count; line++)
        {
            for (int w = 0; w < fits.Windows; w++)
            {
                for (int axis = 0; axis < 3; axis++)
                {
                    score += fits.Explained(line, w)[axis] * fits.Length * 4 / 6 / noise[3 * line + axis];
                }
            }
        }

        return score;
    }
}
