using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights;

/// <summary>Broadband levels of the IMU's channels, and of the velocity derived from the acceleration.</summary>
/// <remarks>Power in the band of each window of the spectrum, averaged. The interval applies to the logarithm of that mean, and takes the
/// correlation of the windows into account. Velocity is the acceleration's density over (2πf)², in the band of ISO 20816-1, 10 to 1000
/// Hz.</remarks>
internal sealed class BroadbandLevels
{
    private const double LowestHz = 5;
    private const double HighestHz = 1000;
    private const double VelocityFromHz = 10;

    private readonly WelchPlan _plan;
    private readonly Interval _band;
    private readonly Interval? _velocityBand;

    internal BroadbandLevels(WelchPlan plan, Interval? bandHz)
    {
        _plan = plan;
        double half = plan.RateHz / 2;
        Interval wanted = bandHz ?? new Interval(Math.Min(LowestHz, half / 2), HighestHz);
        double low = Math.Clamp(wanted.Low, 0, half);
        _band = new(low, Math.Clamp(wanted.High, low, half));
        _velocityBand = half > VelocityFromHz ? new Interval(VelocityFromHz, Math.Min(HighestHz, half)) : null;
    }

    /// <summary>Weights of the bands in which the windows of the channel are summed.</summary>
    internal IReadOnlyList<double[]> Weights(ImuChannel channel)
    {
        double[] flat = BandWeights.Flat(_plan.Bins, _plan.ResolutionHz, _band.Low, _band.High);
        return channel.IsAcceleration && _velocityBand is Interval velocity
            ? [flat, BandWeights.Velocity(_plan.Bins, _plan.ResolutionHz, velocity.Low, velocity.High)]
            : [flat];
    }

    /// <summary>Levels of all channels, then the velocities.</summary>
    internal IReadOnlyList<Level> Of(IReadOnlyList<ChannelAverage> averages)
    {
        List<Level> levels = [.. averages.Select(a => new Level(a.Channel.Name, a.Channel.Unit, Rms(a.Average.BandPowers(0)), _band))];
        if (_velocityBand is Interval velocity)
        {
            levels.AddRange(
                averages
                    .Where(a => a.Channel.IsAcceleration)
                    .Select(a => new Level(
                        a.Channel.Name.Replace("acc_", "velocity_", StringComparison.Ordinal),
                        "mm/s",
                        Rms(a.Average.BandPowers(1)),
                        velocity
                    ))
            );
        }

        return levels;
    }

    private static Estimate Rms(IReadOnlyList<double> powers)
    {
        DependentMean mean = DependentMean.Of(powers);
        double rms = Math.Sqrt(Math.Max(0, mean.Mean));
        if (mean.Half95 is not double half || mean.Mean <= 0)
        {
            return mean.Mean <= 0
                ? Estimate.WithoutInterval(0, new ChannelStill())
                : Estimate.WithoutInterval(rms, new HoverTooShortForInterval(IndependentValues.Windows));
        }

        double spread = half / mean.Mean / 2;
        return Estimate.Of(rms, new(rms * Math.Exp(-spread), rms * Math.Exp(spread)));
    }
}
