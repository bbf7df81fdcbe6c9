using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Orders.Group;

/// <summary>Measures the rotors as a group where their own speeds are not known; see docs/methods/group.md.</summary>
internal static class GroupAnalysis
{
    private const double SearchWindowS = 1;

    /// <summary>Turns a window of the measurement holds: two bins of it are 2 % of the rotor frequency.</summary>
    private const double Turns = 100;

    private const double ShortestS = 0.5,
        LongestS = 4;
    private const double LeastRateHz = 200;

    /// <summary>How well the speeds explain one flight; null where the log or the hover cannot show rotors.</summary>
    internal static SpeedCurve? Curve(ImuTrack imu, IReadOnlyList<TimeInterval> hover, IReadOnlyCollection<int> blades) =>
        imu.Count == 0 || imu.RateHz < LeastRateHz ? null
        : ShortSpectra.Of(imu, MeasuredTime.Of(hover), SearchWindowS) is { } spectra ? new(spectra, blades)
        : null;

    /// <summary>Measures the group about a chosen speed.</summary>
    /// <param name="imu">Acceleration.</param>
    /// <param name="hover">The time used.</param>
    /// <param name="choice">The speed, chosen for all flights that are compared; null to choose it for this one alone.</param>
    /// <param name="blades">Blade counts of the airframe.</param>
    /// <param name="orders">Orders wanted, rising.</param>
    /// <param name="shape">Expected variation of the speed with time, mean 1; null when unknown.</param>
    internal static GroupResult Measure(
        ImuTrack imu,
        IReadOnlyList<TimeInterval> hover,
        GroupSpeedChoice? choice,
        IReadOnlyCollection<int> blades,
        IReadOnlyList<int> orders,
        Series? shape
    )
    {
        if (imu.Count > 0 && imu.RateHz < LeastRateHz)
        {
            return GroupResult.Unknown(new TooSlowForRotors(imu.RateHz));
        }

        if (Curve(imu, hover, blades) is not { } curve)
        {
            return GroupResult.Unknown(new HoverTooBroken());
        }

        choice ??= GroupSpeedChoice.Of([curve], []);
        if (choice.Why is not null)
        {
            return GroupResult.Unknown(choice.Why);
        }

        double windowS = Math.Clamp(Turns / choice.Hz, ShortestS, LongestS);
        return ShortSpectra.Of(imu, MeasuredTime.Of(hover), windowS) is { } spectra
            ? Measure(spectra, curve, choice, orders, shape)
            : GroupResult.Unknown(new HoverTooBroken());
    }

    private static GroupResult Measure(
        ShortSpectra spectra,
        SpeedCurve curve,
        GroupSpeedChoice choice,
        IReadOnlyList<int> orders,
        Series? shape
    )
    {
        int[] within = [.. orders.Where(k => k * choice.Hz * 1.1 < spectra.TopHz)];
        int[] seen = [.. within.Where(k => curve.Sees(k * choice.Hz))];
        if (seen.Length == 0)
        {
            return GroupResult.Unknown(new NoRotorLines());
        }

        GroupSpeedPath path = new GroupTracker(spectra, seen, choice.Hz, shape).Follow();
        GroupBand band = GroupBand.Of(spectra, seen, path);
        // The path is that of the pattern; the group's own speed is the centre of the band that it fills.
        path = path with
        {
            Hz = Array.ConvertAll(path.Hz, hz => hz * (1 + band.Middle)),
        };
        double half = (band.High - band.Low) / 2 / (1 + band.Middle);
        band = new(-half, half);
        return Result(spectra, path, band, choice, orders);
    }

    private static GroupResult Result(
        ShortSpectra spectra,
        GroupSpeedPath path,
        GroupBand band,
        GroupSpeedChoice choice,
        IReadOnlyList<int> orders
    )
    {
        GroupLevels levels = new(spectra, path, band);
        GroupLevels[] axes = [.. Enumerable.Range(0, 3).Select(a => new GroupLevels(spectra.OfAxis(a), path, band))];
        int[] counted = [.. orders.Where(levels.Shows)];
        (double[] Net, double FloorU)[] powers = [.. counted.Select(levels.Of)];
        double[] total = new double[path.Hz.Length];
        foreach ((double[] net, _) in powers)
        {
            for (int w = 0; w < total.Length; w++)
            {
                total[w] += net[w];
            }
        }

        double floorU = Math.Sqrt(powers.Sum(p => p.FloorU * p.FloorU));
        Estimate size = GroupLevels.Size(total, floorU);
        if (!(size.Value > 0))
        {
            return GroupResult.Unknown(new RotorsInNoise());
        }

        OrderLevel[] lines =
        [
            .. counted.Select(
                (k, i) =>
                    new OrderLevel
                    {
                        Order = k,
                        RmsMps2 = GroupLevels.Size(powers[i].Net, powers[i].FloorU),
                        PerAxisMps2 = [.. axes.Select(a => Math.Sqrt(Math.Max(0, a.Of(k).Net.Average())))],
                        Separable = true,
                    }
            ),
        ];

        // The middle of the group's band, within the band: which motor turns where is not known.
        double rpm = 60 * path.MeanHz;
        return new()
        {
            Rpm = choice.Octave is { } octave
                ? Estimate.Unknown(octave)
                : Estimate.Around(rpm, rpm * Math.Max(0.005, (band.High - 0.012) / 2)),
            Orders = choice.Octave is not null
                ? []
                :
                [
                    .. orders.Select(k => new GroupOrder(
                        k,
                        Array.IndexOf(counted, k) is var i && i >= 0
                            ? lines[i].RmsMps2
                            : Estimate.Unknown(new OrderAboveLog(k * rpm / 60, spectra.TopHz))
                    )),
                ],
            TotalMps2 = size,
            Counted = counted,
            BaseHz = path.MeanHz,
            Band = new(band.Low, band.High),
            Path = path,
            Lines = lines,
            NetPowers = [.. powers.Select(p => p.Net)],
            FloorU = [.. powers.Select(p => p.FloorU)],
        };
    }
}
