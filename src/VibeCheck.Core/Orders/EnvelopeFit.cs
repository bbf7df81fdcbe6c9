using Tuning = VibeCheck.Core.Orders.OrderTuning.Envelopes;

namespace VibeCheck.Core.Orders;

/// <summary>Least squares of all lines of a segment at once over its whole length, each envelope a smooth function of speed and slow
/// time. Immutable.</summary>
/// <remarks>
/// How much a line follows speed and time is itself read from the data: the variances of both are those under which the data are
/// likeliest, found by expectation maximisation (A. Dempster, N. Laird, D. Rubin, J. Royal Stat. Soc. B 39, 1977). Lines that never
/// come near each other are fitted apart.
/// </remarks>
internal sealed class EnvelopeFit
{
    private readonly int _lines;
    private readonly int _envelopeCount;
    private readonly Workspace _workspace;

    private EnvelopeFit(DemodulatedSegment demodulated, EnvelopeSolution[] groups)
    {
        (_lines, _envelopeCount, _workspace) = (demodulated.Lines.Count, demodulated.Segment.EnvelopeCount, demodulated.Workspace);
        Groups = groups;
    }

    /// <summary>Lines that were fitted together.</summary>
    internal IReadOnlyList<EnvelopeSolution> Groups { get; }

    /// <summary>Fits all lines.</summary>
    /// <param name="demodulated">The segment.</param>
    /// <param name="phaseVariance">Variance of each rotor's angle, rad², [rotor][sample].</param>
    /// <param name="noise">Noise at every line.</param>
    /// <param name="knotS">Time between knots of time, s; <see cref="LinearSplineBasis.NoTime"/> for none.</param>
    /// <param name="rounds">Rounds of expectation maximisation.</param>
    /// <param name="before">A fit whose variances to begin with.</param>
    internal static EnvelopeFit Of(
        DemodulatedSegment demodulated,
        double[][] phaseVariance,
        NoiseEstimate noise,
        double knotS,
        int rounds,
        EnvelopeFit? before
    )
    {
        double envelopeS = demodulated.Segment.EnvelopeS;
        LinearSplineBasis[] bases = [.. demodulated.Phases.SpeedHz.Select(hz => new LinearSplineBasis(hz, envelopeS, knotS))];
        double[] weights = Weights(demodulated.Segment);
        double[][] grams = [.. bases.Select(b => b.Gram(weights))];
        double[][] coherence = [.. demodulated.Lines.Select(l => Coherence(l, phaseVariance[l.Rotor]))];
        int[][] groups = [.. Links(demodulated, bases)];
        EnvelopeEquations[] equations =
        [
            .. groups.Select(lines => new EnvelopeEquations(demodulated, bases, grams, lines, weights, coherence, noise.Variance)),
        ];
        double[]? withSpeed = before?.Variances(g => g.VarianceWithSpeed),
            withTime = before?.Variances(g => g.VarianceWithTime);
        var solved = new EnvelopeSolution[groups.Length];
        // The largest first, so that no thread is left with it at the end.
        int[] byWork = [.. Enumerable.Range(0, groups.Length).OrderByDescending(g => equations[g].Unknowns)];
        Parallel.ForEach(byWork, demodulated.Workspace.Threads, g => solved[g] = equations[g].Solve(rounds, withSpeed, withTime));
        return new EnvelopeFit(demodulated, solved);
    }

    /// <summary>Envelopes of all lines, m/s² peak.</summary>
    internal EnvelopeSet Envelopes()
    {
        EnvelopeSet envelopes = _workspace.Rent(3 * _lines, _envelopeCount);
        Parallel.ForEach(Groups, _workspace.Threads, group => group.Fill(envelopes));
        return envelopes;
    }

