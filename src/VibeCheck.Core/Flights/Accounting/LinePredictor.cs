using System.Numerics.Tensors;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>Linear prediction: the part of a signal that does not follow from its last samples. Lines and coloured noise are removed; short
/// events remain.</summary>
/// <remarks>Coefficients from the autocorrelation by Levinson's recursion (J. Makhoul, Proc. IEEE 63 (1975) 561-580).</remarks>
internal static class LinePredictor
{
    /// <summary>The prediction error, as long as the signal; the first samples are zero.</summary>
    internal static double[] Error(ReadOnlySpan<double> signal, int order)
    {
        double[] taps = Taps(signal, order),
            error = new double[signal.Length];
        Array.Reverse(taps);
        for (int i = order; i < signal.Length; i++)
        {
            error[i] = signal[i] + TensorPrimitives.Dot(taps, signal.Slice(i - order, order));
        }

        return error;
    }

    private static double[] Taps(ReadOnlySpan<double> signal, int order)
    {
        double[] r = new double[order + 1];
        for (int lag = 0; lag <= order; lag++)
        {
            r[lag] = TensorPrimitives.Dot(signal[lag..], signal[..^lag]);
        }

        double[] a = new double[order],
            next = new double[order];
        // A millionth of white noise keeps the recursion stable where the signal consists only of lines.
        double error = r[0] * (1 + 1e-6);
        for (int m = 0; m < order && error > 0; m++)
        {
            double sum = r[m + 1];
            for (int k = 0; k < m; k++)
            {
                sum += a[k] * r[m - k];
            }

            double reflection = -sum / error;
            for (int k = 0; k < m; k++)
            {
                next[k] = a[k] + reflection * a[m - 1 - k];
            }

            next[m] = reflection;
            Array.Copy(next, a, m + 1);
            error *= 1 - reflection * reflection;
        }

        return a;
    }
}
