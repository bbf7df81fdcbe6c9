using System.Numerics;
using MathNet.Numerics.LinearRegression;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Structure;

/// <summary>The ringing of the airframe after a bump: its frequency and its decay.</summary>
/// <remarks>
/// The samples after the bump are converted to their analytic signal in a band around the strongest line (transform, positive frequencies
/// of the band, inverse transform): its magnitude is the envelope, the rate of change of its phase is the frequency. The
/// logarithm of the envelope of a damped oscillator falls on a straight line of slope -ζω (logarithmic decrement; S. Rao, Mechanical
/// Vibrations, section 2.6).
/// </remarks>
public static class FreeDecay
{
    private const double LongestS = 1;
    private const double LowestHz = 8;
    private const double LeastFallDb = 10;
    private const double LeastFit = 0.97;
    private const int LeastCycles = 4;
    private const double BumpOverUsual = 5;

    /// <summary>The ringing after the hardest bump from a time on; null when there is none or it does not ring cleanly.</summary>
    /// <param name="imu">The track.</param>
    /// <param name="afterS">Start of the search, s.</param>
    public static StructureMode? After(ImuTrack imu, double afterS)
    {
        ArgumentNullException.ThrowIfNull(imu);
        int samples = 1 << (int)Math.Floor(Math.Log2(imu.RateHz * LongestS));
        if (samples < 32 || HardestBump(imu, afterS) is not int bump)
        {
            return null;
        }

        ContiguousSegment block = imu.Blocks.First(b => bump >= b.FirstSample && bump < b.FirstSample + b.SampleCount);
        if (bump + samples > block.FirstSample + block.SampleCount)
        {
            return null;
        }

        string[] names = ["acc_x", "acc_y", "acc_z"];
        return Enumerable
            .Range(0, 3)
            .Select(axis => Ringing(imu.Acceleration[axis].AsSpan(bump, samples), 1 / block.PeriodS, names[axis]))
            .OfType<(StructureMode Mode, double SizeMps2)>()
            .OrderByDescending(r => r.SizeMps2)
            .Select(r => r.Mode)
            .FirstOrDefault();
    }

    /// <summary>Sample of the hardest bump, which clearly exceeds the rest of the time.</summary>
    private static int? HardestBump(ImuTrack imu, double afterS)
    {
        double hardest = 0,
            squares = 0;
        int at = -1,
            count = 0;
        double[] x = imu.AccXMps2,
            y = imu.AccYMps2,
            z = imu.AccZMps2;
        foreach (ContiguousSegment block in imu.Blocks)
        {
            // Clamped before it becomes an integer: blocks of a broken clock can begin years apart.
            int first = (int)Math.Clamp(Math.Ceiling((afterS - block.StartS) / block.PeriodS), 1, block.SampleCount);
            for (int i = block.FirstSample + first; i < block.FirstSample + block.SampleCount; i++)
            {
                double stepX = x[i] - x[i - 1],
                    stepY = y[i] - y[i - 1],
                    stepZ = z[i] - z[i - 1];
                double size = stepX * stepX + stepY * stepY + stepZ * stepZ;
                squares += double.IsFinite(size) ? size : 0;
                count++;
                if (size > hardest)
                {
                    (hardest, at) = (size, i);
                }
            }
        }

        return at >= 0 && hardest > BumpOverUsual * BumpOverUsual * squares / count ? at : null;
    }

    private static (StructureMode Mode, double SizeMps2)? Ringing(ReadOnlySpan<double> samples, double rateHz, string channel)
    {
        double mean = 0;
        foreach (double sample in samples)
        {
            mean += sample / samples.Length;
        }

        if (!double.IsFinite(mean))
        {
            return null;
        }

        Complex[] bins = new Complex[samples.Length];
        for (int i = 0; i < bins.Length; i++)
        {
            bins[i] = samples[i] - mean;
        }

        FftSharp.FFT.Forward(bins);
        double resolutionHz = rateHz / bins.Length;
        int lowest = (int)Math.Ceiling(LowestHz / resolutionHz),
            peak = lowest;
        for (int k = lowest; k < bins.Length / 2; k++)
        {
            peak = bins[k].Magnitude > bins[peak].Magnitude ? k : peak;
        }

        KeepBand(bins, peak);
        FftSharp.FFT.Inverse(bins);
        return Fit(bins, peak * resolutionHz, rateHz, channel);
    }

    /// <summary>Keeps the positive frequencies within a third of the peak, doubled: the transform of the analytic signal.</summary>
    private static void KeepBand(Complex[] bins, int peak)
    {
        for (int k = 0; k < bins.Length; k++)
        {
            bins[k] = k >= peak * 2 / 3 && k <= Math.Min(bins.Length / 2 - 1, peak * 4 / 3 + 1) ? 2 * bins[k] : 0;
        }
    }

    private static (StructureMode Mode, double SizeMps2)? Fit(Complex[] analytic, double nearHz, double rateHz, string channel)
    {
        // The first cycle contains the bump itself, and a band-limited signal wraps around at its ends.
        int first = (int)Math.Ceiling(rateHz / nearHz),
            end = first;
        double size = first < analytic.Length ? analytic[first].Magnitude : 0;
        double floor = size * Math.Pow(10, -LeastFallDb * 2 / 20);
        while (end < analytic.Length * 9 / 10 && analytic[end].Magnitude > floor)
        {
            end++;
        }

        double fallDb = end > first ? 20 * Math.Log10(size / Math.Max(analytic[end - 1].Magnitude, double.Epsilon)) : 0;
        if ((end - first) * nearHz / rateHz < LeastCycles || fallDb < LeastFallDb)
        {
            return null;
        }

        double[] time = [.. Enumerable.Range(0, end - first).Select(i => i / rateHz)];
        double[] logs = [.. Enumerable.Range(first, end - first).Select(i => Math.Log(analytic[i].Magnitude))];
        double[] turns = Unwrapped(analytic.AsSpan(first, end - first));
        (_, double slope) = SimpleRegression.Fit(time, logs);
        (_, double turn) = SimpleRegression.Fit(time, turns);
        double fit = MathNet.Numerics.Statistics.Correlation.Pearson(time, logs),
            omega = turn,
            damping = -slope / Math.Sqrt(omega * omega + slope * slope);
        if (fit * fit < LeastFit || damping is <= 0 or >= 0.5)
        {
            return null;
        }

        // The residual of the line through the logarithm gives the uncertainty of its slope; a dozen points per cycle are not a dozen
        // independent values.
        double cycles = time[^1] * nearHz,
            relative = 2 * Math.Sqrt((1 / (fit * fit) - 1) / Math.Max(1, cycles - 2)) + 0.5 / cycles;
        double hz = Math.Sqrt(omega * omega + slope * slope) / (2 * Math.PI);
        return (
            new()
            {
                Channel = channel,
                Hz = Estimate.Around(hz, 0.25 / time[^1]),
                DampingRatio = Estimate.Of(damping, new(Math.Max(0, damping * (1 - relative)), damping * (1 + relative))),
                Method = ModeEvidence.FreeDecay,
            },
            size
        );
    }

    private static double[] Unwrapped(ReadOnlySpan<Complex> analytic)
    {
        double[] angles = new double[analytic.Length];
        for (int i = 1; i < angles.Length; i++)
        {
            angles[i] = angles[i - 1] + (analytic[i] / analytic[i - 1]).Phase;
        }

        return angles;
    }
}
