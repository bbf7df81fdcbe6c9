namespace VibeCheck.Core.Orders;

/// <summary>Lines that could not be parted: their common square, from windows too short to part them.</summary>
internal static class MergedLines
{
    private const double WindowS = 2;
    private const double Ridge = 1e-9;

    /// <summary>What the lines explain together, noise taken off, (m/s²)²; below 0 when they do not stand out.</summary>
    internal static double Square(IReadOnlyList<DemodulatedSegment> all, int[] lines)
    {
        double sum = 0, time = 0;
        foreach (DemodulatedSegment t in all)
        {
            WindowFits fits = JointFit.Of(t, WindowS, Ridge);
            var noise = new LineNoise(t);
            noise.Read(Residual.Of(fits));
            double square = 0;
            foreach (int line in lines)
            {
                for (int w = 0; w < fits.Windows; w++)
                {
                    for (int axis = 0; axis < 3; axis++)
                    {
                        // A node's noise lifts a squared phasor fitted with Hann weights by 1.5 over the nodes.
                        square += (fits.Explained(line, w)[axis] - 1.5 * noise.Nodes[3 * line + axis] / fits.Length) / (2 * fits.Windows);
                    }
                }
            }

            sum += square * t.Stretch.Seconds;
            time += t.Stretch.Seconds;
        }

        return sum / time;
    }
}
