using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether two logs are of one flight, independent of how they were written: the rotor speeds then vary in the same way.</summary>
/// <remarks>Gusts and the pilot make the speed of each motor vary about that of all motors, never twice in the same way.</remarks>
internal static class OneFlightTwice
{
    private const double StepS = 0.2,
        SmoothS = 6,
        LeastOverlapS = 12,
        MostLagS = 60;

    // Independent flights reach 0.4 to 0.5 over all lags; the same flight, written with noise or at other rates, stays above 0.9.
    private const double LeastLikeness = 0.85;
    private const int LeastMotors = 3;

    internal static IEnumerable<QualityIssue> Of(
        IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> before,
        IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> after
    )
    {
        foreach ((Flight one, _) in before)
        {
            foreach ((Flight other, _) in after)
            {
                if (Likeness(one, other) is double likeness && likeness > LeastLikeness)
                {
                    yield return new()
                    {
                        Cause = new FlightsAreOne(likeness),
                        Track = "telemetry",
                        Effect = QualityEffect.Withheld,
                        Affects = Answers.All,
                    };
                    yield break;
                }
            }
        }
    }

    /// <summary>Greatest correlation over all lags of the motors' speeds, without the mean of all motors and slow changes; null with too
    /// little data.</summary>
    internal static double? Likeness(Flight one, Flight other)
    {
        string[] ids =
        [
            .. one.Motors.Where(m => m.Rpm is { Count: > 20 } && other.Track(m.MotorId)?.Rpm is { Count: > 20 }).Select(m => m.MotorId),
        ];
        if (ids.Length < LeastMotors)
        {
            return null;
        }

        double[][] a = Wander(one, ids),
            b = Wander(other, ids);
        int overlap = (int)(LeastOverlapS / StepS),
            reach = (int)(MostLagS / StepS);
        double? best = null;
        for (int lag = Math.Max(-reach, overlap - b[0].Length); lag <= Math.Min(reach, a[0].Length - overlap); lag++)
        {
            double likeness = At(a, b, lag);
            best = double.IsFinite(likeness) && !(likeness <= best) ? likeness : best;
        }

        return best;
    }

    private static double At(double[][] a, double[][] b, int lag)
    {
        int from = Math.Max(0, lag),
            to = Math.Min(a[0].Length, b[0].Length + lag);
        double product = 0,
            first = 0,
            second = 0;
        for (int m = 0; m < a.Length; m++)
        {
            ReadOnlySpan<double> x = a[m].AsSpan(from, to - from),
                y = b[m].AsSpan(from - lag, to - from);
            product += System.Numerics.Tensors.TensorPrimitives.Dot(x, y);
            first += System.Numerics.Tensors.TensorPrimitives.SumOfSquares(x);
            second += System.Numerics.Tensors.TensorPrimitives.SumOfSquares(y);
        }

        return product / Math.Sqrt(first * second);
    }

    /// <summary>Speed of each motor minus the mean of all motors, minus its own running mean, on an even grid.</summary>
    private static double[][] Wander(Flight flight, string[] ids)
    {
        Series[] rpm = [.. ids.Select(id => flight.Track(id)!.Rpm!)];
        double fromS = rpm.Max(r => r.TimeS[0]),
            toS = rpm.Min(r => r.TimeS[^1]);
        int count = Math.Max(1, (int)((toS - fromS) / StepS));
        double[][] speeds = [.. rpm.Select(r => Enumerable.Range(0, count).Select(i => r.At(fromS + i * StepS)).ToArray())];
        for (int i = 0; i < count; i++)
        {
            double mean = speeds.Average(s => s[i]);
            foreach (double[] speed in speeds)
            {
                speed[i] -= mean;
            }
        }

        return [.. speeds.Select(s => LessRunningMean(s, (int)(SmoothS / StepS / 2)))];
    }

    private static double[] LessRunningMean(double[] values, int half)
    {
        double[] sums = new double[values.Length + 1];
        for (int i = 0; i < values.Length; i++)
        {
            sums[i + 1] = sums[i] + values[i];
        }

        // Take-off and landing are so much larger than the variation in flight that they alone would decide. They are limited to four
        // typical departures.
        double[] rest =
        [
            .. values.Select(
                (v, i) =>
                {
                    int from = Math.Max(0, i - half),
                        to = Math.Min(values.Length, i + half + 1);
                    return v - (sums[to] - sums[from]) / (to - from);
                }
            ),
        ];
        double limit = 4 * Robust.Median(rest.Select(Math.Abs));
        return [.. rest.Select(r => Math.Clamp(r, -limit, limit))];
    }
}
