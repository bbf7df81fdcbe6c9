namespace VibeCheck.Core.Samples;

/// <summary>Fills unknown samples of a signal from the known ones around them, so that lines keep their phase and amplitude.</summary>
/// <remarks>Least-squares autoregressive interpolation: the unknown samples are chosen to minimise the prediction error of an
/// autoregressive model, and the model is fitted to the filled signal, in turn (Janssen, Veldhuis and Vries, Adaptive interpolation of
/// discrete-time signals that can be modeled as autoregressive processes, IEEE Trans. ASSP 34, 1986). The part that cannot be predicted
/// (noise) is filled with its expected value, so filled noise is weaker than the real noise.</remarks>
public sealed class AutoregressiveFill
{
    private const int ChunkSamples = 2048;
    private const int Passes = 5;

    // Diagonal loading, as a share of the power: keeps the recursion stable where a signal consists only of lines.
    private const double Loading = 1e-9;

    private readonly int _order;
    private readonly double[] _model;
    private readonly double[] _correlation;

    /// <param name="order">Order of the model: at least twice the number of lines; 16 or more.</param>
    public AutoregressiveFill(int order)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(order, 16);
        _order = order;
        _model = new double[order + 1];
        _correlation = new double[order + 1];
    }

    /// <summary>A model order that spans some turns of slow rotors at a sample rate.</summary>
    public static int OrderFor(double rateHz) => double.IsFinite(rateHz) ? (int)Math.Clamp(0.08 * rateHz, 40, 128) : 40;

    /// <summary>Fills in place.</summary>
    /// <param name="samples">Evenly spaced samples without a gap; NaN where one is unknown. The first and the last are known.</param>
    public void Fill(Span<double> samples)
    {
        int margin = 2 * _order;
        for (int from = 0; from < samples.Length; from += ChunkSamples)
        {
            int to = Math.Min(from + ChunkSamples, samples.Length);

            // A short remainder is filled together with the chunk before it, because its model needs enough samples.
            to = samples.Length - to < ChunkSamples / 2 ? samples.Length : to;
            if (AnyUnknown(samples[from..to]))
            {
                int first = Math.Max(0, from - margin),
                    last = Math.Min(samples.Length, to + margin);
                double[] work = samples[first..last].ToArray();
                FillChunk(work);
                for (int i = from; i < to; i++)
                {
                    samples[i] = double.IsNaN(samples[i]) ? work[i - first] : samples[i];
                }
            }

            from = to == samples.Length ? to : from;
        }
    }

    /// <summary>Interpolates linearly between the known samples around each run of unknown ones; at the ends the first and last known
    /// sample is held.</summary>
    public static void FillStraight(Span<double> samples)
    {
        int known = -1;
        for (int i = 0; i <= samples.Length; i++)
        {
            if (i < samples.Length && double.IsNaN(samples[i]))
            {
                continue;
            }

            for (int k = known + 1; k < i; k++)
            {
                samples[k] =
                    known < 0
                        ? i < samples.Length
                            ? samples[i]
                            : 0
                        : i == samples.Length
                            ? samples[known]
                            : samples[known] + (samples[i] - samples[known]) * (k - known) / (i - known);
            }

            known = i;
        }
    }

    private static bool AnyUnknown(ReadOnlySpan<double> samples)
    {
        foreach (double sample in samples)
        {
            if (double.IsNaN(sample))
            {
                return true;
            }
        }

        return false;
    }

    private void FillChunk(double[] work)
    {
        var unknown = new List<int>();
        double sum = 0;
        for (int i = 0; i < work.Length; i++)
        {
            if (double.IsNaN(work[i]))
            {
                unknown.Add(i);
            }
            else
            {
                sum += work[i];
            }
        }

        double mean = sum / Math.Max(1, work.Length - unknown.Count);
        FillStraight(work);
        for (int i = 0; i < work.Length; i++)
        {
            work[i] -= mean;
        }

        int[] places = [.. unknown];
        for (int pass = 0; pass < Passes && Model(work); pass++)
        {
            Solve(work, places);
        }

        for (int i = 0; i < work.Length; i++)
        {
            work[i] += mean;
        }
    }

    /// <summary>Fits the model by the autocorrelation method and replaces the correlation by that of its coefficients; false without
    /// power.</summary>
    private bool Model(ReadOnlySpan<double> x)
    {
        int order = Math.Min(_order, x.Length / 4);
        Span<double> r = _correlation;
        r.Clear();
        _model.AsSpan().Clear();
        for (int lag = 0; lag <= order; lag++)
        {
            r[lag] = System.Numerics.Tensors.TensorPrimitives.Dot(x[..^lag], x[lag..]);
        }

        if (!(r[0] > 0) || order < 1)
        {
            return false;
        }

        r[0] *= 1 + Loading;
        Levinson(r, order);

        // Correlation of the coefficients, which replaces that of the signal.
        for (int lag = 0; lag <= _order; lag++)
        {
            double sum = 0;
            for (int i = 0; i + lag <= _order; i++)
            {
                sum += _model[i] * _model[i + lag];
            }

            r[lag] = sum;
        }

        return true;
    }

    /// <summary>Levinson and Durbin's recursion for the prediction error filter, first coefficient 1.</summary>
    private void Levinson(ReadOnlySpan<double> r, int order)
    {
        double[] a = _model;
        double[] old = new double[order + 1];
        a[0] = 1;
        double error = r[0];
        for (int m = 1; m <= order && error > 0; m++)
        {
            double sum = r[m];
            for (int i = 1; i < m; i++)
            {
                sum += a[i] * r[m - i];
            }

            double reflection = -sum / error;
            Array.Copy(a, old, m);
            for (int i = 1; i < m; i++)
            {
                a[i] = old[i] + reflection * old[m - i];
            }

            a[m] = reflection;
            error *= 1 - reflection * reflection;
        }
    }

    private void Solve(double[] x, int[] places)
    {
        int bands = Bands(places);
        double[] band = new double[places.Length * (bands + 1)],
            right = new double[places.Length];
        for (int row = 0; row < places.Length; row++)
        {
            x[places[row]] = 0;
            for (int k = 0; k <= bands; k++)
            {
                int column = row - bands + k;
                int lag = column < 0 ? int.MaxValue : places[row] - places[column];
                band[row * (bands + 1) + k] = lag <= _order ? _correlation[lag] : 0;
            }
        }

        for (int row = 0; row < places.Length; row++)
        {
            int at = places[row],
                reach = Math.Min(_order, Math.Max(at, x.Length - 1 - at));
            double sum = 0;
            for (int lag = 1; lag <= reach; lag++)
            {
                sum += _correlation[lag] * ((at >= lag ? x[at - lag] : 0) + (at + lag < x.Length ? x[at + lag] : 0));
            }

            right[row] = -sum;
        }

        Orders.BandedCholesky.FactorAndSolve(band, right, bands);
        for (int row = 0; row < places.Length; row++)
        {
            x[places[row]] = double.IsFinite(right[row]) ? right[row] : 0;
        }
    }

    /// <summary>Largest number of unknown samples within one model order before another.</summary>
    private int Bands(int[] places)
    {
        int most = 0;
        for (int row = 0, first = 0; row < places.Length; row++)
        {
            while (places[row] - places[first] > _order)
            {
                first++;
            }

            most = Math.Max(most, row - first);
        }

        return most;
    }
}
