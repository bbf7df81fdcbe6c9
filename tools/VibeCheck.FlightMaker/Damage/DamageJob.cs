using VibeCheck.Core.Airframes;

namespace VibeCheck.FlightMaker.Damage;

/// <summary>A job of two short flights that can be damaged: the recipe and log form of each flight, and the true changes.</summary>
/// <remarks>Flights scatter as in <see cref="JobTrial"/>. They are short and heat fast, because a campaign runs thousands of
/// them.</remarks>
public sealed record DamageJob
{
    /// <summary>The forms in which jobs of short flights are written.</summary>
    internal static readonly LogFormRecipe[] Forms =
    [
        new("two files, m/s²"),
        new("two files, g, ms, semicolon, decimal comma")
        {
            Separator = ';',
            DecimalComma = true,
            Time = "ms",
            Acc = ["acc x [g]", "acc y [g]", "acc z [g]"],
            AccPerMps2 = 1 / 9.80665,
            Rates = ["gyro x [deg/s]", "gyro y [deg/s]", "gyro z [deg/s]"],
            RatePerRadps = 180 / Math.PI,
        },
        new("one wide file, empty cells") { Layout = "wide", Time = "ms" },
        new("one wide file, values held, g")
        {
            Layout = "held",
            Time = "us",
            Acc = ["acc_x_g", "acc_y_g", "acc_z_g"],
            AccPerMps2 = 1 / 9.80665,
        },
        new("two files, electrical speed")
        {
            Rpm = "esc{1}_erpm",
            ElectricalSpeed = true,
            Command = "esc{1}_pwm_us",
            CommandFactor = 1000,
            CommandOffset = 1000,
            Current = "esc{1}_current_a",
            MotorTemp = "esc{1}_motor_temp_c",
            EscTemp = "esc{1}_temp_c",
        },
    ];

    private static readonly (double Db, double C)[] Changes = [(-4, 0), (0, 0), (3, 0), (0, -6), (-4, -6), (2.5, 5)];

    public required int Number { get; init; }

    public required FlightRecipe Before { get; init; }

    public required FlightRecipe After { get; init; }

    public required LogFormRecipe Form { get; init; }

    public required double JitterS { get; init; }

    /// <summary>Whether the job file gives the ambient temperatures.</summary>
    public required bool GivesAmbient { get; init; }

    /// <summary>True change of all orders, dB.</summary>
    public required double ChangeDb { get; init; }

    /// <summary>True change of all steady rises, °C.</summary>
    public required double ChangeC { get; init; }

    public Airframe Airframe => Before.Airframe;

