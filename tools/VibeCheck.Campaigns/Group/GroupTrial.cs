using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Campaigns.Group;

/// <summary>A job whose logs hold no rotor speeds: two flights of an aircraft of four to eight
/// rotors, with gusty, coloured rotor wash.</summary>
/// <param name="Number">Number of the job.</param>
/// <param name="Before">Flight before.</param>
/// <param name="After">Flight after.</param>
/// <param name="WithCommands">Whether the log holds commands.</param>
/// <param name="ChangeDb">Change of all orders by the work, dB.</param>
internal sealed record GroupTrial(int Number, FlightRecipe Before, FlightRecipe After, bool WithCommands, double ChangeDb)
{
    private static readonly double[] s_rates = [500, 1000, 1000, 2000];
    private static readonly double[] s_changes = [0, 0, -2, 2, -4, 4];

    /// <summary>Air and structure of the trial: the same aircraft in both flights, other gusts.</summary>
    internal required Wash Air { get; init; }

    internal Airframe Airframe => Before.Airframe;

    /// <summary>Split of the speeds before the work, share.</summary>
    internal required double Split { get; init; }

    internal static GroupTrial Draw(int number, int seed, bool? withCommands)
    {
        // Seeds of successive trials must lie far apart, or their first random numbers are correlated.
        var random = new Random(unchecked((int)((seed * 100_003L + number) * 2654435761L)));
        int motors = new[] { 4, 4, 6, 6, 8, 8 }[random.Next(6)],
            blades = random.Next(4) == 0 ? 3 : 2;
        double rate = s_rates[random.Next(s_rates.Length)],
            rpm = In(random, 2000, rate < 800 ? 5500 : 9000),
            mass = In(random, 1.5, 12);
        Airframe airframe =
            random.Next(6) == 0
                ? DemoAirframes.Coaxial(motors / 2, "Trial", mass, In(random, 0.2, 0.6), blades)
                : DemoAirframes.Ring(motors, "Trial", mass, In(random, 0.2, 0.6), blades);
        double changeDb = s_changes[random.Next(s_changes.Length)],
            split = random.Next(3) == 0 ? 0 : In(random, -0.1, 0.1);
        // Mounts that all tilt to one side by this angle cause this split of the speeds (torque 0.018 m times thrust).
        double tilt = split * 0.018 / airframe.Motors[0].ArmM * 180 / Math.PI;
        int[] orders = [.. new[] { 1, 2, 3, blades, 2 * blades }.Distinct().Order()];
        double[] typical =
        [
            .. orders.Select(k =>
                k == 1 ? Math.Pow(10, In(random, -0.6, 0.1))
                : k == blades ? Math.Pow(10, In(random, -0.8, 0))
                : Math.Pow(10, In(random, -1.4, -0.5))
            ),
        ];
        double[][] sizes =
        [
            .. Enumerable.Range(0, motors).Select(_ => typical.Select(t => t * Math.Pow(10, In(random, -0.25, 0.25))).ToArray()),
        ];
        FlightRecipe usual = new()
        {
            Airframe = airframe,
            Seed = number,
            Rotors = [],
            HoverRpm = rpm,
            SpeedSpread = In(random, 0.001, 0.012),
            ImuRateHz = rate,
            TelemetryHz = new[] { 10.0, 25, 50 }[random.Next(3)],
            TelemetryLatencyS = 0,
            RumbleMps2 = In(random, 0.05, 0.2),
            AccNoise = 0.004 * Math.Pow(10, In(random, 0, 0.8)),
            Resonances =
                random.Next(2) == 0 ? [] : [new Resonance(In(random, 0.6, 2.4) * rpm / 60, In(random, 0.02, 0.08), In(random, 0.05, 0.3))],
        };
        FlightRecipe Flight(int index, double change)
        {
            double common = JobTrial.CommonDb * Gauss(random),
                speed = Math.Sqrt(1 + JobTrial.MassShare * Gauss(random));
            double hoverS = In(random, 45, 120),
                gapAt = In(random, 20, 40);
            return usual with
            {
                Seed = seed * 7_919 + 10 * number + index,
                HoverRpm = rpm * speed,
                HoverS = hoverS,
                TiltAcrossDeg = [.. airframe.Motors.Select(_ => tilt * (index == 2 && change < 0 ? 0.2 : 1))],
                Wander = In(random, 0.003, 0.009),
                WanderS = In(random, 0.8, 3),
                FastWander = In(random, 0, 0.0025),
                ManoeuvresAtS = random.Next(3) == 0 ? [12 + In(random, 0, hoverS - 20)] : [],
                ImuGaps = random.Next(5) == 0 ? [(gapAt, gapAt + In(random, 0.05, 1.5))] : [],
                Rotors =
                [
                    .. sizes.Select(s => new RotorSource([
                        .. orders.Select(
                            (k, i) =>
                                new OrderSource(
                                    k,
                                    s[i] * speed * speed * Math.Pow(10, (change + common + JobTrial.OwnDb * Gauss(random)) / 20),
                                    2,
                                    k == 1 ? 0 : 0.1
                                )
                        ),
                    ])),
                ],
            };
        }

        FlightRecipe before = Flight(1, 0),
            after = Flight(2, changeDb);
        return new(number, before, after, withCommands ?? random.Next(2) == 0, changeDb)
        {
            Air = Wash.Draw(random, rpm / 60),
            Split = split,
        };
    }

    /// <summary>Both flights, without speeds, and their truths.</summary>
    internal ((Flight Flight, FlightTruth Truth) Before, (Flight Flight, FlightTruth Truth) After) Make() => (Made(Before), Made(After));

    private (Flight Flight, FlightTruth Truth) Made(FlightRecipe recipe)
    {
        SimulatedFlight made = SimulatedFlight.Make(recipe);
        Flight flight = made.Flight with
        {
            Imu = Air.AddedTo(made.Flight.Imu, made.Truth.Hover, recipe.Seed),
            Motors = [.. made.Flight.Motors.Select(m => new MotorTrack { MotorId = m.MotorId, Command = WithCommands ? m.Command : null })],
            AmbientC = null,
        };
        return (WithCommands ? flight : flight with { Motors = [] }, made.Truth);
    }

    internal static double In(Random random, double from, double to) => from + (to - from) * random.NextDouble();

    internal static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
