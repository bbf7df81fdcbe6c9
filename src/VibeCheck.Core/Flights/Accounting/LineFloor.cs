using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>The floor below lines: median of the surrounding bins, except those that always contain rotor orders.</summary>
internal static class LineFloor
{
    private const int LeastHalf = 10;
    private const double HalfShare = 0.05;
    private const double Least = 1e-20;

    /// <param name="mean">Mean density, NaN where it is not known.</param>
    internal static double[] Of(double[] mean)
    {
        double[] floor = new double[mean.Length];
        List<double> near = [];
        for (int k = 0; k < floor.Length; k++)
        {
            int half = Math.Max(LeastHalf, (int)(HalfShare * k));
            floor[k] = double.NaN;

            // A wider neighbourhood is used where orders fill this one.
            for (int reach = half; double.IsNaN(floor[k]); reach *= 2)
            {
                near.Clear();
                for (int j = Math.Max(1, k - reach); j <= Math.Min(mean.Length - 1, k + reach); j++)
                {
                    if (!double.IsNaN(mean[j]))
                    {
                        near.Add(mean[j]);
                    }
                }

                if (near.Count >= LeastHalf || reach > mean.Length)
                {
                    floor[k] = near.Count == 0 ? Least : Math.Max(Least, Robust.Quantile([.. near], 0.5));
                }
            }
        }

        return floor;
    }
}
