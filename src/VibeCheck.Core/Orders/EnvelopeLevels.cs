namespace VibeCheck.Core.Orders;

/// <summary>The mean squared size of a line over a segment, from its envelope.</summary>
internal static class EnvelopeLevels
{
    /// <summary>The level of one line.</summary>
    /// <param name="group">The lines fitted together with it.</param>
    /// <param name="at">Which of them.</param>
    /// <param name="weights">How much an envelope sample counts; they add up to 1.</param>
    /// <remarks>
    /// With W the mean over samples of the basis' products and P the solution's variance, c^H W c is biased by the noise it contains, tr(W
    /// P) for what nothing shrinks (the constant), and by what shrinking takes, -tr(W P) for the rest: so tr(W P) is added, and twice
    /// the constant's part subtracted. Its variance is 2 c^H W P W c + tr(W P W P).
    /// </remarks>
    internal static LineLevel Of(EnvelopeSolution group, int at, double[] weights)
    {
        if (!group.IsSolved)
        {
            const double unknown = double.PositiveInfinity;
            return new()
            {
                Square = 0,
                Deviation = unknown,
                PerAxis = [0, 0, 0],
                VarianceInflation = unknown,
            };
        }

        LinearSplineBasis basis = group.Bases[at];
        int n = basis.Count,
            all = group.Unknowns,
            from = group.Offsets[at];
        double[] gram = basis.Gram(weights);
        double spread = 0,
            constant = 0,
            alone = 0;
        double[] aloneRe = group.InverseAlone(at);
        double[] wpRe = new double[n * n],
            wpIm = new double[n * n];
        for (int r = 0; r < n; r++)
        {
            constant += gram[r * n] * group.InverseRe[from * all + from + r];
            for (int t = 0; t < n; t++)
            {
                double w = gram[r * n + t];
                spread += w * group.InverseRe[(from + t) * all + from + r];
                alone += w * aloneRe[t * n + r];
                for (int s = 0; s < n; s++)
                {
                    wpRe[r * n + s] += w * group.InverseRe[(from + t) * all + from + s];
                    wpIm[r * n + s] += w * group.InverseIm[(from + t) * all + from + s];
                }
            }
        }

        double scatter = 0;
        for (int r = 0; r < n; r++)
        {
            for (int s = 0; s < n; s++)
            {
                scatter += wpRe[r * n + s] * wpRe[s * n + r] - wpIm[r * n + s] * wpIm[s * n + r];
            }
        }

        double[] axes = new double[3];
        double variance = 0;
        for (int axis = 0; axis < 3; axis++)
        {
            (double square, double first) = Square(group.Re[axis].AsSpan(from, n), group.Im[axis].AsSpan(from, n), gram, wpRe, wpIm);
            double noise = group.Noise[axis];
            axes[axis] = noise * (square + spread - 2 * constant) / 2;
            variance += noise * noise * (2 * first + scatter) / 4;
        }

        return new LineLevel
        {
            Square = axes[0] + axes[1] + axes[2],
            Deviation = Math.Sqrt(Math.Max(0, variance)),
            PerAxis = axes,
            VarianceInflation = spread / alone,
        };
    }

    /// <summary>c^H W c and c^H W P W c.</summary>
    private static (double Square, double First) Square(
        ReadOnlySpan<double> re,
        ReadOnlySpan<double> im,
        double[] gram,
        double[] wpRe,
        double[] wpIm
    )
    {
        int n = re.Length;
        double square = 0,
            first = 0;
        Span<double> wcRe = new double[n],
            wcIm = new double[n];
        for (int r = 0; r < n; r++)
        {
            for (int s = 0; s < n; s++)
            {
                wcRe[r] += gram[r * n + s] * re[s];
                wcIm[r] += gram[r * n + s] * im[s];
            }

            square += re[r] * wcRe[r] + im[r] * wcIm[r];
        }

        for (int r = 0; r < n; r++)
        {
            double pRe = 0,
                pIm = 0;
            for (int s = 0; s < n; s++)
            {
                pRe += wpRe[r * n + s] * wcRe[s] - wpIm[r * n + s] * wcIm[s];
                pIm += wpRe[r * n + s] * wcIm[s] + wpIm[r * n + s] * wcRe[s];
            }

            first += re[r] * pRe + im[r] * pIm;
        }

        return (square, first);
    }
}
