using System.Numerics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Signals;

/// <summary>Power spectral densities of an IMU's channels over chosen stretches of a flight.</summary>
public static class Spectra
{
    // Sixteen half-overlapped windows hold a density to about ±2 dB (95 %), and a longer hover buys resolution until 4 s windows.
    private const int WindowsWanted = 8;
    private const double FinestHz = 0.25;
    private const int ShortestWindow = 32;

    /// <summary>One spectrum a channel: the three accelerations, and the three rates where logged.</summary>
    /// <param name="imu">The track.</param>
    /// <param name="segments">Stretches to average over. No window reaches over a gap or out of a segment.</param>
    /// <param name="options">Window, resolution, overlap.</param>
    /// <returns>Empty when no stretch holds a window.</returns>
    public static IReadOnlyList<Spectrum> Of(ImuTrack imu, IReadOnlyList<TimeInterval> segments, SpectrumOptions options)
    {
        ArgumentNullException.ThrowIfNull(imu);
        ArgumentNullException.ThrowIfNull(options);
        IReadOnlyList<ContiguousSegment> runs = ContiguousSegment.Within(imu, segments);
        return WindowLength(runs, imu.RateHz, options) is int length
            ? [.. Averages(imu, runs, Plan(imu.RateHz, length, options), _ => []).Select(a => a.Spectrum)]
            : [];
    }

    internal static WelchPlan Plan(double rateHz, int length, SpectrumOptions options) =>
        new(options.Window, length, Math.Max(1, (int)Math.Round(length * (1 - options.Overlap))), rateHz);

    /// <summary>Samples a window: a power of two from the resolution asked for, or from the time
    /// there is; null when no run holds a window.</summary>
    internal static int? WindowLength(IReadOnlyList<ContiguousSegment> runs, double rateHz, SpectrumOptions options)
    {
        int longest = runs.Count == 0 ? 0 : runs.Max(r => r.SampleCount);
        if (longest < ShortestWindow)
        {
            return null;
        }

        double wanted = options.ResolutionHz is double hz
            ? BitOperations.RoundUpToPowerOf2((uint)Math.Ceiling(rateHz / hz))
            : Math.Min(rateHz / FinestHz, runs.Sum(r => (double)r.SampleCount) / WindowsWanted);

        // Rounded down to a power of two, and never longer than the longest run.
        double most = Math.Max(ShortestWindow, Math.Min(wanted, longest));
        return 1 << (int)Math.Floor(Math.Log2(most) + 1e-9);
    }

    /// <summary>Spectrum and power per window in bands, for each channel, on both cores.</summary>
    /// <param name="imu">The track.</param>
    /// <param name="runs">Samples to average over.</param>
    /// <param name="plan">How to transform.</param>
    /// <param name="bandWeights">Weights of a channel's bands.</param>
    /// <param name="taker">Who is shown a channel's windows one by one, if anybody.</param>
    internal static IReadOnlyList<ChannelAverage> Averages(
        ImuTrack imu,
        IReadOnlyList<ContiguousSegment> runs,
        WelchPlan plan,
        Func<ImuChannel, IReadOnlyList<double[]>> bandWeights,
        Func<ImuChannel, SquaresTaker?>? taker = null
    )
    {
        IReadOnlyList<ImuChannel> channels = ImuChannel.Of(imu);
        ChannelAverage?[] averages = new ChannelAverage?[channels.Count];
        Parallel.For(
            0,
            channels.Count,
            i =>
            {
                WelchAverage average = new(plan, bandWeights(channels[i]), taker?.Invoke(channels[i]));
                foreach (ContiguousSegment run in runs)
                {
                    average.Add(channels[i].Samples.AsSpan(run.FirstSample, run.SampleCount));
                }

                averages[i] = average.WindowCount == 0 ? null : new(channels[i], Finish(channels[i], average, plan), average);
            }
        );
        return [.. averages.OfType<ChannelAverage>()];
    }

    private static Spectrum Finish(ImuChannel channel, WelchAverage average, WelchPlan plan) =>
        new()
        {
            Channel = channel.Name,
            Unit = channel.Unit,
            ResolutionHz = plan.ResolutionHz,
            Density = average.Density(),
            Window = plan.Window,
            NoiseBandwidthBins = plan.Window.NoiseBandwidthBins,
            DegreesOfFreedom = Welch.DegreesOfFreedom(plan.Weights, plan.Step, average.WindowsPerRun),
        };
}

/// <summary>A channel's spectrum with the sums it came from.</summary>
internal sealed record ChannelAverage(ImuChannel Channel, Spectrum Spectrum, WelchAverage Average);
