namespace VibeCheck.Core.Signals;

/// <summary>Weights of a spectrum's bins for the power in a band: a bin on the edge counts by the share of it inside.</summary>
internal static class BandWeights
{
    /// <summary>1 inside, 0 outside.</summary>
    internal static double[] Flat(int bins, double resolutionHz, double fromHz, double toHz)
    {
        double[] weights = new double[bins];
        for (int k = 0; k < bins; k++)
        {
            // A bin stands for half a spacing to either side; the first and the last for their one side only.
            double low = Math.Max(0, (k - 0.5) * resolutionHz),
                high = Math.Min(bins - 1, k + 0.5) * resolutionHz;
            double inside = Math.Min(high, toHz) - Math.Max(low, fromHz);
            weights[k] = inside <= 0 ? 0 : inside / (high - low);
        }

        return weights;
    }

    /// <summary>1e6/(2πf)² inside, 0 outside and at 0 Hz: acceleration in m/s² to velocity in mm/s.</summary>
    internal static double[] Velocity(int bins, double resolutionHz, double fromHz, double toHz)
    {
        double[] weights = Flat(bins, resolutionHz, fromHz, toHz);
        weights[0] = 0;
        for (int k = 1; k < bins; k++)
        {
            double omega = 2 * Math.PI * k * resolutionHz;
            weights[k] *= 1e6 / (omega * omega);
        }

        return weights;
    }
}
