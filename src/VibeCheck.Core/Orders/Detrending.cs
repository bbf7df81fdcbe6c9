namespace VibeCheck.Core.Orders;

/// <summary>Gravity, tilt and the airframe's slow motion, which would leak into the lines if they stayed.</summary>
internal static class Detrending
{
    /// <summary>Takes off the straight lines through the means of successive pieces.</summary>
    /// <param name="values">Changed in place; one NaN spoils all.</param>
    /// <param name="pieceLength">Samples a piece, 1 or more.</param>
    internal static void Detrend(Span<double> values, int pieceLength)
    {
        int pieces = Math.Max(1, values.Length / pieceLength);
        double length = (double)values.Length / pieces;
        double[] means = new double[pieces];
        for (int p = 0; p < pieces; p++)
        {
            int from = (int)(p * length),
                to = p == pieces - 1 ? values.Length : (int)((p + 1) * length);
            double sum = 0;
            foreach (double value in values[from..to])
            {
                sum += value;
            }

            means[p] = sum / (to - from);
        }

        for (int i = 0; i < values.Length; i++)
        {
            double at = (i + 0.5) / length - 0.5;
            int left = Math.Clamp((int)Math.Floor(at), 0, Math.Max(0, pieces - 2));
            double mean = pieces == 1 ? means[0] : means[left] + (at - left) * (means[left + 1] - means[left]);
            values[i] -= mean;
        }
    }
}
