using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Samples;

/// <summary>The steps of a column from sample to sample, chunk by chunk: the usual size of a step, and what counts as a
/// standstill.</summary>
internal sealed class ColumnSteps
{
    internal const int ChunkSamples = 512;

    // Number of samples used in each chunk, and the smallest number that is enough.
    private const int Looked = 48,
        Least = 6;

    // A chunk whose steps are smaller than this share of the usual ones is not flight.
    private const double MovingShare = 0.3;

    // Where the median step is smaller than this number of quanta, rounding decides whether two neighbours agree.
    private const double CoarseQuanta = 2.5;

    private const int CoarseTerms = 30;

    // Smaller differences come from rounding of unit factors and are not steps.
    private const double Nothing = 1e-9;

    private readonly double[] _steps;
    private readonly double[] _bends;
    private readonly double _typical;
    private readonly double[] _chances;

    internal ColumnSteps(double[] values)
    {
        Quantum = LeastStep(values);
        int chunks = Math.Max(1, values.Length / ChunkSamples);
        (_steps, _bends) = (new double[chunks], new double[chunks]);
        Span<double> steps = stackalloc double[Looked],
            bends = stackalloc double[Looked];
        for (int chunk = 0; chunk < chunks; chunk++)
        {
            int from = Math.Max(2, chunk * ChunkSamples),
                to = Math.Min(values.Length - 1, (chunk + 1) * ChunkSamples);
            int stride = Math.Max(1, (to - from) / Looked),
                s = 0,
                b = 0;
            for (int i = from; i < to && b < Looked && s < Looked; i += stride)
            {
                double step = Math.Abs(values[i] - values[i - 1]),
                    bend = Math.Abs(Bend(values, i));
                if (step > Nothing)
                {
                    steps[s++] = step;
                }

                // Interpolated samples give no information about the column.
                if (bend > 1.01 * Quantum)
                {
                    bends[b++] = bend;
                }
            }

            _steps[chunk] = s < Least ? double.NaN : Selection.Take(steps[..s], s / 2);
            _bends[chunk] = b < Least ? double.NaN : Selection.Take(bends[..b], b / 2);
        }

        double[] known = [.. _steps.Where(double.IsFinite)];
        _typical = known.Length == 0 ? 0 : Robust.Quantile(known, 0.75);
        _chances = [.. Enumerable.Range(0, chunks).Select(c => RepeatChance(values, c))];
    }

    /// <summary>Smallest step between neighbours, in the column's unit; 0 for a constant column.</summary>
    internal double Quantum { get; }

    /// <summary>Typical size of a step in flight: upper quartile over the chunks of their median steps.</summary>
    internal double Typical => _typical;

    /// <summary>Departure of a sample from the midpoint between its neighbours.</summary>
    internal static double Bend(double[] values, int i) => values[i] - (values[i - 1] + values[i + 1]) / 2;

    /// <summary>Whether the column moves as in flight near a sample.</summary>
    internal bool IsMoving(int sample) => !(_steps[Chunk(sample)] < MovingShare * _typical);

    /// <summary>Probability that two neighbours agree, 0 to 1: the quantum divided by the width of the usual steps, which are assumed
    /// normal (median 0.6745 deviations, density 0.4 per deviation at zero). Where the quantum is coarse, see
    /// <see cref="CoarseChance"/>.</summary>
    internal double ChanceOfRepeat(int sample) => _chances[Chunk(sample)];

    /// <summary>Probability that a sample is at the midpoint between its neighbours, within rounding.</summary>
    internal double ChanceOfStraight(int sample) => Chance(Or(_bends[Chunk(sample)], _typical), 4 * Quantum);

    /// <summary>Median departure from the midpoint between neighbours, the largest of the chunk and the adjacent chunks.</summary>
    internal double UsualBend(int sample)
    {
        int chunk = Chunk(sample);
        double most = 0;
        for (int c = Math.Max(0, chunk - 1); c <= Math.Min(_bends.Length - 1, chunk + 1); c++)
        {
            most = Math.Max(most, Or(_bends[c], 0));
        }

        return most;
    }

    private double RepeatChance(double[] values, int chunk)
    {
        double median = Or(_steps[chunk], _typical);
        int from = chunk * ChunkSamples,
            to = chunk == _steps.Length - 1 ? values.Length : from + ChunkSamples;
        return median < CoarseQuanta * Quantum ? CoarseChance(values.AsSpan(from..to), Quantum) : Chance(median, Quantum);
    }

    /// <summary>Probability that two neighbours agree in a column with coarse steps, 0 to 1, from how many steps are of one and of two quanta:
    /// repeated samples, which may be false, have no part in it. The steps are assumed to be normal at multiples of the quantum.</summary>
    private static double CoarseChance(ReadOnlySpan<double> values, double quantum)
    {
        int ones = 0,
            twos = 0;
        for (int i = 1; i < values.Length; i++)
        {
            double quanta = Math.Abs(values[i] - values[i - 1]) / quantum;
            ones += Math.Abs(quanta - 1) < 0.25 ? 1 : 0;
            twos += Math.Abs(quanta - 2) < 0.25 ? 1 : 0;
        }

        if (twos == 0)
        {
            return 1;
        }

        // Normal with variance s² quanta²: ones / twos = exp(3 / 2s²).
        double ratio = Math.Max(1.01, (double)ones / twos),
            weight = 1;
        for (int k = 1; k <= CoarseTerms; k++)
        {
            weight += 2 * Math.Pow(ratio, -k * k / 3.0);
        }

        return 1 / weight;
    }

    private static double Chance(double median, double width) => median > 0 ? Math.Min(1, 0.4 * 0.6745 * width / median) : 1;

    private static double Or(double value, double otherwise) => double.IsFinite(value) ? value : otherwise;

    private int Chunk(int sample) => Math.Min(_steps.Length - 1, sample / ChunkSamples);

    private static double LeastStep(double[] values)
    {
        double least = double.PositiveInfinity;
        int until = Math.Min(values.Length, 50_000);
        for (int i = 1; i < until; i++)
        {
            double step = Math.Abs(values[i] - values[i - 1]);
            least = step > Nothing && step < least ? step : least;
        }

        return double.IsFinite(least) ? least : 0;
    }
}
