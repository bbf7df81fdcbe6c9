namespace VibeCheck.Core.Orders;

/// <summary>What to measure.</summary>
public sealed record OrderOptions
{
    /// <summary>Orders to measure on every motor, each 1 or more; null for 1, 2, 3, the blade count and twice it.</summary>
    /// <exception cref="ArgumentOutOfRangeException">An order below 1.</exception>
    public IReadOnlyList<int>? Orders
    {
        get;
        init =>
            field =
                value?.Any(order => order < 1) != true
                    ? value
                    : throw new ArgumentOutOfRangeException(nameof(value), value.Min(), "an order must be 1 or more");
    }

    /// <summary>Receives the progress: each window that is fitted and each pass; null for no progress.</summary>
    public IProgress<FitProgress>? Progress { get; init; }

    /// <summary>The orders for a rotor of that many blades, rising, each once.</summary>
    public IReadOnlyList<int> For(int blades)
    {
        IReadOnlyList<int> wanted = Orders ?? [1, 2, 3, Math.Max(1, blades), 2 * Math.Max(1, blades)];
        return [.. wanted.Distinct().Order()];
    }
}
