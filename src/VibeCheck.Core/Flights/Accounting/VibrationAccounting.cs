using VibeCheck.Core.Airframes;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>Splits the vibration of a hover into parts; see docs/methods/accounting.md.</summary>
internal static class VibrationAccounting
{
    private const double WindowS = 2;
    internal const double TopShare = 0.4;
    private const double BodyShare = 0.3;
    private const double LeastEdgeHz = 5,
        MostEdgeHz = 25,
        UsualEdgeHz = 10;

    /// <summary>The band of the account: from 0.3 of the rotor frequency (5 to 25 Hz, 10 Hz where that is unknown) to 0.4 of the sample
    /// rate.</summary>
    internal static Interval Band(double? rotorHz, double rateHz)
    {
        double top = TopShare * rateHz;
        return new(Math.Min(top / 2, rotorHz is double hz ? Math.Clamp(BodyShare * hz, LeastEdgeHz, MostEdgeHz) : UsualEdgeHz), top);
    }

    /// <summary>The account of a hover; null where the hover contains no window.</summary>
    /// <param name="flight">The flight, with the speeds that were logged or found.</param>
    /// <param name="airframe">Its aircraft.</param>
    /// <param name="hover">The time of the flight that is used.</param>
    /// <param name="group">The rotors as a group, where they were measured in that way.</param>
    /// <param name="band">The band; null for that of this flight alone.</param>
    internal static VibrationAccount? Of(
        Flight flight,
        Airframe airframe,
        IReadOnlyList<TimeInterval> hover,
        GroupResult? group,
        Interval? band
    )
    {
        IReadOnlyList<TimeInterval> over = MeasuredTime.Of(hover);
        if (hover.Count == 0 || ShortSpectra.Of(flight.Imu, over, WindowS, TopShare * flight.Imu.RateHz) is not { } spectra)
        {
            return null;
        }

        IReadOnlyList<RotorPath> paths = RotorPath.Of(flight, airframe, group, spectra.CentreS, 1 / spectra.ResolutionHz);
        Interval used = band ?? Band(paths.Count == 0 ? null : paths.Average(p => p.MeanHz), flight.Imu.RateHz);
        (KnockSummary knocks, double knockPower) = KnockFinder.Find(flight.Imu, ContiguousSegment.Within(flight.Imu, over));
        AccountSplit split = new(spectra, paths, used);
        double floorPower = AccountSplit.Power(Array.ConvertAll(split.Floor, d => (float)d), spectra.ResolutionHz, used);
        NoisePower noise = new(
            SensorNoise.MeanSquare(flight, hover, used, spectra, split.Floor, WindowS),
            RoundingNoise.MeanSquare(flight.Imu, used, floorPower)
        );
        return paths.Count == 0
            ? WithoutRotors(spectra, used, knocks, knockPower, noise, group?.TotalMps2.Why ?? new RotorFrequenciesUnknown())
            : split.Result(knocks, knockPower, noise) with
            {
                Dips = RotorDips.Of(spectra, paths),
            };
    }

    /// <summary>The noise as a result, from the mean square found; its uncertainty is included in the parts from which it is
    /// subtracted.</summary>
    internal static Estimate NoiseMps2(double? noise) =>
        noise is double square
            ? Estimate.Around(Math.Sqrt(square), 1.96 / 2 * SensorNoise.UShare * Math.Sqrt(square))
            : Estimate.Unknown(new NoTimeAtRest());

    private static VibrationAccount WithoutRotors(
        ShortSpectra spectra,
        Interval band,
        KnockSummary knocks,
        double knockPower,
        NoisePower noise,
        Reason why
    )
    {
        double[] total = [.. spectra.Density.Select(row => AccountSplit.Power(row, spectra.ResolutionHz, band) - noise.Subtracted)];
        double mean = total.Average();
        return new()
        {
            TotalMps2 = GroupLevels.Size(total, noise.Uncertainty),
            SensorNoiseMps2 = NoiseMps2(noise.AtRest),
            RoundingNoiseMps2 = Math.Sqrt(noise.Rounding),
            BandHz = band,
            Parts =
            [
                .. Enum.GetValues<VibrationPartKind>()
                    .Select(k =>
                        k == VibrationPartKind.Knocks
                            ? AccountSplit.KnockPart(knocks, knockPower, mean)
                            : new VibrationPart(k, Estimate.Unknown(why), null)
                    ),
            ],
            Knocks = knocks,
        };
    }
}

/// <summary>Orders of the rotors pass over a steady line in all windows of the hover except at most one: its size is not known.</summary>
/// <param name="Hz">The line, Hz.</param>
public sealed record LinePassedByOrders(double Hz) : Reason;

/// <summary>The log has no time at rest before or after the flight, so the noise of the accelerometer is not known.</summary>
public sealed record NoTimeAtRest : Reason;

/// <summary>No rotor's frequency is known, so lines cannot be distinguished.</summary>
public sealed record RotorFrequenciesUnknown : Reason;
