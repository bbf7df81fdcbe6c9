using VibeCheck.Core.Tracks;

namespace VibeCheck.Campaigns.Findings;

/// <summary>The acceleration at the IMU of a simulated flight: rotor forces transmitted by the resonances of the arms, wash, and the
/// fault.</summary>
/// <remarks>Every force is filtered sample by sample, so that gains and phases follow the speed with the transients of a real
/// structure.</remarks>
internal sealed class FaultVibration(FaultTrial trial, FaultRun run)
{
    private readonly Random _random = new(trial.Seed ^ 0x51ab);
    private readonly double[][] _acc = [new double[run.Count], new double[run.Count], new double[run.Count]];

    /// <summary>The track, and the number of samples at the end of the range.</summary>
    internal (ImuTrack Imu, int Clipped) Make()
    {
        MadeAircraft a = trial.Aircraft;
        for (int m = 0; m < a.Airframe.Motors.Count; m++)
        {
            AddRotor(m);
        }

        AddWash();
        AddFault();
        double[][] acc = Filtered(_acc);
        double[][] rates = [.. acc.Select((axis, i) => Rates(acc[(i + 1) % 3]))];
        double periodS = run.DtS;
        if (trial.Is("slow-logger"))
        {
            (acc, rates, periodS) = Slowly(acc, rates);
        }

        for (int i = 0; i < acc[2].Length; i++)
        {
            acc[2][i] -= 9.80665;
        }

        int clipped = trial.Is("clipping") ? Clip(acc) : 0;
        ImuTrack imu = new()
        {
            Blocks = [new(0, acc[0].Length, 0, periodS)],
            AccXMps2 = acc[0],
            AccYMps2 = acc[1],
            AccZMps2 = acc[2],
            RateXRadps = rates[0],
            RateYRadps = rates[1],
            RateZRadps = rates[2],
            ZPointsUp = false,
        };
        return (imu, clipped);
    }

    private bool HasBegun(int i) => i * run.DtS >= trial.BeginsS;

    private bool InAir(int i) => i * run.DtS is var t && t > FaultRun.GroundS && t < run.HoverToS + FaultRun.LandingS;

    /// <summary>A rotating force and a blade-pass force, which act on the IMU partly directly and partly through the arm's mode.</summary>
    private void AddRotor(int m)
    {
        MadeAircraft a = trial.Aircraft;
        int blades = a.Airframe.Motors[m].Blades;
        bool mine = m == trial.Motor;
        double oneAtFault = mine && trial.Is("order-1-stands-out") ? trial.Amount * Median(a.Unbalance) : a.Unbalance[m],
            passAtFault = mine && trial.Is("blade-pass-stands-out") ? trial.Amount * Median(a.BladePass) : a.BladePass[m];
        double angle = 6.28 * _random.NextDouble(),
            lean = _random.NextDouble(),
            bearing = MadeAircraft.In(_random, 2.25, 2.75) + _random.Next(2),
            rolled = 0,
            slip = 0;
        Mode arm = new(a.Arms[m].Hz, a.Arms[m].Damping, a.RateHz);
        for (int i = 0; i < run.Count; i++)
        {
            double hz = run.Hz[m][i],
                size = hz * hz / (run.MeanHz[m] * run.MeanHz[m]);
            angle += 2 * Math.PI * hz * run.DtS;
            bool begun = HasBegun(i);
            double one = begun ? oneAtFault : a.Unbalance[m],
                pass = begun ? passAtFault : a.BladePass[m];
            double turning = one * size * Math.Cos(angle),
                across = one * size * Math.Sin(angle),
                lift =
                    pass * Math.Sqrt(2) * size * (0.7 + 0.3 * run.Air[i]) * Math.Cos(blades * angle + lean)
                    + 0.25 * pass * size * Math.Cos(2 * blades * angle)
                    + 0.2 * one * size * Math.Cos(2 * angle + 1);
            if (mine && begun && trial.Is("looseness"))
            {
                lift +=
                    trial.Amount
                    * Math.Sqrt(2)
                    * size
                    * (0.75 * Math.Cos(angle / 2) + 0.6 * Math.Cos(1.5 * angle + 2) + 0.28 * Math.Cos(2.5 * angle));
            }

            if (mine && trial.Is("bearing-tone"))
            {
                // The balls of the bearing slip a little.
                slip += 0.002 * Math.Sqrt(run.DtS) * MadeAircraft.Gauss(_random) - slip * run.DtS;
                rolled += 2 * Math.PI * bearing * hz * (1 + slip) * run.DtS;
                across += begun ? trial.Amount * Math.Sqrt(2) * size * Math.Cos(rolled) * (1 + 0.15 * Math.Cos(angle)) : 0;
            }

            double rung = 0.06 * arm.NextStatic(turning + lift);
            _acc[0][i] += 0.9 * turning + rung + 0.35 * lift;
            _acc[1][i] += 0.9 * across + 0.4 * rung + 0.25 * lift;
            _acc[2][i] += 0.9 * lift + 0.8 * rung + 0.2 * turning;
        }
    }