    /// <summary>Makes a job; the same number gives the same job.</summary>
    public static DamageJob Make(int number)
    {
        var random = new Random(unchecked((int)((number + 1) * 2654435761L)));
        double Uniform(double low, double high) => low + (high - low) * random.NextDouble();
        Airframe airframe = AirframeOf(number, Uniform(2, 9), Uniform(0.25, 0.6));
        int motors = airframe.Motors.Count;
        LogFormRecipe form = Forms[number % Forms.Length];
        (double changeDb, double changeC) = Changes[(number + number / 6) % Changes.Length];
        double hoverRpm = Uniform(3000, 5200),
            motorRise = Uniform(22, 42),
            escRise = Uniform(15, 28);
        double[] rateHz = [500, 1000, 500, 800, 2000];
        double Size(double low, double high) => Math.Pow(10, Uniform(low, high));
        T[] Each<T>(Func<T> one) => [.. Enumerable.Range(0, motors).Select(_ => one())];
        double[][] sizes = Each(() => new[] { Size(-0.6, 0.2), Size(-0.8, 0), Size(-1.4, -0.6), Size(-1.2, -0.4) });
        double[] motorRises = Each(() => motorRise + Uniform(-4, 4)),
            escRises = Each(() => escRise + Uniform(-3, 3));
        bool twoFiles = form.Layout == "two",
            givesAmbient = random.Next(4) > 0;
        FlightRecipe usual = new()
        {
            Airframe = airframe,
            Seed = number,
            Rotors = [],
            // A wide file that repeats every value grows with the sample rate, so this form gets a low rate.
            ImuRateHz = form.Layout == "held" ? 500 : rateHz[number / 2 % rateHz.Length],
            TelemetryHz = new[] { 10.0, 20, 50 }[random.Next(3)],
            TiltAcrossDeg = [.. Enumerable.Range(0, motors).Select(_ => Uniform(-0.08, 0.08))],
            MotorTauS = Uniform(18, 28),
            EscTauS = Uniform(16, 24),
            SpeedSpread = 0.008,
            TemperatureStepC = random.Next(2) == 0 ? 1 : 0.1,
            Resonances = random.Next(2) == 0 ? [] : [new Resonance(Uniform(60, 200), 0.04, 0.1)],
            AccStepMps2 = random.Next(3) == 0 ? 0.0048 : 0,
            ZPointsUp = random.Next(4) == 0,
        };
        FlightRecipe Flight(int index, bool after)
        {
            double commonDb = 0.2 * SpeedTrace.Gauss(random),
                commonC = 0.35 * SpeedTrace.Gauss(random);
            double speed = Math.Sqrt(1 + 0.008 * SpeedTrace.Gauss(random));
            double flightDb = (after ? changeDb : 0) + commonDb,
                flightC = (after ? changeC : 0) + commonC;
            double Now(double nominal) => nominal * speed * speed * Math.Pow(10, (flightDb + 0.3 * SpeedTrace.Gauss(random)) / 20);
            double Rise(double nominal) => Math.Pow(speed, 3) * (nominal + flightC + 0.35 * SpeedTrace.Gauss(random));
            OrderSource Order(double size, int k) => new(k + 1, Now(size), 2, k % 2 == 1 ? 0.05 : 0);
            RotorSource Rotor(double[] orders) => new([.. orders.Select(Order)]);
            return usual with
            {
                Seed = 90_000_000 + number * 1000 + index,
                HoverS = Uniform(50, 62),
                GroundS = Uniform(3, 5),
                ClimbS = 3,
                LandingS = 3,
                HoverRpm = hoverRpm * speed,
                BatteryV = Uniform(22.5, 25.2),
                CurrentFollowsBattery = true,
                AmbientC = Uniform(3, 30),
                // A warm start can be detected only against the ambient temperature. Where the job does not give it, flights start cold.
                SoakC = givesAmbient && random.Next(4) == 0 ? Uniform(0, 5) : 0,
                Wander = Uniform(0.004, 0.009),
                RumbleMps2 = Uniform(0.08, 0.25),
                EscClockOffsetS = twoFiles ? Uniform(-4, 4) : 0,
                EscClockPpm = twoFiles ? Uniform(-40, 40) : 0,
                Rotors = [.. sizes.Select(Rotor)],
                MotorRiseC = [.. motorRises.Select(Rise)],
                EscRiseC = [.. escRises.Select(Rise)],
            };
        }

        return new DamageJob
        {
            Number = number,
            Before = Flight(1, false),
            After = Flight(2, true),
            Form = form,
            JitterS = number % 2 == 0 ? 0 : 20e-6,
            GivesAmbient = givesAmbient,
            ChangeDb = changeDb,
            ChangeC = changeC,
        };
    }

    /// <summary>How many kinds of airframe there are among jobs in a row.</summary>
    private static Airframe AirframeOf(int number, double massKg, double armM) =>
        (number % 6) switch
        {
            0 or 3 => DemoAirframes.Ring(4, "Quad", massKg, armM, 2),
            1 => DemoAirframes.Ring(6, "Hexa", massKg, armM, 2),
            2 => DemoAirframes.Ring(6, "Hexa", massKg, armM, 3),
            4 => DemoAirframes.Ring(8, "Octo", massKg, armM, 2),
            _ => DemoAirframes.Coaxial(4, "X8", massKg, armM, 2),
        };
}
