namespace VibeCheck.Core.Orders.Group;

/// <summary>The band about each order that the rotors' lines fill, as shares of the order's frequency.</summary>
/// <param name="Low">Lower edge, below 0.</param>
/// <param name="High">Upper edge, above 0.</param>
internal readonly record struct GroupBand(double Low, double High)
{
    // Speeds of one aircraft lie within some 5 % of their mean, a lean by the centre of
    // gravity or a split included; a little more is allowed.
    private const double Reach = 0.11;
    private const double Margin = 0.012;
    private const double LeastHalf = 0.02;
    private const double Standing = 0.25;
    private const double MostLevel = 3;

    internal double Middle => (Low + High) / 2;

    /// <summary>Finds the band from the mean levels about the orders, windows laid on each other by the path.</summary>
    internal static GroupBand Of(ShortSpectra spectra, IReadOnlyList<int> orders, GroupSpeedPath path)
    {
        int half = (int)(Reach / GroupTracker.StepLog);
        double[] profile = new double[2 * half + 1];
        foreach (int order in orders)
        {
            double[] mean = new double[profile.Length];
            for (int w = 0; w < spectra.Windows; w++)
            {
                for (int i = 0; i < mean.Length; i++)
                {
                    mean[i] +=
                        At(spectra.Level[w], order * path.Hz[w] * (1 + (i - half) * GroupTracker.StepLog) / spectra.ResolutionHz)
                        / spectra.Windows;
                }
            }

            for (int i = 0; i < mean.Length; i++)
            {
                profile[i] += Math.Min(MostLevel, mean[i]);
            }
        }

        double least = profile.Min(),
            peak = profile.Max(),
            limit = least + Standing * (peak - least);
        int from = Array.FindIndex(profile, p => p >= limit),
            to = Array.FindLastIndex(profile, p => p >= limit);
        double low = (from - half) * GroupTracker.StepLog - Margin,
            high = (to - half) * GroupTracker.StepLog + Margin;
        double middle = (low + high) / 2;
        return new(Math.Min(low, middle - LeastHalf), Math.Max(high, middle + LeastHalf));
    }

    private static double At(float[] row, double bin)
    {
        int k = (int)bin;
        return k + 1 >= row.Length ? 0 : row[k] + (bin - k) * (row[k + 1] - row[k]);
    }
}