    /// <summary>Broadband turbulence around the frame's low modes, increased by gusts; sensor noise; and the slow motion of the
    /// body.</summary>
    private void AddWash()
    {
        MadeAircraft a = trial.Aircraft;
        double wash = trial.Is("broadband") ? trial.Amount : a.WashMps2;
        double calm = a.WashMps2 / wash;
        foreach (double[] axis in _acc)
        {
            Mode low = new(MadeAircraft.In(_random, 12, 45), 0.5, a.RateHz),
                high = new(MadeAircraft.In(_random, 70, 200), MadeAircraft.In(_random, 0.2, 0.5), a.RateHz);
            Pole soft = new(MadeAircraft.In(_random, 80, 180), a.RateHz);
            double sway = 0,
                slow = Math.Exp(-run.DtS / 0.5);
            double[] raw = new double[run.Count];
            for (int i = 0; i < run.Count; i++)
            {
                double g = MadeAircraft.Gauss(_random);
                raw[i] = run.Air[i] * (low.Next(g) * 0.4 + high.Next(g) * 0.25 + soft.Next(g));
            }

            double scale = wash / Math.Sqrt(3) / Rms(raw);
            for (int i = 0; i < run.Count; i++)
            {
                sway = slow * sway + Math.Sqrt(1 - slow * slow) * 0.3 * MadeAircraft.Gauss(_random);
                axis[i] +=
                    (HasBegun(i) ? 1 : calm) * scale * raw[i]
                    + (InAir(i) ? sway * run.Air[i] * 0.5 : 0)
                    + 0.03 * MadeAircraft.Gauss(_random);
            }
        }
    }

    private void AddFault()
    {
        if (trial.Is("steady-line"))
        {
            double hz = MadeAircraft.In(_random, 45, 0.3 * trial.Aircraft.RateHz),
                angle = 0;
            for (int i = 0; i < run.Count; i++)
            {
                angle += 2 * Math.PI * hz * run.DtS;
                Add(i, HasBegun(i) ? trial.Amount * Math.Sqrt(2) * Math.Cos(angle) : 0);
            }
        }

        if (trial.Is("hard-knocks"))
        {
            Mode body = new(MadeAircraft.In(_random, 60, 0.3 * trial.Aircraft.RateHz), 0.08, trial.Aircraft.RateHz);
            double every = MadeAircraft.LogIn(_random, 0.4, 4),
                next = FaultRun.HoverFromS + every,
                peak = 0;
            double[] ring = new double[run.Count];
            for (int i = 0; i < run.Count; i++)
            {
                bool hit = i * run.DtS > next && i * run.DtS < run.HoverToS;
                next += hit ? every * MadeAircraft.In(_random, 0.5, 1.5) : 0;
                ring[i] = body.Next(hit ? MadeAircraft.In(_random, 0.5, 1) : 0);
                peak = Math.Max(peak, Math.Abs(ring[i]));
            }

            for (int i = 0; i < run.Count; i++)
            {
                Add(i, trial.Amount * ring[i] / Math.Max(peak, 1e-9));
            }
        }
    }

    private void Add(int i, double value)
    {
        _acc[0][i] += 0.64 * value;
        _acc[1][i] += 0.48 * value;
        _acc[2][i] += 0.6 * value;
    }

    /// <summary>Filters between the frame and the log: a mode of the plate, a soft mount, notches that follow the rotors.</summary>
    private double[][] Filtered(double[][] acc)
    {
        MadeAircraft a = trial.Aircraft;
        double rotorHz = run.MeanHz.Average();
        if (trial.Is("resonance-near-order"))
        {
            int order = _random.Next(2) == 0 ? 1 : a.Airframe.Motors[0].Blades;
            double hz = order * rotorHz * MadeAircraft.In(_random, 0.96, 1.04),
                damping = 0.5 / trial.Amount;
            int strong = _random.Next(3);
            return
            [
                .. acc.Select(
                    (axis, k) =>
                    {
                        Mode plate = new(hz, damping, a.RateHz);
                        double part = k == strong ? 1 : 0.35;
                        return Array.ConvertAll(axis, v => v + part * plate.NextStatic(v));
                    }
                ),
            ];
        }

        if (trial.Is("soft-imu-mount"))
        {
            return
            [
                .. acc.Select(axis =>
                {
                    Mode mount = new(trial.Amount * rotorHz, MadeAircraft.In(_random, 0.08, 0.2), a.RateHz);
                    return Array.ConvertAll(axis, mount.NextStatic);
                }),
            ];
        }

        if (trial.Is("filtered-log"))
        {
            int harmonics = trial.Size == FaultSize.Barely ? 1 : 2;
            return [.. acc.Select(axis => Notched(axis, harmonics))];
        }

        return acc;
    }