    /// <summary>The mean squared size of every line over the segment.</summary>
    internal LineLevel[] Levels()
    {
        var levels = new LineLevel[_lines];
        double[] weights = new double[_envelopeCount];
        Array.Fill(weights, 1.0 / weights.Length);
        Parallel.ForEach(
            Groups,
            _workspace.Threads,
            group =>
            {
                for (int i = 0; i < group.Lines.Length; i++)
                {
                    levels[group.Lines[i]] = EnvelopeLevels.Of(group, i, weights);
                }
            }
        );
        return levels;
    }

    private double[] Variances(Func<EnvelopeSolution, double[]> which)
    {
        double[] all = new double[_lines];
        foreach (EnvelopeSolution group in Groups)
        {
            for (int i = 0; i < group.Lines.Length; i++)
            {
                all[group.Lines[i]] = which(group)[i];
            }
        }

        return all;
    }

    /// <summary>1, but for the ends, where half a triangle is missing and a line's skirts begin.</summary>
    private static double[] Weights(DetrendedSegment segment)
    {
        double[] weights = new double[segment.EnvelopeCount];
        double taper = Math.Min(Tuning.TaperS / segment.EnvelopeS, segment.EnvelopeCount / 4.0);
        for (int b = 0; b < weights.Length; b++)
        {
            double edge = Math.Min(b, weights.Length - 1 - b) / taper;
            weights[b] = edge >= 1 ? 1 : Math.Pow(Math.Sin(Math.PI / 2 * edge), 2);
        }

        return weights;
    }

    /// <summary>Coherence of a line along a phase that is not quite known: mean of exp(i k error), for a normal error.</summary>
    private static double[] Coherence(Line line, double[] phaseVariance) =>
        Array.ConvertAll(phaseVariance, v => Math.Exp(-0.5 * line.SignedOrder * line.SignedOrder * v));

    private static List<int[]> Links(DemodulatedSegment demodulated, LinearSplineBasis[] bases)
    {
        double[] nearest = Nearest(demodulated);
        for (double link = Tuning.LinkHz; ; link /= 2)
        {
            List<int[]> groups = Links(demodulated.Lines.Count, nearest, link);
            if (link < Tuning.LeastLinkHz || groups.TrueForAll(group => group.Sum(Unknowns) <= Tuning.MostUnknowns))
            {
                return groups;
            }
        }

        int Unknowns(int line) => bases[demodulated.Lines[line].Rotor].Count;
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

    /// <summary>How near two lines come, Hz, [i · lines + j], j below i; no less than how far apart they stay where they stay
    /// apart.</summary>
    private static double[] Nearest(DemodulatedSegment demodulated)
    {
        int lines = demodulated.Lines.Count;
        (double Low, double High)[] within = [.. demodulated.Lines.Select(l => Within(l, demodulated.Phases.SpeedHz[l.Rotor]))];
        double[] nearest = new double[lines * lines];
        for (int i = 0; i < lines; i++)
        {
            for (int j = 0; j < i; j++)
            {
                double apart = Math.Max(within[i].Low, within[j].Low) - Math.Min(within[i].High, within[j].High);
                nearest[i * lines + j] = apart > Tuning.LinkHz ? apart : Nearest(demodulated, demodulated.Lines[i], demodulated.Lines[j]);
            }
        }

        return nearest;
    }

    private static (double Low, double High) Within(Line line, double[] hz)
    {
        double a = line.ApparentHz(hz.Min()),
            b = line.ApparentHz(hz.Max());
        return (Math.Min(a, b), Math.Max(a, b));
    }

    // Every fourth sample: some 0.13 s, in which no rotor changes much.
    private static double Nearest(DemodulatedSegment demodulated, Line a, Line b)
    {
        double[] own = demodulated.Phases.SpeedHz[a.Rotor],
            its = demodulated.Phases.SpeedHz[b.Rotor];
        double nearest = double.PositiveInfinity;
        for (int k = 0; k < own.Length; k += 4)
        {
            nearest = Math.Min(nearest, Math.Abs(a.ApparentHz(own[k]) - b.ApparentHz(its[k])));
        }

        return nearest;
    }
}
