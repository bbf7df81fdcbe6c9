namespace VibeCheck.Core.Statistics;

/// <summary>A measured amount with its 95 % interval, or the reason why there is none. No other state can be constructed.</summary>
public sealed record Estimate
{
    private Estimate() { }

    /// <summary>The amount, in the unit that the owning property's name gives; null when unknown.</summary>
    public double? Value { get; private init; }

    /// <summary>95 % interval in the same unit; null when the amount is unknown, or known without an interval
    /// (then <see cref="Why"/> says why there is no interval).</summary>
    public Interval? Ci95 { get; private init; }

    /// <summary>Why the amount, or its interval, is not known; null when both are.</summary>
    public Reason? Why { get; private init; }

    /// <summary>Whether there is an amount.</summary>
    public bool IsKnown => Value.HasValue;

    /// <summary>A known amount with its 95 % interval.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The amount is not finite.</exception>
    public static Estimate Of(double value, Interval ci95) => new() { Value = Require.Finite(value), Ci95 = ci95 };

    /// <summary>A known amount and its interval, value ± <paramref name="half95"/>.</summary>
    public static Estimate Around(double value, double half95) => Of(value, Interval.Around(value, half95));

    /// <summary>A known amount whose interval the data cannot give.</summary>
    public static Estimate WithoutInterval(double value, Reason why) => new() { Value = Require.Finite(value), Why = why };

    /// <summary>An amount that the data cannot give.</summary>
    public static Estimate Unknown(Reason why) => new() { Why = why };
}
