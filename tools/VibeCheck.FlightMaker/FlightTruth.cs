using VibeCheck.Core.Tracks;

namespace VibeCheck.FlightMaker;

/// <summary>True values of a simulated flight.</summary>
public sealed record FlightTruth
{
    /// <summary>Simulated hover: end of the climb to start of the landing, s on the IMU clock.</summary>
    public required TimeInterval Hover { get; init; }

    public required IReadOnlyList<MotorTruth> Motors { get; init; }

    /// <summary>(mean cw - mean ccw) / mean of all, over the simulated hover.</summary>
    public required double Split { get; init; }

    /// <summary>Root sum of squares of all integer orders of all motors over the simulated hover, m/s².</summary>
    public double RotorVibrationMps2(IReadOnlyList<TimeInterval>? over = null) =>
        Math.Sqrt(Motors.Sum(m => m.Orders.Where(o => double.IsInteger(o.Order)).Sum(o => Math.Pow(o.RmsMps2(over ?? [Hover]), 2))));
}

/// <summary>True values of one motor.</summary>
public sealed record MotorTruth
{
    public required string Id { get; init; }

    /// <summary>Mean speed over the simulated hover, rpm.</summary>
    public required double RpmMean { get; init; }

    /// <summary>Mean of the squared speed, relative to the mean over all motors.</summary>
    public required double LoadShare { get; init; }

    /// <summary>Steady rise at hover load, °C.</summary>
    public required double MotorRiseC { get; init; }

    public required double EscRiseC { get; init; }

    public required IReadOnlyList<OrderTruth> Orders { get; init; }
}

/// <summary>True level of one order over time.</summary>
public sealed class OrderTruth(double order, double gridS, double[] squaredAmplitude)
{
    public double Order { get; } = order;

    /// <summary>Rms of the vector sum of the axes over the given intervals, m/s²: sqrt(sum over axes of mean(A²) / 2).</summary>
    public double RmsMps2(IReadOnlyList<TimeInterval> over)
    {
        double sum = 0;
        long n = 0;
        foreach (TimeInterval s in over)
        {
            for (int i = Math.Max(0, (int)Math.Ceiling(s.FromS / gridS)); i <= s.ToS / gridS && i < squaredAmplitude.Length; i++)
            {
                sum += squaredAmplitude[i];
                n++;
            }
        }

        return n == 0 ? double.NaN : Math.Sqrt(sum / n / 2);
    }
}
