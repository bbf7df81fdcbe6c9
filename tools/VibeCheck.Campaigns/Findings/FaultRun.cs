using MathNet.Numerics.LinearAlgebra;
using VibeCheck.Core.Airframes;

namespace VibeCheck.Campaigns.Findings;

/// <summary>The rotors of a simulated flight: speeds and angles at the IMU's times, with ground, climb, hover and landing.</summary>
/// <remarks>Gusts demand lift, roll, pitch and yaw, the mixer distributes them to the rotors, and the rotors follow with a lag of 50 ms:
/// the speeds of all motors vary together, as far as the mixer couples them.</remarks>
internal sealed class FaultRun
{
    internal const double GroundS = 7,
        ClimbS = 3,
        LandingS = 3;
    private const double LagS = 0.05;

    private readonly FaultTrial _trial;
    private readonly Random _random;

    internal FaultRun(FaultTrial trial)
    {
        _trial = trial;
        _random = new Random(trial.Seed);
        MadeAircraft a = trial.Aircraft;
        DtS = 1 / a.RateHz;
        Count = (int)((GroundS + ClimbS + a.HoverS + LandingS) * a.RateHz);
        (Thrust, MeanHz) = Trim();
        Hz = [.. MeanHz.Select(_ => new float[Count])];
        Air = new float[Count];
        Fly();
    }

    internal double DtS { get; }

    internal int Count { get; }

    /// <summary>Thrust of each motor in the hover, as a ratio to an equal share.</summary>
    internal double[] Thrust { get; }

    internal double[] MeanHz { get; }

    /// <summary>Rotor frequency at each sample, one row per motor.</summary>
    internal float[][] Hz { get; }

    /// <summary>Strength of the rotor wash at each sample, 1 in a calm hover.</summary>
    internal float[] Air { get; }

    /// <summary>Times at which a speed drops, s.</summary>
    internal List<double> DropsAtS { get; } = [];

    internal static double HoverFromS => GroundS + ClimbS;

    internal double HoverToS => HoverFromS + _trial.Aircraft.HoverS;

    /// <summary>Thrusts that carry the aircraft without turning it, with the least change from equal ones, and the speeds for
    /// them.</summary>
    private (double[] Thrust, double[] Hz) Trim()
    {
        MadeAircraft a = _trial.Aircraft;
        IReadOnlyList<Motor> motors = a.Airframe.Motors;
        int n = motors.Count;
        double angle = 2 * Math.PI * _random.NextDouble(),
            off = _trial.Is("centre-of-gravity") ? _trial.Amount : 0,
            forward = off > 0 ? off * Math.Cos(angle) : a.Forward,
            right = off > 0 ? off * Math.Sin(angle) : a.Right,
            split = _trial.Is("yaw-trim") ? (_random.Next(2) * 2 - 1) * _trial.Amount : a.Split;
        var balance = Matrix<double>.Build.Dense(
            4,
            n,
            (row, m) =>
                row switch
                {
                    0 => 1,
                    1 => Math.Cos(Math.PI / 180 * motors[m].AzimuthDeg) - forward,
                    2 => Math.Sin(Math.PI / 180 * motors[m].AzimuthDeg) - right,
                    _ => (motors[m].Spin == Spin.Clockwise ? 1 : -1) - split,
                }
        );
        var even = Vector<double>.Build.Dense(n, 1);
        Vector<double> change = balance.PseudoInverse() * (Vector<double>.Build.DenseOfArray([n, 0, 0, 0]) - balance * even);
        double[] thrust = [.. (even + change).Select(t => Math.Max(0.3, t))];
        double[] factor = [.. a.ThrustFactor];
        if (_trial.Is("carries-more"))
        {
            factor[_trial.Motor] *= 1 - _trial.Amount;
        }

        return (thrust, [.. thrust.Select((t, m) => a.HoverHz * Math.Sqrt(t / factor[m]))]);
    }

    private void Fly()
    {
        MadeAircraft a = _trial.Aircraft;
        IReadOnlyList<Motor> motors = a.Airframe.Motors;
        double[] asked = new double[4],
            smooth = new double[4],
            now = new double[motors.Count];
        double keep = Math.Exp(-DtS / a.GustS),
            soft = 1 - Math.Exp(-DtS / 0.15),
            lag = 1 - Math.Exp(-DtS / LagS),
            swell = 0;
        (double At, double Long)[] drops = Drops(a);
        for (int i = 0; i < Count; i++)
        {
            double t = i * DtS,
                lift = Envelope(t, a.HoverS);
            for (int k = 0; k < 4; k++)
            {
                asked[k] = keep * asked[k] + Math.Sqrt(1 - keep * keep) * MadeAircraft.Gauss(_random);
                smooth[k] += soft * (asked[k] - smooth[k]);
            }

            swell = keep * swell + Math.Sqrt(1 - keep * keep) * MadeAircraft.Gauss(_random);
            Air[i] = (float)(lift * lift * Math.Exp(30 * a.Gust * swell));
            for (int m = 0; m < motors.Count; m++)
            {
                double azimuth = Math.PI / 180 * motors[m].AzimuthDeg,
                    wish =
                        a.Gust
                        * (
                            smooth[0]
                            + 0.7 * (smooth[1] * Math.Cos(azimuth) + smooth[2] * Math.Sin(azimuth))
                            + 0.5 * smooth[3] * (motors[m].Spin == Spin.Clockwise ? 1 : -1)
                        ),
                    target = MeanHz[m] * lift * (1 + (lift > 0.3 ? wish : 0));
                if (m == _trial.Motor && drops.Any(d => t >= d.At && t < d.At + d.Long))
                {
                    target *= 1 - _trial.Amount;
                }

                now[m] += lag * (target - now[m]);
                Hz[m][i] = (float)now[m];
            }
        }
    }

    private (double At, double Long)[] Drops(MadeAircraft a)
    {
        if (!_trial.Is("speed-drops"))
        {
            return [];
        }

        List<(double, double)> drops = [];
        for (
            double at = HoverFromS + MadeAircraft.In(_random, 3, 12);
            at < HoverFromS + a.HoverS - 2;
            at += MadeAircraft.In(_random, 3, 10)
        )
        {
            drops.Add((at, MadeAircraft.In(_random, 0.2, 0.6)));
            DropsAtS.Add(at);
        }

        return [.. drops];
    }

    private static double Envelope(double t, double hoverS)
    {
        double climb = t - GroundS,
            hover = climb - ClimbS,
            landing = hover - hoverS;
        return climb < 0 || landing > LandingS ? 0
            : hover < 0 ? Math.Min(1, climb / 0.9) * (1 + 0.05 * Math.Sin(Math.PI * Math.Min(1, climb / ClimbS)))
            : landing < 0 ? 1
            : Math.Pow(1 - landing / LandingS, 0.7);
    }
}
