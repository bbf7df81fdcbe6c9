using VibeCheck.Core.Samples;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Clocks;

namespace VibeCheck.Logs.Assembly;

/// <summary>Rows placed on the even clock: places without a row and cells without a value are unknown; short runs of them are
/// interpolated, long ones split the record.</summary>
internal sealed class EvenSamples
{
    // Fewer samples than that between two gaps are not worth a block.
    private const int ShortestBlock = 16;

    private EvenSamples() { }

    internal required double[][] Acceleration { get; init; }

    internal required double[][]? Rates { get; init; }

    internal required IReadOnlyList<ContiguousSegment> Blocks { get; init; }

    /// <summary>For each acceleration axis which samples were filled; null where none was.</summary>
    internal required bool[]?[] Unknown { get; init; }

    /// <summary>Times at which no axis of acceleration is known, filled.</summary>
    internal required int FilledPlaces { get; init; }

    /// <summary>Times that were left out because one axis or more was unknown for long.</summary>
    internal required int LeftOut { get; init; }

    internal static EvenSamples Of(double[][] acceleration, double[][]? rates, EvenClock clock)
    {
        double[][] columns = [.. acceleration, .. rates ?? []];
        Spread(columns, clock);
        IReadOnlyList<ContiguousSegment> blocks = clock.Blocks;
        int all = columns[0].Length,
            leftOut = 0,
            filled = 0;
        bool[]?[] unknown = [null, null, null];
        if (columns.Any(AnyUnknown))
        {
            blocks = Parted(columns, blocks);
            leftOut = all - columns[0].Length;
            unknown = [.. columns.Take(3).Select(c => AnyUnknown(c) ? Array.ConvertAll(c, double.IsNaN) : null)];
            filled = Enumerable
                .Range(0, columns[0].Length)
                .Count(i => double.IsNaN(columns[0][i]) && double.IsNaN(columns[1][i]) && double.IsNaN(columns[2][i]));
            Fill(columns, blocks);
        }

        return new()
        {
            Acceleration = columns[..3],
            Rates = rates is null ? null : columns[3..],
            Blocks = blocks,
            Unknown = unknown,
            FilledPlaces = filled,
            LeftOut = leftOut,
        };
    }

    /// <summary>Makes room for the places that the clock found empty.</summary>
    private static void Spread(double[][] columns, EvenClock clock)
    {
        int more = clock.Holes.Sum(h => h.Missing);
        if (more == 0)
        {
            return;
        }

        for (int c = 0; c < columns.Length; c++)
        {
            double[] old = columns[c];
            double[] wide = new double[old.Length + more];
            int from = 0,
                to = 0;
            foreach ((int after, int missing) in clock.Holes)
            {
                int count = after + 1 - from;
                Array.Copy(old, from, wide, to, count);
                wide.AsSpan(to + count, missing).Fill(double.NaN);
                to += count + missing;
                from = after + 1;
            }

            Array.Copy(old, from, wide, to, old.Length - from);
            columns[c] = wide;
        }
    }

    private static bool AnyUnknown(double[] column)
    {
        foreach (double value in column)
        {
            if (double.IsNaN(value))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Takes out the times at which an axis is unknown for longer than can be filled, and at the ends of blocks.</summary>
    private static List<ContiguousSegment> Parted(double[][] columns, IReadOnlyList<ContiguousSegment> blocks)
    {
        var parted = new List<ContiguousSegment>();
        bool[] isOut = new bool[columns[0].Length];
        foreach (ContiguousSegment block in blocks)
        {
            int most = EvenClock.MostInARow(block.PeriodS),
                end = block.FirstSample + block.SampleCount;
            foreach (double[] column in columns)
            {
                MarkLong(column, block.FirstSample, end, most, isOut);
            }
        }

        int kept = 0;
        foreach (ContiguousSegment block in blocks)
        {
            int end = block.FirstSample + block.SampleCount;
            for (int first = block.FirstSample; first < end; )
            {
                int last = first;
                while (last < end && isOut[last] == isOut[first])
                {
                    last++;
                }

                if (!isOut[first] && (last - first >= ShortestBlock || last - first == block.SampleCount))
                {
                    foreach (double[] column in columns)
                    {
                        Array.Copy(column, first, column, kept, last - first);
                    }

                    parted.Add(new(kept, last - first, block.TimeOf(first), block.PeriodS));
                    kept += last - first;
                }

                first = last;
            }
        }

        if (kept == 0)
        {
            // Nothing would be left: an axis without a value. What becomes of such a flight is judged elsewhere.
            return [.. blocks];
        }

        for (int c = 0; c < columns.Length; c++)
        {
            columns[c] = kept == columns[c].Length ? columns[c] : columns[c][..kept];
        }

        return parted;
    }

    private static void MarkLong(double[] column, int from, int end, int most, bool[] isOut)
    {
        for (int first = from; first < end; first++)
        {
            if (!double.IsNaN(column[first]))
            {
                continue;
            }

            int last = first;
            while (last < end && double.IsNaN(column[last]))
            {
                last++;
            }

            if (last - first > most || first == from || last == end)
            {
                isOut.AsSpan(first, last - first).Fill(true);
            }

            first = last;
        }
    }

    private static void Fill(double[][] columns, IReadOnlyList<ContiguousSegment> blocks)
    {
        int order = AutoregressiveFill.OrderFor(1 / blocks[0].PeriodS);
        Parallel.ForEach(
            columns.Where(AnyUnknown),
            column =>
            {
                var fill = new AutoregressiveFill(order);
                foreach (ContiguousSegment block in blocks)
                {
                    Span<double> samples = column.AsSpan(block.FirstSample, block.SampleCount);
                    if (samples.Length >= 4 * ShortestBlock)
                    {
                        fill.Fill(samples);
                    }

                    AutoregressiveFill.FillStraight(samples);
                }
            }
        );
    }
}
