using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>Least squares of all lines of a stretch at once over its whole length, each phasor a smooth course of speed and slow time.</summary>
/// <remarks>
/// How much a line follows speed and time is itself read from the data: the variances of both are those under which the data are likeliest, found
/// by expectation maximisation (A. Dempster, N. Laird, D. Rubin, J. Royal Stat. Soc. B 39, 1977). Lines that never come near each other are fitted
/// apart.
/// </remarks>
internal sealed class EnvelopeFit
{
    /// <summary>Lines that come nearer than this at some time are fitted together, Hz; less where too many would hang together.</summary>
    private const double LinkHz = 3;

    private const int MostUnknowns = 400;

    private const double TaperS = 0.5;

    private EnvelopeFit(DemodulatedSegment tracked, EnvelopeEquations[] chains)
    {
        Tracked = tracked;
        Chains = chains;
    }

    internal DemodulatedSegment Tracked { get; }

    /// <summary>Lines that were fitted together.</summary>
    internal EnvelopeEquations[] Chains { get; }

    /// <summary>Phasor at every node, m/s² peak, [3 · line + axis][node]. Stands in memory that belongs to the stretch, until the next are asked for.</summary>
    internal Complex[][] Courses()
    {
        Complex[][] courses = Tracked.ResidualMemory().Envelopes;
        Parallel.ForEach(Chains, Tracked.Threads, chain => chain.FillCourses(courses));
        return courses;
    }

    /// <summary>Fits all lines.</summary>
    /// <param name="tracked">Its sums done.</param>
    /// <param name="nodeNoise">Variance of a node's noise, (m/s²)², [3 · line + axis].</param>
    /// <param name="knotS">Time between knots of time, s; <see cref="LinearSplineBasis.NoTime"/> for none.</param>
    /// <param name="rounds">Rounds of expectation maximisation.</param>
    /// <param name="before">A fit whose variances to begin with.</param>
    internal static EnvelopeFit Of(DemodulatedSegment tracked, double[] nodeNoise, double knotS, int rounds, EnvelopeFit? before)
    {
        LinearSplineBasis[] bases = [.. tracked.Speeds.Select(hz => new LinearSplineBasis(hz, tracked.Stretch.NodeS, knotS))];
        double[] weights = Weights(tracked.Stretch);
        double[][] grams = [.. bases.Select(b => b.Gram(weights))];
        double[][] hold = [.. tracked.Lines.Select(l => Hold(l, tracked.Doubts[l.Rotor]))];
        EnvelopeEquations[] chains = [.. Links(tracked, bases).Select(lines => new EnvelopeEquations(tracked, bases, grams, lines, weights, hold, nodeNoise))];
        double[]? withSpeed = before?.Variances(c => c.WithSpeed), withTime = before?.Variances(c => c.WithTime);
        Parallel.ForEach(chains.OrderByDescending(c => c.Unknowns), tracked.Threads, chain => chain.Solve(rounds, withSpeed, withTime));
        return new EnvelopeFit(tracked, chains);
    }

    private double[] Variances(Func<EnvelopeEquations, double[]> which)
    {
        double[] all = new double[Tracked.Lines.Count];
        foreach (EnvelopeEquations chain in Chains)
        {
            for (int i = 0; i < chain.Lines.Length; i++)
            {
                all[chain.Lines[i]] = which(chain)[i];
            }
        }

        return all;
    }

    /// <summary>1, but for the ends, where half a triangle is missing and a line's skirts begin.</summary>
    private static double[] Weights(DetrendedSegment stretch)
    {
        double[] weights = new double[stretch.Nodes];
        double taper = Math.Min(TaperS / stretch.NodeS, stretch.Nodes / 4.0);
        for (int b = 0; b < weights.Length; b++)
        {
            double edge = Math.Min(b, weights.Length - 1 - b) / taper;
            weights[b] = edge >= 1 ? 1 : Math.Pow(Math.Sin(Math.PI / 2 * edge), 2);
        }

        return weights;
    }

    /// <summary>How far a line is expected to hold together along an angle that is not quite known: mean of exp(i k error).</summary>
    private static double[] Hold(Line line, double[] doubt) => Array.ConvertAll(doubt, d => Math.Exp(-0.5 * line.Turn * line.Turn * d));

    private static List<int[]> Links(DemodulatedSegment tracked, LinearSplineBasis[] bases)
    {
        double[] nearest = Nearest(tracked);
        for (double link = LinkHz; ; link /= 2)
        {
            List<int[]> chains = Links(tracked.Lines.Count, nearest, link);
            if (link < 0.1 || chains.TrueForAll(chain => chain.Sum(l => bases[tracked.Lines[l].Rotor].Count) <= MostUnknowns))
            {
                return chains;
            }
        }
    }

    private static List<int[]> Links(int lines, double[] nearest, double link)
    {
        int[] group = [.. Enumerable.Range(0, lines)];
        for (int i = 0; i < lines; i++)
        {
            for (int j = 0; j < i; j++)
            {
                if (group[i] != group[j] && nearest[i * lines + j] < link)
                {
                    (int gone, int stays) = (group[i], group[j]);
                    group = Array.ConvertAll(group, g => g == gone ? stays : g);
                }
            }
        }

        return [.. Enumerable.Range(0, lines).GroupBy(l => group[l]).Select(g => g.ToArray())];
    }

    /// <summary>How near two lines come, Hz, [i · lines + j], j below i; no less than how far apart they stay where they stay apart.</summary>
    private static double[] Nearest(DemodulatedSegment tracked)
    {
        int lines = tracked.Lines.Count;
        (double Low, double High)[] within = [.. tracked.Lines.Select(l => Within(l, tracked.Speeds[l.Rotor]))];
        double[] nearest = new double[lines * lines];
        for (int i = 0; i < lines; i++)
        {
            for (int j = 0; j < i; j++)
            {
                double apart = Math.Max(within[i].Low, within[j].Low) - Math.Min(within[i].High, within[j].High);
                nearest[i * lines + j] = apart > LinkHz ? apart : Nearest(tracked, tracked.Lines[i], tracked.Lines[j]);
            }
        }

        return nearest;
    }

    private static (double Low, double High) Within(Line line, double[] hz)
    {
        double a = line.ApparentHz(hz.Min()), b = line.ApparentHz(hz.Max());
        return (Math.Min(a, b), Math.Max(a, b));
    }

    // Every fourth node: some 0.13 s, in which no rotor changes much.
    private static double Nearest(DemodulatedSegment tracked, Line a, Line b)
    {
        double[] own = tracked.Speeds[a.Rotor], its = tracked.Speeds[b.Rotor];
        double nearest = double.PositiveInfinity;
        for (int k = 0; k < own.Length; k += 4)
        {
            nearest = Math.Min(nearest, Math.Abs(a.ApparentHz(own[k]) - b.ApparentHz(its[k])));
        }

        return nearest;
    }
}