    /// <summary>A second-order notch at each order of each rotor in turn, following its speed with a lag.</summary>
    private double[] Notched(double[] axis, int harmonics)
    {
        double[] result = axis;
        foreach (float[] hz in run.Hz)
        {
            for (int k = 1; k <= harmonics; k++)
            {
                double x1 = 0,
                    x2 = 0,
                    y1 = 0,
                    y2 = 0,
                    followed = hz[0];
                double[] next = new double[axis.Length];
                for (int i = 0; i < axis.Length; i++)
                {
                    followed += 0.03 * (hz[i] - followed);
                    double w = 2 * Math.PI * Math.Clamp(k * followed * run.DtS, 0.002, 0.49),
                        alpha = Math.Sin(w) * trial.Amount / 2,
                        a0 = 1 + alpha,
                        cos = -2 * Math.Cos(w),
                        x = result[i],
                        y = followed < 5 ? x : (x + cos * x1 + x2 - cos * y1 - (1 - alpha) * y2) / a0;
                    (x2, x1, y2, y1) = (x1, x, y1, y);
                    next[i] = y;
                }

                result = next;
            }
        }

        return result;
    }

    private double[] Rates(double[] acc)
    {
        Pole body = new(40, trial.Aircraft.RateHz);
        return Array.ConvertAll(acc, v => 0.02 * body.Next(v) + 0.004 * MadeAircraft.Gauss(_random));
    }

    private (double[][] Acc, double[][] Rates, double PeriodS) Slowly(double[][] acc, double[][] rates)
    {
        double wanted = trial.Amount * run.MeanHz.Max() * trial.Aircraft.Airframe.Motors[0].Blades;
        int step = Math.Max(1, (int)Math.Ceiling(trial.Aircraft.RateHz / wanted));
        bool smoothed = _random.Next(2) == 0;
        double[] Taken(double[] axis)
        {
            Pole a = new(0.35 * trial.Aircraft.RateHz / step, trial.Aircraft.RateHz),
                b = new(0.35 * trial.Aircraft.RateHz / step, trial.Aircraft.RateHz);
            double[] low = smoothed ? Array.ConvertAll(axis, v => b.Next(a.Next(v))) : axis;
            return [.. low.Where((_, i) => i % step == 0)];
        }

        return ([.. acc.Select(Taken)], [.. rates.Select(Taken)], run.DtS * step);
    }

    private int Clip(double[][] acc)
    {
        int clipped = 0;
        double[] hover = [.. acc[0].Where((_, i) => InAir(i))];
        double limit = 9.80665 + trial.Amount * Rms(hover);
        bool[] at = new bool[acc[0].Length];
        foreach (double[] axis in acc)
        {
            for (int i = 0; i < axis.Length; i++)
            {
                at[i] |= Math.Abs(axis[i]) >= limit;
                axis[i] = Math.Clamp(axis[i], -limit, limit);
            }
        }

        clipped = at.Count(c => c);
        return clipped;
    }

    private static double Rms(double[] values) => Math.Sqrt(values.Average(v => v * v));

    private static double Median(double[] values) => values.Order().ElementAt(values.Length / 2);

    /// <summary>A single pole.</summary>
    private sealed class Pole(double hz, double rateHz)
    {
        private readonly double _keep = Math.Exp(-2 * Math.PI * hz / rateHz);
        private double _y;

        internal double Next(double x) => _y = _keep * _y + (1 - _keep) * x;
    }

    /// <summary>One mode, exact at the samples: the acceleration that a force excites or, in NextStatic, the part that passes through a
    /// spring.</summary>
    private sealed class Mode
    {
        private readonly double _a1;
        private readonly double _a2;
        private readonly double _gain;
        private double _y1;
        private double _y2;

        internal Mode(double hz, double damping, double rateHz)
        {
            double w = 2 * Math.PI * Math.Min(hz, 0.45 * rateHz) / rateHz,
                r = Math.Exp(-damping * w);
            _a1 = 2 * r * Math.Cos(w * Math.Sqrt(1 - damping * damping));
            _a2 = -r * r;
            _gain = 1 - _a1 - _a2;
        }

        internal double Next(double x)
        {
            double y = _a1 * _y1 + _a2 * _y2 + x * Math.Sqrt(_gain);
            (_y2, _y1) = (_y1, y);
            return y;
        }

        internal double NextStatic(double x)
        {
            double y = _a1 * _y1 + _a2 * _y2 + x * _gain;
            (_y2, _y1) = (_y1, y);
            return y;
        }
    }
}
