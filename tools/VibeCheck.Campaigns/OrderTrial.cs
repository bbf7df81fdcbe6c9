using VibeCheck.Core.Airframes;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Campaigns;

/// <summary>One simulated hover of the order campaign, drawn from a wide spread of aircraft, loggers and telemetry.</summary>
internal sealed record OrderTrial(int Number, FlightRecipe Recipe, string Size, double SpreadShare)
{
    private static readonly double[] s_rates = [500, 1000, 1000, 2000, 4000];
    private static readonly double[] s_telemetry = [10, 20, 50];
    private static readonly double[] s_stepsRpm = [1, 1, 10, 50];

    /// <param name="number">Number of the trial.</param>
    /// <param name="seed">Seed of the campaign.</param>
    /// <param name="mostStep">Coarsest step of reported speeds, share of the speed.</param>
    internal static OrderTrial Draw(int number, int seed, double mostStep)
    {
        var random = new Random(seed * 100_003 + number);
        int size = random.Next(3);
        double rpm =
            size == 0 ? In(random, 2000, 3500)
            : size == 1 ? In(random, 3500, 6000)
            : In(random, 6000, 12000);
        double rate = s_rates[random.Next(s_rates.Length)];
        int blades = random.Next(4) == 0 ? 3 : 2;
        int form = random.Next(6);
        Airframe airframe = form switch
        {
            0 or 1 => DemoAirframes.Ring(4, "ring of 4", 3, 0.3, blades),
            2 or 3 => DemoAirframes.Ring(6, "ring of 6", 6.8, 0.42, blades),
            4 => DemoAirframes.Ring(8, "ring of 8", 10, 0.5, blades),
            _ => DemoAirframes.Coaxial(random.Next(2) == 0 ? 3 : 4, "coaxial pairs", 10, 0.4, blades),
        };
        double spread = Math.Pow(10, In(random, -3.2, -1.7));
        double hover = random.Next(4) == 0 ? In(random, 12, 20) : In(random, 30, 75);
        var options = new OrderOptions();
        IReadOnlyList<int> orders = options.For(blades);
        double firstOrder = 0.2 * Math.Pow(10, In(random, 0, 0.7));
        var recipe = new FlightRecipe
        {
            Airframe = airframe,
            Seed = seed * 7919 + number,
            HoverRpm = rpm,
            SpeedSpread = spread,
            Rotors =
            [
                .. airframe.Motors.Select(_ => new RotorSource([
                    .. orders.Select(o => new OrderSource(
                        o,
                        firstOrder
                            * Math.Pow(10, In(random, -0.25, 0.25))
                            * (
                                o == 1 ? 1
                                : o == blades ? 0.7
                                : 0.35
                            ),
                        random.Next(2) == 0 ? 2 : 0,
                        random.Next(3) == 0 ? In(random, 0, 0.15) : 0
                    )),
                ])),
            ],
            GroundS = 2,
            HoverS = hover,
            ImuRateHz = rate,
            AccNoise = 0.004 * Math.Pow(10, In(random, 0, 0.9)),
            RumbleMps2 = In(random, 0, 0.3),
            AccStepMps2 = random.Next(3) == 0 ? 0.0048 * 2 : 0,
            Resonances =
                random.Next(3) == 0 ? [] : [new Resonance(In(random, 0.6, 2.4) * rpm / 60, In(random, 0.02, 0.1), In(random, 0.1, 0.6))],
            ImuGaps = random.Next(5) == 0 ? [(6 + hover * 0.55, 6 + hover * 0.55 + In(random, 0.05, 1.5))] : [],
            Wander = In(random, 0.002, 0.01),
            WanderS = In(random, 0.8, 3),
            FastWander = In(random, 0, 0.0025),
            ManoeuvresAtS = random.Next(3) == 0 ? [6 + hover * 0.3, 6 + hover * 0.7] : [],
            TelemetryHz = s_telemetry[random.Next(s_telemetry.Length)],
            TelemetryLatencyS = random.Next(3) == 0 ? 0 : In(random, 0, 0.15),
            TelemetrySmoothingS = random.Next(3) == 0 ? In(random, 0.02, 0.15) : 0,
            TelemetryNoiseRpm = rpm * In(random, 0, 0.003),
            TelemetryStepRpm = Math.Min(s_stepsRpm[random.Next(4)], mostStep * rpm),
            EscClockPpm = In(random, -60, 60),
        };
        return new OrderTrial(
            number,
            recipe,
            size == 0 ? "big slow"
                : size == 1 ? "middle"
                : "small fast",
            spread
        );
    }

    internal List<OrderSample> Run()
    {
        var flight = SimulatedFlight.Make(Recipe);
        TimeInterval[] hover = [flight.Truth.Hover];
        var rotors = Recipe.Airframe.Motors.Select((m, i) => new RotorSpeed(m.Id, flight.Flight.Motors[i].Rpm!, m.Blades)).ToArray();
        OrderResult result = OrderAnalysis.Measure(flight.Flight.Imu, rotors, hover, new OrderOptions());
        var readings = new List<OrderSample>();
        TimeInterval[] used =
        [
            .. flight
                .Flight.Imu.Blocks.Select(b => new TimeInterval(Math.Max(b.StartS, hover[0].FromS), Math.Min(b.EndS, hover[0].ToS)))
                .Where(s => s.Seconds > 0),
        ];
        foreach ((RotorOrders motor, int m) in result.Motors.Select((x, i) => (x, i)))
        {
            foreach (OrderLevel level in motor.Orders)
            {
                OrderTruth truth = flight.Truth.Motors[m].Orders.Single(o => o.Order == level.Order);
                readings.Add(
                    new OrderSample(
                        this,
                        motor.MotorId,
                        level,
                        truth.RmsMps2(used),
                        level.Order * flight.Truth.Motors[m].RpmMean / 60,
                        motor
                    )
                );
            }
        }

        return readings;
    }

    private static double In(Random random, double from, double to) => from + (to - from) * random.NextDouble();
}

/// <summary>One order of one motor, measured and true.</summary>
internal sealed record OrderSample(OrderTrial Trial, string Motor, OrderLevel Level, double TrueMps2, double Hz, RotorOrders Rotor)
{
    internal bool Given => Level.RmsMps2.IsKnown;

    internal double ErrorDb => 20 * Math.Log10(Math.Max(1e-9, Level.RmsMps2.Value ?? double.NaN) / TrueMps2);

    internal bool? Held => Level.RmsMps2.Ci95?.Contains(TrueMps2);
}
