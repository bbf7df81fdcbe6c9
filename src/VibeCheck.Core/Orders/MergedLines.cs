using Tuning = VibeCheck.Core.Orders.OrderTuning.Windows;

namespace VibeCheck.Core.Orders;

/// <summary>Lines that could not be separated: their common square, from windows too short to separate them.</summary>
internal static class MergedLines
{
    /// <summary>What the lines explain together, noise subtracted, (m/s²)²; below 0 when they do not stand out.</summary>
    internal static double Square(IReadOnlyList<DemodulatedSegment> all, int[] lines)
    {
        double sum = 0,
            time = 0;
        foreach (DemodulatedSegment demodulated in all)
        {
            WindowFits fits = JointFit.Of(demodulated, Tuning.WindowS, Tuning.MergedLoading);
            NoiseEstimate noise = new NoiseEstimator(demodulated.Segment, demodulated.Workspace.Threads).Of(fits);
            double square = 0;
            foreach (int line in lines)
            {
                for (int w = 0; w < fits.Windows; w++)
                {
                    for (int axis = 0; axis < 3; axis++)
                    {
                        // A sample's noise lifts a squared phasor fitted with Hann weights by 1.5 over the window's steps.
                        double lifted = 1.5 * noise.Variance[3 * line + axis] / fits.Plan.Length;
                        square += (fits.Explained(line, w)[axis] - lifted) / (2 * fits.Windows);
                    }
                }
            }

            sum += square * demodulated.Segment.Seconds;
            time += demodulated.Segment.Seconds;
        }

        return sum / time;
    }
}
