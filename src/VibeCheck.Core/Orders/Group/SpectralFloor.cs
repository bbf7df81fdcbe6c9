namespace VibeCheck.Core.Orders.Group;

/// <summary>Noise floor of a mean spectrum: the lower third of what lies about each
/// frequency, which lines of rotors do not reach.</summary>
internal static class SpectralFloor
{
    private const double StepLog = 0.05;
    private const double HalfLog = 0.25;
    private const double Share = 0.35;
    private const int LeastBins = 12;
    private const double Least = 1e-20;

    /// <summary>The floor, one value a bin, above 0.</summary>
    internal static double[] Of(double[] mean, double resolutionHz)
    {
        List<(double Bin, double Value)> nodes = [];
        double[] near = new double[mean.Length];
        for (double at = 1; at < mean.Length * (1 + StepLog); at *= 1 + StepLog)
        {
            double half = Math.Max(LeastBins / 2.0, at * HalfLog);
            int from = Math.Max(1, (int)(at - half)),
                to = Math.Min(mean.Length - 1, (int)(at + half));
            from = Math.Max(1, Math.Min(from, to - LeastBins));
            Span<double> around = near.AsSpan(0, to - from + 1);
            mean.AsSpan(from, around.Length).CopyTo(around);
            around.Sort();
            nodes.Add((at, Math.Max(Least, around[(int)(Share * (around.Length - 1))])));
        }

        return Between(nodes, mean.Length);
    }

    private static double[] Between(List<(double Bin, double Value)> nodes, int count)
    {
        double[] floor = new double[count];
        int next = 1;
        for (int k = 0; k < count; k++)
        {
            while (next < nodes.Count - 1 && nodes[next].Bin < k)
            {
                next++;
            }

            ((double a, double low), (double b, double high)) = (nodes[next - 1], nodes[next]);
            double u = Math.Clamp((k - a) / (b - a), 0, 1);
            floor[k] = Math.Exp(Math.Log(low) + u * Math.Log(high / low));
        }

        return floor;
    }
}
