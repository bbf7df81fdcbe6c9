namespace VibeCheck.Logs.Clocks;

/// <summary>How far time stamps scatter about their lines. The default holds no residuals.</summary>
/// <param name="SquareSumS2">Sum of the squares of the residuals, s².</param>
/// <param name="Count">Number of residuals.</param>
internal readonly record struct ResidualSpread(double SquareSumS2, long Count)
{
    /// <summary>Root mean square of the residuals, s; 0 where there are none.</summary>
    internal double DeviationS => Math.Sqrt(SquareSumS2 / Math.Max(1, Count));

    /// <summary>The spread of the residuals whose size is at most a limit, s.</summary>
    internal static ResidualSpread Of(ReadOnlySpan<double> residualsS, double limitS)
    {
        double sum = 0;
        long count = 0;
        foreach (double residual in residualsS)
        {
            if (Math.Abs(residual) <= Math.Max(limitS, 0))
            {
                sum += residual * residual;
                count++;
            }
        }

        return new(sum, count);
    }

    public static ResidualSpread operator +(ResidualSpread one, ResidualSpread other) =>
        new(one.SquareSumS2 + other.SquareSumS2, one.Count + other.Count);
}
