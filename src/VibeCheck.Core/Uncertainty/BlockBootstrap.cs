namespace VibeCheck.Core.Uncertainty;

/// <summary>Doubt of any statistic of a run of dependent values, by drawing blocks of neighbours with replacement.</summary>
/// <remarks>Stationary bootstrap: blocks of random length about a mean, joined end to start (D. Politis, J. Romano, J. Am. Statist.
/// Assoc. 89 (1994) 1303-1313). Drawing single values would take dependent ones for independent and promise too much.</remarks>
public static class BlockBootstrap
{
    /// <summary>Values of the statistic over redrawn runs, in rising order.</summary>
    /// <param name="values">The run in order of time, 2 or more.</param>
    /// <param name="statistic">What is reckoned of each redrawn run.</param>
    /// <param name="meanBlock">Mean length of a block in values, 1 or more: several times as long as the dependence reaches.</param>
    /// <param name="draws">How many redrawn runs.</param>
    /// <param name="seed">Seed: the same one gives the same draws.</param>
    /// <exception cref="ArgumentException">Fewer than two values.</exception>
    public static double[] Draw(double[] values, Func<double[], double> statistic, double meanBlock, int draws, int seed)
    {
        ArgumentNullException.ThrowIfNull(values);
        ArgumentNullException.ThrowIfNull(statistic);
        if (values.Length < 2)
        {
            throw new ArgumentException($"must hold two or more values, holds {values.Length}", nameof(values));
        }

        var random = new Random(seed);
        double[] run = new double[values.Length], results = new double[draws];
        for (int draw = 0; draw < draws; draw++)
        {
            int at = 0;
            for (int i = 0; i < run.Length; i++)
            {
                at = i == 0 || random.NextDouble() * meanBlock < 1 ? random.Next(values.Length) : (at + 1) % values.Length;
                run[i] = values[at];
            }

            results[draw] = statistic(run);
        }

        Array.Sort(results);
        return results;
    }
}
