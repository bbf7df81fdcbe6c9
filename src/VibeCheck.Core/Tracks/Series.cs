namespace VibeCheck.Core.Tracks;

/// <summary>A slowly sampled quantity with its own times: telemetry of a motor, battery voltage, height.</summary>
public sealed record Series
{
    /// <summary>Keeps both arrays as they are; the caller hands them over.</summary>
    /// <param name="timeS">Strictly rising times, s, on the IMU clock. May be shared between series.</param>
    /// <param name="values">One finite value a time; unusable readings are left out, not NaN.</param>
    /// <exception cref="ArgumentException">Lengths differ.</exception>
    public Series(double[] timeS, double[] values)
    {
        ArgumentNullException.ThrowIfNull(timeS);
        ArgumentNullException.ThrowIfNull(values);
        Require.SameLength(timeS.Length, values.Length, nameof(values));
        TimeS = timeS;
        Values = values;
    }

    /// <summary>Strictly rising times, s.</summary>
    public double[] TimeS { get; }

    /// <summary>Values, one a time.</summary>
    public double[] Values { get; }

    /// <summary>How many readings.</summary>
    public int Count => TimeS.Length;

    /// <summary>The value at a time, linear between readings, held beyond the ends. NaN for an empty series.</summary>
    public double At(double timeS)
    {
        if (Count == 0)
        {
            return double.NaN;
        }

        int next = TimeS.AsSpan().BinarySearch(new Moment(timeS));
        if (next >= 0)
        {
            return Values[next];
        }

        next = ~next;
        if (next == 0)
        {
            return Values[0];
        }

        if (next == Count)
        {
            return Values[^1];
        }

        double share = (timeS - TimeS[next - 1]) / (TimeS[next] - TimeS[next - 1]);
        return Values[next - 1] + share * (Values[next] - Values[next - 1]);
    }

    /// <summary>The value at a time, as <see cref="At"/> gives it; NaN where the nearest reading is further away than a limit.</summary>
    /// <param name="timeS">Time, s.</param>
    /// <param name="withinS">Farthest that the nearest reading may be, s.</param>
    public double AtOrNaN(double timeS, double withinS)
    {
        int next = FirstAtOrAfter(timeS);
        double before = next == 0 ? double.NegativeInfinity : TimeS[next - 1];
        double after = next == Count ? double.PositiveInfinity : TimeS[next];
        return Math.Min(timeS - before, after - timeS) <= withinS ? At(timeS) : double.NaN;
    }

    /// <summary>The reading of an index if it was taken at just that time, as it is where
    /// quantities are logged together; else null.</summary>
    internal double? ReadingAt(int index, double timeS) => index < Count && TimeS[index] == timeS ? Values[index] : null;

    /// <summary>Mean of the readings whose time lies in a segment; null when there is none.</summary>
    public double? MeanOver(IReadOnlyList<TimeInterval> segments)
    {
        double sum = 0;
        int n = 0;
        foreach (TimeInterval segment in segments)
        {
            for (int i = FirstAtOrAfter(segment.FromS); i < Count && TimeS[i] <= segment.ToS; i++)
            {
                sum += Values[i];
                n++;
            }
        }

        return n == 0 ? null : sum / n;
    }

    /// <summary>Index of the first reading at or after a time; <see cref="Count"/> when there is none.</summary>
    public int FirstAtOrAfter(double timeS)
    {
        int at = TimeS.AsSpan().BinarySearch(new Moment(timeS));
        return at >= 0 ? at : ~at;
    }

    /// <summary>The same readings with every time moved.</summary>
    public Series Shifted(double byS) => new(Array.ConvertAll(TimeS, t => t + byS), Values);

    // A type of our own: the search over it is compiled ahead with the program, that of plain doubles is not.
    private readonly struct Moment(double timeS) : IComparable<double>
    {
        public int CompareTo(double other) => timeS.CompareTo(other);
    }
}
