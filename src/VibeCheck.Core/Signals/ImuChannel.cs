using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Signals;

/// <summary>One channel of an IMU with its name and unit in results.</summary>
/// <param name="Name">acc_x, acc_y, acc_z, rate_x, rate_y or rate_z.</param>
/// <param name="Unit">m/s² or rad/s.</param>
/// <param name="Samples">The track's own array.</param>
internal sealed record ImuChannel(string Name, string Unit, double[] Samples)
{
    internal bool IsAcceleration => Name.StartsWith("acc_", StringComparison.Ordinal);

    /// <summary>The channels that a track has, accelerations first.</summary>
    internal static IReadOnlyList<ImuChannel> Of(ImuTrack imu)
    {
        List<ImuChannel> channels =
        [
            new("acc_x", "m/s²", imu.AccXMps2),
            new("acc_y", "m/s²", imu.AccYMps2),
            new("acc_z", "m/s²", imu.AccZMps2),
        ];
        AddIfLogged("rate_x", imu.RateXRadps);
        AddIfLogged("rate_y", imu.RateYRadps);
        AddIfLogged("rate_z", imu.RateZRadps);
        return channels;

        void AddIfLogged(string name, double[]? samples)
        {
            if (samples is not null)
            {
                channels.Add(new(name, "rad/s", samples));
            }
        }
    }
}
