using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using Tuning = VibeCheck.Core.Orders.OrderTuning.Preparation;

namespace VibeCheck.Core.Orders;

/// <summary>Reported speeds made ready: misreadings out, and the noise of the readings damped as far as they show it.</summary>
internal static class SpeedSmoothing
{
    /// <summary>Readings above 0 without spikes, smoothed; rpm.</summary>
    internal static Series Clean(Series rpm)
    {
        (List<double> times, List<double> values) = WithoutSpikes(rpm);
        double[] smooth = [.. values];
        LocalLevel(smooth);
        return new Series([.. times], smooth);
    }

    private static (List<double> Times, List<double> Values) WithoutSpikes(Series rpm)
    {
        var times = new List<double>(rpm.Count);
        var values = new List<double>(rpm.Count);
        for (int i = 0; i < rpm.Count; i++)
        {
            if (double.IsFinite(rpm.Values[i]) && rpm.Values[i] > 0 && !IsSpike(rpm.Values, i))
            {
                times.Add(rpm.TimeS[i]);
                values.Add(rpm.Values[i]);
            }
        }

        return (times, values);
    }

    // Against the median of five: a single reading or two off by more than a fifth is no rotor, whose inertia holds it.
    private static bool IsSpike(double[] values, int at)
    {
        Span<double> near = stackalloc double[5];
        int n = 0;
        for (int i = Math.Max(0, at - 2); i <= Math.Min(values.Length - 1, at + 2); i++)
        {
            near[n++] = double.IsFinite(values[i]) ? values[i] : 0;
        }

        double median = n == near.Length ? Selection.MedianOfFive(near) : Selection.Take(near[..n], n / 2);
        return Math.Abs(values[at] - median) > Tuning.SpikeShare * Math.Abs(median);
    }

    /// <summary>How fast the angle integrated from readings is thought to go astray, rad² a second: the readings' noise, their step,
    /// and what the rotor does between readings.</summary>
    internal static double AngleProcessNoise(Series rpm)
    {
        (List<double> times, List<double> values) = WithoutSpikes(rpm);
        if (values.Count < Tuning.LeastReadings)
        {
            return 0;
        }

        (double noise, double walk) = Variances([.. values]);
        double every = (times[^1] - times[0]) / (times.Count - 1),
            step = LeastStep(values);
        // A random walk known at both ends deviates from the straight line by a twelfth of its step's variance.
        double variance = Math.Max(noise, step * step / 12) + Math.Max(0, walk) / 12;
        return Math.Pow(Math.Tau / 60, 2) * variance * every;
    }

    /// <summary>Least difference between two different readings, rpm; 0 when there are none.</summary>
    private static double LeastStep(List<double> values)
    {
        double[] levels = [.. values.Distinct().Order()];
        double least = double.PositiveInfinity;
        for (int i = 1; i < levels.Length; i++)
        {
            least = Math.Min(least, levels[i] - levels[i - 1]);
        }

        return double.IsFinite(least) ? least : 0;
    }

    /// <summary>Variance of the readings' noise and of a step of what they show, from the autocovariances of their first
    /// differences.</summary>
    private static (double Noise, double Walk) Variances(double[] values)
    {
        int n = values.Length;
        double c0 = 0,
            c1 = 0;
        for (int i = 1; i < n; i++)
        {
            double d = values[i] - values[i - 1];
            c0 += d * d;
            c1 += i + 1 < n ? d * (values[i + 1] - values[i]) : 0;
        }

        double noise = -c1 / (n - 2);
        return (noise, c0 / (n - 1) - 2 * noise);
    }

    /// <summary>Smooths in place by the local level model (random walk seen through white noise), whose two variances are read
    /// from the autocovariances of the first differences; leaves values alone where these show no noise.</summary>
    /// <remarks>Model and smoother: A. Harvey, Forecasting, Structural Time Series Models and the Kalman Filter, 1989, 2.4 and 4.3;
    /// smoother by Rauch, Tung and Striebel, AIAA J. 3, 1965.</remarks>
    internal static void LocalLevel(double[] values)
    {
        int n = values.Length;
        if (n < Tuning.LeastReadings)
        {
            return;
        }

        (double noise, double walk) = Variances(values);
        if (noise <= 0)
        {
            return;
        }

        walk = Math.Max(walk, Tuning.LeastProcessNoise * noise);
        double[] level = new double[n],
            variance = new double[n];
        // Nothing is known of the level before the first reading: it is that reading, with the reading's variance.
        double x = level[0] = values[0],
            p = variance[0] = noise;
        for (int i = 1; i < n; i++)
        {
            double ahead = p + walk,
                gain = ahead / (ahead + noise);
            x += gain * (values[i] - x);
            p = ahead * (1 - gain);
            level[i] = x;
            variance[i] = p;
        }

        values[n - 1] = level[n - 1];
        for (int i = n - 2; i >= 0; i--)
        {
            double back = variance[i] / (variance[i] + walk);
            values[i] = level[i] + back * (values[i + 1] - level[i]);
        }
    }
}
