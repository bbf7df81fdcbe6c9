using System.Numerics;

namespace VibeCheck.FlightMaker;

/// <summary>Simulates the acceleration of the airframe from the rotors' angles.</summary>
internal sealed class VibrationMaker(FlightRecipe recipe, SpeedTrace speeds, int seed)
{
    /// <summary>Grid step of slow quantities (amplitudes, gains), s.</summary>
    internal const double SlowStepS = 0.01;

    /// <summary>Acceleration x, y, z at the given times, m/s², and the true squared amplitudes of every order.</summary>
    internal (double[][] Acc, IReadOnlyList<IReadOnlyList<OrderTruth>> Truth) Make(double[] timeS)
    {
        double[][] acc = [new double[timeS.Length], new double[timeS.Length], new double[timeS.Length]];
        int slowCount = (int)(timeS[^1] / SlowStepS) + 3;
        var truth = new List<IReadOnlyList<OrderTruth>>();
        var random = new Random(seed);
        for (int m = 0; m < recipe.Rotors.Count; m++)
        {
            var orders = recipe.Rotors[m].Orders;
            var lines = orders.Select(o => Line.Make(recipe, speeds, m, o, slowCount, random)).ToArray();
            AddRotor(acc, timeS, m, lines);
            truth.Add(lines.Select(l => new OrderTruth(l.Order, SlowStepS, l.SquaredAmplitude())).ToArray());
        }

        AddNoise(acc, random);
        return (acc, truth);
    }

    private void AddRotor(double[][] acc, double[] timeS, int motor, Line[] lines)
    {
        Parallel.For(
            0,
            (timeS.Length + 65535) / 65536,
            block =>
            {
                int end = Math.Min(timeS.Length, (block + 1) * 65536);
                for (int i = block * 65536; i < end; i++)
                {
                    double angle = speeds.AngleRad(motor, timeS[i]),
                        slow = timeS[i] / SlowStepS;
                    int s = (int)slow;
                    double u = slow - s;
                    foreach (Line line in lines)
                    {
                        (double sin, double cos) = Math.SinCos(line.Order * angle);
                        for (int axis = 0; axis < 3; axis++)
                        {
                            Complex a = line.Phasor[axis][s],
                                b = line.Phasor[axis][s + 1];
                            acc[axis][i] += (a.Real + u * (b.Real - a.Real)) * cos - (a.Imaginary + u * (b.Imaginary - a.Imaginary)) * sin;
                        }
                    }
                }
            }
        );
    }

    private void AddNoise(double[][] acc, Random random)
    {
        double white = recipe.AccNoise * Math.Sqrt(recipe.ImuRateHz / 2);
        double keep = Math.Exp(-2 * Math.PI * 30 / recipe.ImuRateHz),
            kick = recipe.RumbleMps2 * Math.Sqrt(1 - keep * keep);
        for (int axis = 0; axis < 3; axis++)
        {
            double rumble = 0;
            for (int i = 0; i < acc[axis].Length; i++)
            {
                rumble = keep * rumble + kick * SpeedTrace.Gauss(random);
                acc[axis][i] += rumble + white * SpeedTrace.Gauss(random);
            }
        }
    }

    /// <summary>One order of one rotor: its phasor on each axis on the slow grid.</summary>
    private sealed record Line(double Order, Complex[][] Phasor)
    {
        internal static Line Make(FlightRecipe recipe, SpeedTrace speeds, int motor, OrderSource source, int slowCount, Random random)
        {
            double[] share = Directions(random);
            double[] phase = [Angle(random), Angle(random), Angle(random)];
            double[] modulation = SpeedTrace.OrnsteinUhlenbeck(
                random,
                (int)(slowCount * SlowStepS / SpeedTrace.StepS) + 20,
                3,
                source.Modulation
            );
            var phasor = new[] { new Complex[slowCount], new Complex[slowCount], new Complex[slowCount] };
            for (int s = 0; s < slowCount; s++)
            {
                double rpm = speeds.Rpm(motor, s * SlowStepS);
                double size = Math.Sqrt(2) * source.RmsMps2 * Math.Pow(rpm / recipe.HoverRpm, source.SpeedExponent);
                size *= Math.Max(0, 1 + modulation[Math.Min(modulation.Length - 1, (int)(s * SlowStepS / SpeedTrace.StepS))]);
                Complex gain = Gain(recipe.Resonances, source.Order * rpm / 60);
                for (int axis = 0; axis < 3; axis++)
                {
                    phasor[axis][s] = size * share[axis] * Complex.FromPolarCoordinates(1, phase[axis]) * gain;
                }
            }

            return new(source.Order, phasor);
        }

        internal double[] SquaredAmplitude()
        {
            var squared = new double[Phasor[0].Length];
            foreach (Complex[] axis in Phasor)
            {
                for (int s = 0; s < squared.Length; s++)
                {
                    squared[s] += axis[s].Real * axis[s].Real + axis[s].Imaginary * axis[s].Imaginary;
                }
            }

            return squared;
        }

        private static double Angle(Random random) => random.NextDouble() * 2 * Math.PI;

        /// <summary>Direction cosines of the three axes: their squares sum to 1, and none is close to 0.</summary>
        private static double[] Directions(Random random)
        {
            double[] raw = [0.4 + random.NextDouble(), 0.4 + random.NextDouble(), 0.2 + 0.6 * random.NextDouble()];
            double norm = Math.Sqrt(raw.Sum(r => r * r));
            return Array.ConvertAll(raw, r => r / norm);
        }

        private static Complex Gain(IReadOnlyList<Resonance> resonances, double hz)
        {
            Complex gain = 1;
            foreach (Resonance r in resonances)
            {
                double x = hz / r.Hz;
                gain += r.Gain * x * x / new Complex(1 - x * x, 2 * r.DampingRatio * x);
            }

            return gain;
        }
    }
}
