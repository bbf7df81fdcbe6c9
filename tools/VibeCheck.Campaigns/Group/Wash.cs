using VibeCheck.Core.Tracks;

namespace VibeCheck.Campaigns.Group;

/// <summary>Vibration of an airframe outside its rotors' orders: rotor wash that gusts increase, with a spectrum shaped by the structure,
/// and a hum.</summary>
/// <param name="Modes">Modes of the structure that the wash excites: frequency, damping as a share of critical, rms in m/s².</param>
/// <param name="Gust">How much gusts increase the wash, one sigma, share.</param>
/// <param name="GustS">How long a gust lasts, s.</param>
/// <param name="HumHz">A steady hum (a gimbal, a fan of the payload), Hz; 0 for none.</param>
/// <param name="HumMps2">Its rms, m/s².</param>
internal sealed record Wash(
    IReadOnlyList<(double Hz, double Damping, double RmsMps2)> Modes,
    double Gust,
    double GustS,
    double HumHz,
    double HumMps2
)
{
    private const double RumbleHz = 30,
        RumbleDamping = 0.8;

    internal static Wash Draw(Random random, double rotorHz)
    {
        List<(double Hz, double Damping, double RmsMps2)> modes =
        [
            (GroupTrial.In(random, 10, 60), GroupTrial.In(random, 0.2, 0.6), GroupTrial.In(random, 0.05, 0.3)),
            (GroupTrial.In(random, 60, 200), GroupTrial.In(random, 0.2, 0.6), GroupTrial.In(random, 0.03, 0.2)),
        ];
        if (random.Next(2) == 0)
        {
            // A resonance of an arm at any frequency, also at that of an order.
            modes.Add((GroupTrial.In(random, 0.4, 3.5) * rotorHz, GroupTrial.In(random, 0.01, 0.04), GroupTrial.In(random, 0.03, 0.15)));
        }

        bool hum = random.Next(3) == 0;
        return new(
            modes,
            GroupTrial.In(random, 0.1, 0.4),
            GroupTrial.In(random, 1, 4),
            hum ? GroupTrial.In(random, 0.4, 2.6) * rotorHz : 0,
            hum ? GroupTrial.In(random, 0.02, 0.15) : 0
        );
    }

    /// <summary>The same with stronger wash.</summary>
    internal Wash Swollen(double by) => this with { Modes = [.. Modes.Select(m => (m.Hz, m.Damping, by * m.RmsMps2))] };

    /// <summary>The same with the noise of the frame, which is zero on the ground: rms of each axis in flight, m/s².</summary>
    internal Wash WithRumble(double perAxisMps2) => this with { Modes = [.. Modes, (RumbleHz, RumbleDamping, Math.Sqrt(3) * perAxisMps2)] };

    /// <summary>The track with wash and hum while the aircraft flies.</summary>
    internal ImuTrack AddedTo(ImuTrack imu, TimeInterval hover, int seed)
    {
        var random = new Random(seed ^ 0x3a51);
        double[] swell = Swell(imu, random);
        double[][] axes =
        [
            [.. imu.AccXMps2],
            [.. imu.AccYMps2],
            [.. imu.AccZMps2],
        ];
        foreach (double[] axis in axes)
        {
            foreach ((double hz, double damping, double rms) in Modes)
            {
                if (hz < 0.45 * imu.RateHz)
                {
                    Ring(axis, imu, hover, swell, hz, damping, rms / Math.Sqrt(3), random);
                }
            }

            double phase = GroupTrial.In(random, 0, 6.28),
                share = HumMps2 * Math.Sqrt(2.0 / 3);
            for (int i = 0; i < axis.Length && HumHz > 0; i++)
            {
                axis[i] += share * Math.Sin(2 * Math.PI * HumHz * TimeOf(imu, i) + phase);
            }
        }

        return imu with
        {
            AccXMps2 = axes[0],
            AccYMps2 = axes[1],
            AccZMps2 = axes[2],
        };
    }

    private double[] Swell(ImuTrack imu, Random random)
    {
        double keep = Math.Exp(-1 / (imu.RateHz * GustS)),
            state = GroupTrial.Gauss(random);
        double[] swell = new double[imu.Count];
        for (int i = 0; i < swell.Length; i++)
        {
            state = keep * state + Math.Sqrt(1 - keep * keep) * GroupTrial.Gauss(random);
            swell[i] = Math.Exp(Gust * state);
        }

        return swell;
    }

    /// <summary>A second-order resonance driven by white noise; none on the ground.</summary>
    private static void Ring(
        double[] axis,
        ImuTrack imu,
        TimeInterval hover,
        double[] swell,
        double hz,
        double damping,
        double rms,
        Random random
    )
    {
        double w = 2 * Math.PI * hz / imu.RateHz,
            r = Math.Exp(-damping * w),
            a1 = 2 * r * Math.Cos(w * Math.Sqrt(1 - damping * damping)),
            a2 = -r * r;
        double kick = Math.Sqrt((1 + a2) * ((1 - a2) * (1 - a2) - a1 * a1) / (1 - a2)) * rms,
            y1 = 0,
            y2 = 0;
        for (int i = 0; i < axis.Length; i++)
        {
            double t = TimeOf(imu, i),
                on = t > hover.FromS - 4 && t < hover.ToS + 4 ? 1 : 0,
                y = a1 * y1 + a2 * y2 + kick * on * swell[i] * GroupTrial.Gauss(random);
            (y2, y1) = (y1, y);
            axis[i] += y;
        }
    }

    private static double TimeOf(ImuTrack imu, int sample)
    {
        foreach (ContiguousSegment block in imu.Blocks)
        {
            if (sample < block.FirstSample + block.SampleCount)
            {
                return block.TimeOf(sample);
            }
        }

        return imu.EndS;
    }
}
