using VibeCheck.Core.Airframes;

namespace VibeCheck.Campaigns.Findings;

/// <summary>A simulated aircraft and its conditions: the values that differ from one healthy aircraft to the next.</summary>
/// <remarks>The ranges are those of small multirotors by common practice. No code of the library or of its flight maker is used
/// here.</remarks>
internal sealed record MadeAircraft
{
    internal required Airframe Airframe { get; init; }

    /// <summary>Hover speed at equal thrusts, Hz.</summary>
    internal required double HoverHz { get; init; }

    internal required double RateHz { get; init; }

    internal required double HoverS { get; init; }

    /// <summary>Order 1 of each motor at hover, m/s² rms, and at the blade count.</summary>
    internal required double[] Unbalance { get; init; }

    internal required double[] BladePass { get; init; }

    /// <summary>Thrust and torque of each propeller at equal speed, as a ratio to the usual one.</summary>
    internal required double[] ThrustFactor { get; init; }

    internal required double[] TorqueFactor { get; init; }

    /// <summary>Gain of each ESC's current reading.</summary>
    internal required double[] CurrentGain { get; init; }

    /// <summary>Thermal resistance of each motor and ESC as a ratio to the usual one.</summary>
    internal required double[] MotorHeat { get; init; }

    internal required double[] EscHeat { get; init; }

    /// <summary>Natural frequency and damping of each arm.</summary>
    internal required (double Hz, double Damping)[] Arms { get; init; }

    /// <summary>Centre of gravity, share of the arm; split that tilts of the mounts ask for.</summary>
    internal required double Forward { get; init; }

    internal required double Right { get; init; }

    internal required double Split { get; init; }

    /// <summary>Rotor wash, m/s² rms; how much gusts increase it and change the speeds.</summary>
    internal required double WashMps2 { get; init; }

    internal required double Gust { get; init; }

    internal required double GustS { get; init; }

    internal required double TelemetryHz { get; init; }

    internal required double LatencyS { get; init; }

    internal required double StepRpm { get; init; }

    /// <summary>Command at even hover with a fresh battery.</summary>
    internal required double HoverCommand { get; init; }

    internal required double MotorRiseC { get; init; }

    internal required double EscRiseC { get; init; }

    internal static MadeAircraft Draw(Random random)
    {
        int[] counts = [4, 4, 6, 6, 8];
        int motors = counts[random.Next(counts.Length)];
        int blades = random.Next(4) == 0 ? 3 : 2;
        double armM = In(random, 0.18, 0.6);
        double hoverHz = In(random, 16, 30) / armM / 1.1;
        double unbalance = LogIn(random, 0.15, 0.8),
            pass = LogIn(random, 0.1, 0.7);
        double[] rates = [1000, 1000, 800, 500];
        double rateHz = rates[random.Next(rates.Length)];
        rateHz = rateHz < 6 * blades * hoverHz ? 1000 : rateHz;
        return new()
        {
            Airframe = Ring(motors, armM, blades),
            HoverHz = Math.Min(hoverHz, rateHz / blades / 5),
            RateHz = rateHz,
            HoverS = In(random, 32, 55),
            Unbalance = Each(motors, () => unbalance * Math.Pow(10, In(random, -0.14, 0.14))),
            BladePass = Each(motors, () => pass * Math.Pow(10, In(random, -0.14, 0.14))),
            ThrustFactor = Each(motors, () => 1 + 0.008 * Gauss(random)),
            TorqueFactor = Each(motors, () => 1 + 0.012 * Gauss(random)),
            CurrentGain = Each(motors, () => 1 + 0.02 * Gauss(random)),
            MotorHeat = Each(motors, () => 1 + 0.06 * Gauss(random)),
            EscHeat = Each(motors, () => 1 + 0.06 * Gauss(random)),
            Arms = [.. Enumerable.Range(0, motors).Select(_ => (In(random, 1.5, 3.4) * hoverHz, In(random, 0.02, 0.07)))],
            Forward = In(random, -0.02, 0.02),
            Right = In(random, -0.02, 0.02),
            Split = In(random, -0.01, 0.01),
            WashMps2 = LogIn(random, 0.25, 0.9),
            Gust = In(random, 0.003, 0.012),
            GustS = In(random, 0.6, 3),
            TelemetryHz = random.Next(3) == 0 ? 10 : In(random, 20, 50),
            LatencyS = In(random, 0, 0.05),
            StepRpm = random.Next(3) == 0 ? 10 : 1,
            HoverCommand = In(random, 0.38, 0.6),
            MotorRiseC = In(random, 15, 40),
            EscRiseC = In(random, 12, 30),
        };
    }

    private static Airframe Ring(int motors, double armM, int blades) =>
        new()
        {
            Name = "Made",
            MassKg = 6 * armM * armM * motors / 1.2 + 0.6,
            TorquePerThrustM = 0.018,
            Bolts = BoltPattern.Rectangle(28.6, 28.6),
            ShimKit = new ShimKit([0.1, 0.2, 0.3], 2),
            Motors =
            [
                .. Enumerable
                    .Range(0, motors)
                    .Select(m => new Motor(
                        $"M{m + 1}",
                        (m + 0.5) * 360 / motors,
                        armM,
                        m % 2 == 0 ? Spin.Clockwise : Spin.CounterClockwise,
                        MotorLevel.Single,
                        blades,
                        14
                    )),
            ],
        };

    internal static double In(Random random, double from, double to) => from + (to - from) * random.NextDouble();

    internal static double LogIn(Random random, double from, double to) => from * Math.Pow(to / from, random.NextDouble());

    internal static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private static double[] Each(int count, Func<double> one) => [.. Enumerable.Range(0, count).Select(_ => one())];
}
