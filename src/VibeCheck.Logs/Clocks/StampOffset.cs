namespace VibeCheck.Logs.Clocks;

/// <summary>The place of a row in time by the median of the stamps near it. A single late stamp does not move it.</summary>
internal static class StampOffset
{
    /// <summary>Number of stamps used on each side of a row, at most.</summary>
    internal const int Neighbours = 25;

    /// <summary>Median time of row <paramref name="at"/>, s, from the stamps of some rows and a constant period.</summary>
    /// <param name="timeS">Stamps, s.</param>
    /// <param name="at">The row.</param>
    /// <param name="from">The first row to use.</param>
    /// <param name="to">The row after the last one to use; at most <see cref="Neighbours"/> are used.</param>
    /// <param name="periodS">Time between rows, s.</param>
    internal static double MedianS(ReadOnlySpan<double> timeS, int at, int from, int to, double periodS)
    {
        Span<double> offsets = stackalloc double[Neighbours];
        int count = Math.Min(to - from, Neighbours);
        for (int i = 0; i < count; i++)
        {
            offsets[i] = timeS[from + i] - periodS * (from + i - at);
        }

        return SortedMedian(offsets[..count]);
    }

    /// <summary>The same from the stamps of this and the following or preceding rows, corrected for the losses among them.</summary>
    /// <param name="timeS">Stamps, s.</param>
    /// <param name="row">The row, and the first one to use.</param>
    /// <param name="direction">1 for the rows after it, -1 for those before it.</param>
    /// <param name="losses">All losses found, in rising order.</param>
    /// <param name="own">Index of the loss next to the row; it is not corrected for.</param>
    /// <param name="periodS">Time between samples, s.</param>
    internal static double MedianS(ReadOnlySpan<double> timeS, int row, int direction, List<SampleLoss> losses, int own, double periodS)
    {
        // Larger than any real loss, and far from an overflow.
        const int MostMissing = 1_000_000;
        Span<double> offsets = stackalloc double[Neighbours];
        int count = 0,
            lost = 0,
            next = own + direction;
        for (int i = row; i >= 0 && i < timeS.Length && count < offsets.Length; i += direction)
        {
            // A loss lies between its row and the next one.
            while (next >= 0 && next < losses.Count && (direction > 0 ? losses[next].AfterRow < i : losses[next].AfterRow >= i))
            {
                lost += Math.Min(losses[next].Missing, MostMissing);
                next += direction;
            }

            offsets[count++] = timeS[i] - periodS * (i - row + direction * lost);
        }

        return SortedMedian(offsets[..count]);
    }

    private static double SortedMedian(Span<double> values)
    {
        values.Sort();
        return (values[(values.Length - 1) / 2] + values[values.Length / 2]) / 2;
    }
}
