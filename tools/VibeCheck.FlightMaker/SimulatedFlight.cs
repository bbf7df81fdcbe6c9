using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;

namespace VibeCheck.FlightMaker;

/// <summary>A flight simulated from a recipe, with its true values.</summary>
public sealed record SimulatedFlight
{
    public required FlightRecipe Recipe { get; init; }

    /// <summary>The flight as a reader would return it. ESC timestamps have the recipe's clock error.</summary>
    public required Flight Flight { get; init; }

    public required FlightTruth Truth { get; init; }

    /// <summary>Simulates the flight; the same recipe gives the same flight.</summary>
    public static SimulatedFlight Make(FlightRecipe recipe)
    {
        ArgumentNullException.ThrowIfNull(recipe);
        var random = new Random(recipe.Seed);
        double[] thrust = HoverBalance.ThrustShares(recipe);
        // The speed differences between propellers average to zero within each spin group, so that the split is still that of the balance.
        double[] spread = Spread(recipe, random);
        double[] meanRpm = thrust.Select((t, m) => recipe.HoverRpm * Math.Sqrt(t) * (1 + spread[m])).ToArray();
        SpeedTrace speeds = SpeedTrace.Make(recipe, random, meanRpm);

        double totalS = recipe.GroundS + recipe.ClimbS + recipe.HoverS + recipe.LandingS;
        (double[] timeS, IReadOnlyList<ContiguousSegment> blocks) = Clock(recipe, totalS);
        (double[][] acc, var orders) = new VibrationMaker(recipe, speeds, recipe.Seed ^ 0x5eed).Make(timeS);
        double[][] rates = Rates(recipe, acc);
        acc =
            recipe.LoggerLowPassHz > 0
                ? [.. acc.Select(a => Biquad.LowPass(recipe.LoggerLowPassHz / recipe.ImuRateHz, Math.Sqrt(0.5)).Run(a))]
                : acc;
        AddGravity(recipe, acc);
        var tracks = new TelemetryMaker(recipe, speeds, meanRpm, recipe.Seed ^ 0x7e1e).Make(totalS);
        return new SimulatedFlight
        {
            Recipe = recipe,
            Truth = TruthOf(recipe, speeds, orders),
            Flight = new Flight
            {
                Imu = new ImuTrack
                {
                    Blocks = blocks,
                    AccXMps2 = acc[0],
                    AccYMps2 = acc[1],
                    AccZMps2 = acc[2],
                    RateXRadps = rates[0],
                    RateYRadps = rates[1],
                    RateZRadps = rates[2],
                    ZPointsUp = recipe.ZPointsUp,
                },
                Motors = tracks,
                AmbientC = recipe.AmbientC,
                Input = new FlightInput
                {
                    Imu = new FileRecord
                    {
                        Path = "simulated",
                        Rows = timeS.Length,
                        RowsUnusable = 0,
                        RateHz = recipe.ImuRateHz,
                        Columns = [],
                    },
                    ClockOffsetS = 0,
                    ContentHash = $"simulated-{recipe.GetHashCode()}-{recipe.Seed}",
                },
            },
        };
    }

    private static double[] Spread(FlightRecipe recipe, Random random)
    {
        var motors = recipe.Airframe.Motors;
        double[] spread = motors.Select(_ => recipe.SpeedSpread * SpeedTrace.Gauss(random)).ToArray();
        foreach (Spin spin in Enum.GetValues<Spin>())
        {
            int[] group = Enumerable.Range(0, motors.Count).Where(m => motors[m].Spin == spin).ToArray();
            double mean = group.Length == 0 ? 0 : group.Average(m => spread[m]);
            foreach (int m in group)
            {
                spread[m] -= mean;
            }
        }

        return spread;
    }

    private static (double[] TimeS, IReadOnlyList<ContiguousSegment> Blocks) Clock(FlightRecipe recipe, double totalS)
    {
        double period = 1 / recipe.ImuRateHz;
        var times = new List<double>((int)(totalS / period) + 1);
        var blocks = new List<ContiguousSegment>();
        int first = 0;
        for (int i = 0; i * period < totalS; i++)
        {
            double t = i * period;
            if (recipe.ImuGaps.Any(g => t >= g.FromS && t < g.ToS))
            {
                CloseBlock();
                continue;
            }

            times.Add(t);
        }

        CloseBlock();
        return ([.. times], blocks);

        void CloseBlock()
        {
            if (times.Count > first)
            {
                blocks.Add(new ContiguousSegment(first, times.Count - first, times[first], period));
                first = times.Count;
            }
        }
    }

    private static double[][] Rates(FlightRecipe recipe, double[][] acc)
    {
        var random = new Random(recipe.Seed ^ 0x6790);
        int[] from = [1, 0, 0];
        return from.Select(axis => Array.ConvertAll(acc[axis], a => 0.01 * a + recipe.GyroNoiseRadps * SpeedTrace.Gauss(random))).ToArray();
    }

    private static void AddGravity(FlightRecipe recipe, double[][] acc)
    {
        double g = recipe.ZPointsUp ? 9.80665 : -9.80665,
            step = recipe.AccStepMps2;
        for (int i = 0; i < acc[2].Length; i++)
        {
            acc[2][i] = g + (recipe.ZPointsUp ? -acc[2][i] : acc[2][i]);
        }

        if (step > 0)
        {
            foreach (double[] axis in acc)
            {
                for (int i = 0; i < axis.Length; i++)
                {
                    axis[i] = Math.Round(axis[i] / step) * step;
                }
            }
        }
    }

    private static FlightTruth TruthOf(FlightRecipe recipe, SpeedTrace speeds, IReadOnlyList<IReadOnlyList<OrderTruth>> orders)
    {
        double from = recipe.GroundS + recipe.ClimbS;
        var hover = new TimeInterval(from, from + recipe.HoverS);
        var motors = recipe.Airframe.Motors;
        double[] rpm = motors.Select((_, m) => speeds.MeanRpm(m, [hover])).ToArray();
        double meanSquare = rpm.Average(r => r * r);
        return new FlightTruth
        {
            Hover = hover,
            Split = (MeanOf(Spin.Clockwise) - MeanOf(Spin.CounterClockwise)) / rpm.Average(),
            Motors = motors
                .Select(
                    (motor, m) =>
                        new MotorTruth
                        {
                            Id = motor.Id,
                            RpmMean = rpm[m],
                            LoadShare = rpm[m] * rpm[m] / meanSquare,
                            MotorRiseC = recipe.MotorRiseC.Count > m ? recipe.MotorRiseC[m] : 25,
                            EscRiseC = recipe.EscRiseC.Count > m ? recipe.EscRiseC[m] : 18,
                            Orders = orders[m],
                        }
                )
                .ToArray(),
        };

        double MeanOf(Spin spin) => motors.Select((motor, m) => (motor, m)).Where(x => x.motor.Spin == spin).Average(x => rpm[x.m]);
    }
}
