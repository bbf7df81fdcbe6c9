namespace VibeCheck.Core.Statistics;

/// <summary>A closed range of values, both ends finite, low never above high. The unit is that of the owning property.</summary>
public readonly record struct Interval
{
    /// <summary>The range from <paramref name="low"/> to <paramref name="high"/>.</summary>
    /// <exception cref="ArgumentOutOfRangeException">An end is not finite, or low lies above high.</exception>
    public Interval(double low, double high)
    {
        Low = Require.Finite(low);
        High = Require.Finite(high);
        if (low > high)
        {
            throw new ArgumentOutOfRangeException(nameof(low), low, $"must not lie above high, {high}");
        }
    }

    /// <summary>Lower end.</summary>
    public double Low { get; }

    /// <summary>Upper end.</summary>
    public double High { get; }

    /// <summary>High minus low.</summary>
    public double Width => High - Low;

    /// <summary>Whether the value lies within, ends included.</summary>
    public bool Contains(double value) => value >= Low && value <= High;

    /// <summary>The range <paramref name="value"/> ± <paramref name="half"/>.</summary>
    public static Interval Around(double value, double half) => new(value - half, value + half);
}
