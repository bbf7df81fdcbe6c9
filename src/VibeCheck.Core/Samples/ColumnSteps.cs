using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Samples;

/// <summary>How far a column moves from sample to sample, chunk by chunk: what is usual for it, and what is a standstill.</summary>
internal sealed class ColumnSteps
{
    internal const int ChunkSamples = 512;

    // Samples looked at in each chunk, and the least that say something.
    private const int Looked = 48,
        Least = 6;

    // A chunk that moves less than this share of the usual is not flight.
    private const double MovingShare = 0.3;

    // Rounding of unit factors, not steps.
    private const double Nothing = 1e-9;

    private readonly double[] _steps;
    private readonly double[] _bends;
    private readonly double _typical;

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

                // Samples drawn along lines say nothing of the column.
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
    }

    /// <summary>Smallest step between neighbours, the column's unit; 0 for a constant column.</summary>
    internal double Quantum { get; }

    /// <summary>Typical size of a step in flight: upper quartile over the chunks of their median steps.</summary>
    internal double Typical => _typical;

    /// <summary>Departure of a sample from the middle between its neighbours.</summary>
    internal static double Bend(double[] values, int i) => values[i] - (values[i - 1] + values[i + 1]) / 2;

    /// <summary>Whether the column moves as in flight around a sample.</summary>
    internal bool IsMoving(int sample) => !(_steps[Chunk(sample)] < MovingShare * _typical);

    /// <summary>Chance that two neighbours agree, 0 to 1: the quantum over the width of the usual
    /// steps, taken as normal (median 0.6745 deviations,
    /// density 0.4 a deviation at nothing).</summary>
    internal double ChanceOfRepeat(int sample) => Chance(Or(_steps[Chunk(sample)], _typical), Quantum);

    /// <summary>Chance that a sample lies in the middle between its neighbours but for rounding.</summary>
    internal double ChanceOfStraight(int sample) => Chance(Or(_bends[Chunk(sample)], _typical), 4 * Quantum);

    /// <summary>Median departure from the middle between neighbours, the largest of the chunk and those beside it.</summary>
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
