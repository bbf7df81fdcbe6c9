using VibeCheck.Core.Airframes;

namespace VibeCheck.FlightMaker;

/// <summary>Invented aircraft for demos and trials.</summary>
public static class DemoAirframes
{
    /// <summary>A symmetric multirotor: arms at equal angles, the first half a step right of the nose, with alternating spins.</summary>
    public static Airframe Ring(int motors, string name, double massKg, double armM, int blades, double torquePerThrustM = 0.018) =>
        new()
        {
            Name = name,
            MassKg = massKg,
            TorquePerThrustM = torquePerThrustM,
            Bolts = BoltPattern.Rectangle(28.6, 28.6),
            ShimKit = new ShimKit([0.1, 0.2, 0.3], 2),
            Motors = Enumerable
                .Range(0, motors)
                .Select(m => new Motor(
                    $"M{m + 1}",
                    (m + 0.5) * 360 / motors,
                    armM,
                    m % 2 == 0 ? Spin.Clockwise : Spin.CounterClockwise,
                    MotorLevel.Single,
                    blades,
                    14
                ))
                .ToArray(),
        };

    /// <summary>Coaxial pairs on arms at equal angles: first the upper motors, then the lower ones, which turn the other way.</summary>
    public static Airframe Coaxial(int arms, string name, double massKg, double armM, int blades, double torquePerThrustM = 0.018) =>
        new()
        {
            Name = name,
            MassKg = massKg,
            TorquePerThrustM = torquePerThrustM,
            Bolts = BoltPattern.Rectangle(28.6, 28.6),
            ShimKit = new ShimKit([0.1, 0.2, 0.3], 2),
            Motors = Enumerable
                .Range(0, 2 * arms)
                .Select(m => new Motor(
                    $"M{m + 1}",
                    (m % arms + 0.5) * 360 / arms,
                    armM,
                    (m % arms + m / arms) % 2 == 0 ? Spin.Clockwise : Spin.CounterClockwise,
                    m < arms ? MotorLevel.Upper : MotorLevel.Lower,
                    blades,
                    14
                ))
                .ToArray(),
        };
}
