namespace VibeCheck.FlightMaker.Healthy;

/// <summary>A way in which healthy flights and loggers differ.</summary>
/// <param name="Name">Short description.</param>
/// <param name="Change">Changes the recipe of a flight; the flag is true for the flight after.</param>
internal sealed record HealthyTrait(string Name, Func<FlightRecipe, bool, Random, FlightRecipe> Change)
{
    internal static IReadOnlyList<HealthyTrait> All { get; } =
    [
        new("nothing special", (r, _, _) => r),
        new("wind", (r, _, x) => r with { Wander = 0.018, FastWander = 0.004, ManoeuvresAtS = [At(r, x, 0.2), At(r, x, 0.6)] }),
        new("wind after only", (r, after, _) => after ? r with { Wander = 0.018, FastWander = 0.003, RumbleMps2 = 2 * r.RumbleMps2 } : r),
        new("a gap", (r, _, x) => r with { ImuGaps = [Gap(r, x, 1.5)] }),
        new("many gaps", (r, _, x) => r with { ImuGaps = [.. Enumerable.Range(0, 6).Select(_ => Gap(r, x, 0.4))] }),
        new("the logger after is twice as fast", (r, after, _) => after ? r with { ImuRateHz = 2 * r.ImuRateHz } : r),
        new(
            "the logger before is twice as fast and points up",
            (r, after, _) => after ? r : r with { ImuRateHz = 2 * r.ImuRateHz, ZPointsUp = !r.ZPointsUp }
        ),
        new("low pass on both sides", (r, _, _) => r with { LoggerLowPassHz = 150 }),
        new("strong low pass on both sides", (r, _, _) => r with { LoggerLowPassHz = 60 }),
        new("whole degrees", (r, _, _) => r with { TemperatureStepC = 1 }),
        new("steps of 2 °C", (r, _, _) => r with { TemperatureStepC = 2 }),
        new("short flights", (r, _, x) => r with { HoverS = 22 + 8 * x.NextDouble() }),
        new("a short flight after a long one", (r, after, _) => r with { HoverS = after ? 28 : 100 }),
        new("coarse accelerometer", (r, _, _) => r with { AccStepMps2 = 0.05 }),
        new("slow reports", (r, _, _) => r with { TelemetryHz = 5 }),
        new("late and smoothed speeds", (r, _, _) => r with { TelemetryLatencyS = 0.15, TelemetrySmoothingS = 0.1 }),
        new("speeds in steps of 20 rpm", (r, _, _) => r with { TelemetryStepRpm = 20 }),
        new("noisy speeds", (r, _, _) => r with { TelemetryNoiseRpm = 25 }),
        new("centre of gravity off", (r, _, _) => r with { GravityForwardM = 0.02, GravityRightM = -0.01 }),
        new("a resonance near order 1", (r, _, _) => r with { Resonances = [new Resonance(1.04 * r.HoverRpm / 60, 0.04, 0.15)] }),
        new("a rough frame", (r, _, _) => r with { RumbleMps2 = 0.6, AccNoise = 0.05 }),
        new("weak vibration", (r, _, _) => r with { Rotors = [.. r.Rotors.Select(s => Times(s, 0.25))] }),
        new("clocks that drift", (r, _, x) => r with { EscClockPpm = 200 * (x.NextDouble() - 0.5) }),
        new("other air temperature after", (r, after, _) => r with { AmbientC = after ? 2 : 29 }),
        new("a warm start", (r, after, _) => r with { SoakC = after ? 6 : 2 }),
        new("gyro noise", (r, _, _) => r with { GyroNoiseRadps = 0.05 }),
        new("a heavier flight after", (r, after, _) => after ? Heavier(r, 1.02) : r),
    ];

    private static RotorSource Times(RotorSource rotor, double factor) =>
        new([.. rotor.Orders.Select(o => o with { RmsMps2 = factor * o.RmsMps2 })]);

    private static double At(FlightRecipe r, Random random, double share) =>
        r.GroundS + r.ClimbS + r.HoverS * (share + 0.15 * random.NextDouble());

    private static (double FromS, double ToS) Gap(FlightRecipe r, Random random, double longestS)
    {
        double from = r.GroundS + r.ClimbS + r.HoverS * (0.1 + 0.75 * random.NextDouble());
        return (from, from + longestS * (0.1 + 0.9 * random.NextDouble()));
    }

    /// <summary>Raises the rotor speeds: forces grow with the square of speed, losses with its third power, because recipes give them per
    /// speed.</summary>
    private static FlightRecipe Heavier(FlightRecipe r, double speed) =>
        r with
        {
            HoverRpm = r.HoverRpm * speed,
            Rotors = [.. r.Rotors.Select(s => Times(s, speed * speed))],
            MotorRiseC = [.. r.MotorRiseC.Select(c => c * speed * speed * speed)],
            EscRiseC = [.. r.EscRiseC.Select(c => c * speed * speed * speed)],
        };
}
