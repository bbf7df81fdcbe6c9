using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>The noise that rounding adds to an acceleration written in steps.</summary>
/// <remarks>W. R. Bennett, Bell System Technical Journal 27 (1948) 446-472, from memory: a signal that moves over several steps q gets noise of mean
/// square q² / 12, spread evenly from 0 to half the sample rate. Where the steps are too coarse for this, the vibration is
/// withheld.</remarks>
internal static class RoundingNoise
{
    // A smaller share of the power between the lines is within the uncertainty of the parts.
    private const double LeastShare = 0.05;

    // The floor of the hover can be below the noise by chance: noise is subtracted up to this share of it.
    private const double MostOfFloor = 0.98;

    /// <summary>Mean square of the noise in a band, three axes, (m/s²)²; 0 where it does not matter.</summary>
    /// <param name="imu">The track, with the steps in which it was written.</param>
    /// <param name="bandHz">The band.</param>
    /// <param name="floorPower">Power between the lines in the band, (m/s²)².</param>
    internal static double MeanSquare(ImuTrack imu, Interval bandHz, double floorPower)
    {
        double noise = imu.AccStepsMps2.Sum(q => q * q / 12) * bandHz.Width / (imu.RateHz / 2);
        return noise < LeastShare * floorPower ? 0 : Math.Min(noise, MostOfFloor * floorPower);
    }
}

/// <summary>Noise that is no vibration, as mean squares in the band of the account, (m/s²)².</summary>
/// <remarks>In flight the noise is that of the sensor plus that of rounding. A sensor whose noise is small against the steps stays on one of
/// them at rest, so its record at rest contains anything from none to all of the noise of rounding: the sum lies between the larger of the
/// two and both together. The middle is subtracted, with the uncertainty of a rectangular distribution (GUM 4.3.7).</remarks>
/// <param name="AtRest">Measured at rest; null where the log has no time at rest.</param>
/// <param name="Rounding">Of the rounding in the log; 0 where it does not matter.</param>
internal readonly record struct NoisePower(double? AtRest, double Rounding)
{
    private double HalfWidth => Math.Min(AtRest ?? 0, Rounding) / 2;

    /// <summary>What is subtracted.</summary>
    internal double Subtracted => Math.Max(AtRest ?? 0, Rounding) + HalfWidth;

    /// <summary>Its standard uncertainty.</summary>
    internal double Uncertainty => Math.Sqrt(Math.Pow(SensorNoise.UShare * Subtracted, 2) + HalfWidth * HalfWidth / 3);

    /// <summary>Least noise of the sensor itself that agrees with the record at rest; null without such a record.</summary>
    internal double? LeastOfSensor => AtRest is double rest ? Math.Max(0, rest - Rounding) : null;
}
