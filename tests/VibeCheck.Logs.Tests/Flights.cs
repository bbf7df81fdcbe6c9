using VibeCheck.Core.Airframes;
using VibeCheck.FlightMaker;

namespace VibeCheck.Logs.Tests;

/// <summary>Flights and airframes shared by several tests.</summary>
internal static class Flights
{
    internal static Airframe Hexa { get; } =
        new()
        {
            Name = "Test hexa",
            Motors =
            [
                .. Enumerable
                    .Range(0, 6)
                    .Select(i => new Motor(
                        $"M{i + 1}",
                        30 + 60 * i,
                        0.4,
                        i % 2 == 0 ? Spin.Clockwise : Spin.CounterClockwise,
                        MotorLevel.Single,
                        2,
                        14
                    )),
            ],
        };

    internal static FlightRecipe ShortHexa { get; } =
        new()
        {
            Airframe = Hexa,
            Seed = 11,
            Rotors = [.. Enumerable.Range(0, 6).Select(_ => new RotorSource([new(1, 0.8), new(2, 0.3)]))],
            GroundS = 1,
            ClimbS = 1,
            HoverS = 11,
            LandingS = 1,
            ImuRateHz = 500,
            GyroNoiseRadps = 0.05,
            ImuGaps = [(7, 7.3)],
        };
}
