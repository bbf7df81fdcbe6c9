using System.Numerics;

namespace VibeCheck.Core.Signals.Orders;

/// <summary>How far the reported speeds come late: the lag under which the lines, followed at the reported speed, hold together best.</summary>
internal static class SpeedLag
{
    internal const double EarliestS = -0.1;
    internal const double LatestS = 0.5;
    private const double StepS = 0.02;
    private const double WindowS = 2;

    /// <summary>Most time looked at, s.</summary>
    private const double MostS = 120;

    /// <summary>Least gain of captured power over no lag at all that is worth believing, share of a line.</summary>
    private const double LeastGain = 0.02;

    /// <summary>The lag common to all rotors, s; null when speeds moved too little to tell.</summary>
    /// <param name="tracked">Stretches with their sums done at the speeds as reported.</param>
    /// <param name="angles">The angles as reported, one a rotor.</param>
    internal static double? Find(IReadOnlyList<TrackedStretch> tracked, IReadOnlyList<RotorAngle> angles)
    {
        int steps = (int)Math.Round((LatestS - EarliestS) / StepS) + 1;
        double[] score = new double[steps];
        Parallel.For(0, steps, s => score[s] = Captured(tracked, angles, EarliestS + s * StepS));
        int best = Array.IndexOf(score, score.Max());
        int none = (int)Math.Round(-EarliestS / StepS);
        double worst = score.Min();
        if (score[best] - worst < LeastGain * score[best])
        {
            return null;
        }

        if (best == 0 || best == steps - 1)
        {
            return null;
        }

        _ = none;
        double left = score[best - 1], middle = score[best], right = score[best + 1];
        double bend = left - 2 * middle + right;
        return EarliestS + StepS * (best + (bend < 0 ? 0.5 * (left - right) / bend : 0));
    }

    private static double Captured(IReadOnlyList<TrackedStretch> all, IReadOnlyList<RotorAngle> angles, double lagS)
    {
        double score = 0, seconds = 0;
        foreach (TrackedStretch tracked in all)
        {
            if (seconds > MostS)
            {
                break;
            }

            seconds += tracked.Stretch.Seconds;
            int nodes = Math.Min(tracked.Stretch.Nodes, (int)(MostS / tracked.Stretch.NodeS));
            double[] late = new double[nodes];
            for (int rotor = 0; rotor < angles.Count; rotor++)
            {
                angles[rotor].Fill(tracked.Stretch.StartS + lagS, tracked.Stretch.NodeS, late);
                for (int b = 0; b < nodes; b++)
                {
                    late[b] -= tracked.Angle(rotor, b);
                }

                for (int line = 0; line < tracked.Lines.Count; line++)
                {
                    if (tracked.Lines[line].Rotor == rotor && Math.Abs(tracked.Lines[line].Turn) <= 2)
                    {
                        score += Captured(tracked, line, late);
                    }
                }
            }
        }

        return score;
    }

    /// <summary>Squared windowed sums over the plain mean square of the nodes, axes and windows together.</summary>
    private static double Captured(TrackedStretch tracked, int line, ReadOnlySpan<double> late)
    {
        int half = Math.Max(2, (int)Math.Round(WindowS / tracked.Stretch.NodeS / 2));
        int turn = tracked.Lines[line].Turn;
        var turned = new Complex[late.Length];
        double captured = 0, all = 0;
        for (int b = 0; b < late.Length; b++)
        {
            (double sin, double cos) = Math.SinCos(-turn * late[b]);
            turned[b] = new Complex(cos, sin);
        }

        for (int axis = 0; axis < 3; axis++)
        {
            Complex[] sums = tracked.Sums[3 * line + axis];
            for (int from = 0; from + 2 * half < late.Length; from += half)
            {
                Complex sum = 0;
                for (int j = 1; j < 2 * half; j++)
                {
                    Complex value = sums[from + j] * turned[from + j];
                    sum += (0.5 - 0.5 * Math.Cos(Math.PI * j / half)) * value;
                    all += (value.Real * value.Real + value.Imaginary * value.Imaginary) / 2;
                }

                captured += (sum.Real * sum.Real + sum.Imaginary * sum.Imaginary) / half;
            }
        }

        return all > 0 ? captured / all : 0;
    }
}
