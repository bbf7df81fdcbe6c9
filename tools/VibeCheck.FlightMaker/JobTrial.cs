using VibeCheck.Core.Airframes;

namespace VibeCheck.FlightMaker;

/// <summary>A job drawn from a wide range of aircraft and weather, with a known change between its flights.</summary>
/// <remarks>No two flights are identical: every order and every rise scatters, partly in common with its flight, partly on its own; air,
/// wind, propeller speeds, mass, battery and duration differ. The truth is the change at equal speed without that scatter. A heavier flight
/// has faster rotors, with forces that grow with the square of speed and losses with its third power.</remarks>
public sealed record JobTrial
{
    /// <summary>Scatter from flight to flight, one standard deviation, dB: a part common to all orders of a flight, and a part of each
    /// order alone.</summary>
    public const double CommonDb = 0.2,
        OwnDb = 0.3;

    /// <summary>The same for temperature rises, °C.</summary>
    public const double CommonC = 0.35,
        OwnC = 0.35;

    /// <summary>Scatter of the take-off mass from flight to flight, one standard deviation, as a share: batteries of one kind, dust,
    /// attached items.</summary>
    public const double MassShare = 0.01;

    public required IReadOnlyList<FlightRecipe> Before { get; init; }

    public required IReadOnlyList<FlightRecipe> After { get; init; }

    /// <summary>True change of all orders, dB.</summary>
    public required double ChangeDb { get; init; }

    /// <summary>True change of all steady rises, °C.</summary>
    public required double ChangeC { get; init; }

    /// <summary>Makes a trial; the same seed gives the same trial.</summary>
    public static JobTrial Make(int seed, double changeDb, double changeC, int flightsPerSide = 1)
    {
        // Generators with neighbouring seeds are correlated at first, so consecutive trials would all scatter to the same side. Knuth's
        // multiplier decorrelates them.
        var random = new Random(unchecked((int)(seed * 2654435761L)));
        double Uniform(double low, double high) => low + (high - low) * random.NextDouble();
        int motors = new[] { 4, 6, 6, 8 }[random.Next(4)];
        double hoverRpm = Uniform(2600, 5200),
            motorRise = Uniform(18, 45),
            escRise = Uniform(12, 30);
        var airframe = DemoAirframes.Ring(motors, "Trial", Uniform(2, 12), Uniform(0.2, 0.6), 2);
        double[][] sizes =
        [
            .. Enumerable.Range(0, motors).Select(_ => new[] { Math.Pow(10, Uniform(-0.7, 0.2)), Math.Pow(10, Uniform(-0.8, 0)) }),
        ];
        double[] motorRises = [.. Enumerable.Range(0, motors).Select(_ => motorRise + Uniform(-4, 4))],
            escRises = [.. Enumerable.Range(0, motors).Select(_ => escRise + Uniform(-3, 3))];
        FlightRecipe usual = new()
        {
            Airframe = airframe,
            Seed = seed,
            Rotors = [],
            HoverRpm = hoverRpm,
            ImuRateHz = 500,
            TelemetryHz = new[] { 10.0, 20, 25 }[random.Next(3)],
            TiltAcrossDeg = [.. Enumerable.Range(0, motors).Select(_ => Uniform(-0.08, 0.08))],
            MotorTauS = Uniform(35, 90),
            EscTauS = Uniform(35, 60),
            SpeedSpread = 0.006,
            Resonances = random.Next(2) == 0 ? [] : [new Resonance(Uniform(60, 200), 0.04, 0.1)],
        };
        FlightRecipe Flight(int index, bool after)
        {
            double commonDb = CommonDb * SpeedTrace.Gauss(random),
                commonC = CommonC * SpeedTrace.Gauss(random);
            double speed = Math.Sqrt(1 + MassShare * SpeedTrace.Gauss(random)) * (1 + 0.002 * SpeedTrace.Gauss(random));
            double Size(double nominal) =>
                nominal * speed * speed * Math.Pow(10, ((after ? changeDb : 0) + commonDb + OwnDb * SpeedTrace.Gauss(random)) / 20);
            double Rise(double nominal) =>
                Math.Pow(speed, 3) * (nominal + (after ? changeC : 0) + commonC + OwnC * SpeedTrace.Gauss(random));
            double hoverS = Uniform(90, 150),
                gapAt = Uniform(30, 60);
            return usual with
            {
                Seed = seed * 1000 + index,
                HoverS = hoverS,
                GroundS = Uniform(4, 10),
                HoverRpm = hoverRpm * speed,
                BatteryV = Uniform(22.5, 25.2),
                BatterySagVps = Uniform(0.004, 0.02),
                CurrentFollowsBattery = true,
                AmbientC = Uniform(0, 32),
                SoakC = random.Next(3) == 0 ? Uniform(0, 8) : 0,
                Wander = Uniform(0.003, 0.009),
                RumbleMps2 = Uniform(0.08, 0.25),
                ManoeuvresAtS = random.Next(2) == 0 ? [] : [Uniform(25, hoverS - 10)],
                ImuGaps = random.Next(4) == 0 ? [(gapAt, gapAt + Uniform(0.05, 1.5))] : [],
                Rotors = [.. sizes.Select(s => new RotorSource([new OrderSource(1, Size(s[0])), new OrderSource(2, Size(s[1]), 2, 0.05)]))],
                MotorRiseC = [.. motorRises.Select(Rise)],
                EscRiseC = [.. escRises.Select(Rise)],
            };
        }

        return new JobTrial
        {
            Before = [.. Enumerable.Range(1, flightsPerSide).Select(i => Flight(i, false))],
            After = [.. Enumerable.Range(1, flightsPerSide).Select(i => Flight(100 + i, true))],
            ChangeDb = changeDb,
            ChangeC = changeC,
        };
    }

    /// <summary>The airframe of all flights.</summary>
    public Airframe Airframe => Before[0].Airframe;
}
