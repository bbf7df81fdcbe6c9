using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Orders.Group;

/// <summary>The rotors as one: what they do to the airframe together, where their own speeds are not known.</summary>
public sealed record GroupResult
{
    /// <summary>Mean speed of the rotors, rpm: the middle of the band that their lines fill; unknown where it may be a multiple.</summary>
    public required Estimate Rpm { get; init; }

    /// <summary>The orders of the group, rising; empty where their numbers are not known.</summary>
    public required IReadOnlyList<GroupOrder> Orders { get; init; }

    /// <summary>Root of the summed squares of all orders of the group that the log shows, m/s².</summary>
    public required Estimate TotalMps2 { get; init; }

    /// <summary>Multiples of <see cref="BaseHz"/> that <see cref="TotalMps2"/> is the sum of.</summary>
    public IReadOnlyList<int> Counted { get; init; } = [];

    /// <summary>Frequency, Hz, whose multiples were measured: that of the rotors, or a multiple of it where the speed is unknown; null
    /// when nothing was.</summary>
    public double? BaseHz { get; init; }

    /// <summary>Lower and upper edge of the band about each order that the rotors fill, as a share of its frequency.</summary>
    public Interval? Band { get; init; }

    /// <summary>The base frequency over time, Hz, at the middles of the windows.</summary>
    internal GroupSpeedPath? Path { get; init; }

    /// <summary>The counted multiples with their size on each axis, whether or not their numbers are those of orders.</summary>
    internal IReadOnlyList<OrderLevel> Lines { get; init; } = [];

    /// <summary>Power of each counted order in each window, floor subtracted, (m/s²)².</summary>
    internal IReadOnlyList<double[]> NetPowers { get; init; } = [];

    /// <summary>Standard uncertainty that the mean of each counted order's powers has by the floor beneath it, (m/s²)².</summary>
    internal IReadOnlyList<double> FloorU { get; init; } = [];

    /// <summary>Standard uncertainty that faults of the log add to every level, dB.</summary>
    internal double AddedDb { get; init; }

    /// <summary>Root of the summed squares of some of the counted orders, m/s².</summary>
    internal Estimate SizeOf(IReadOnlyCollection<int> orders)
    {
        if (!TotalMps2.IsKnown)
        {
            return TotalMps2;
        }

        double[] total = new double[NetPowers.Count == 0 ? 0 : NetPowers[0].Length];
        double floor = 0;
        for (int k = 0; k < Counted.Count; k++)
        {
            if (orders.Contains(Counted[k]))
            {
                floor += FloorU[k] * FloorU[k];
                for (int w = 0; w < total.Length; w++)
                {
                    total[w] += NetPowers[k][w];
                }
            }
        }

        return GroupLevels.Size(total, Math.Sqrt(floor));
    }

    /// <summary>Nothing is known, for a reason.</summary>
    internal static GroupResult Unknown(Reason why) =>
        new()
        {
            Rpm = Estimate.Unknown(why),
            Orders = [],
            TotalMps2 = Estimate.Unknown(why),
        };
}

/// <summary>One order of the group.</summary>
/// <param name="Order">Cycles a revolution.</param>
/// <param name="RmsMps2">Root mean square of the vector sum of the axes, of all rotors together, m/s².</param>
public sealed record GroupOrder(int Order, Estimate RmsMps2);

/// <summary>How the rotors' frequency varies with time.</summary>
/// <param name="TimeS">Middles of the windows, s.</param>
/// <param name="Hz">Frequency in each, Hz.</param>
internal sealed record GroupSpeedPath(double[] TimeS, double[] Hz)
{
    internal double MeanHz => Hz.Average();
}
