using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Flights;

/// <summary>Recipes of simulated flights for the tests of this folder.</summary>
internal static class Trials
{
    internal static FlightRecipe Hexa(int seed, double hoverS = 40) =>
        new()
        {
            Airframe = DemoAirframes.Ring(6, "Trial hexa", 6.8, 0.42, 2),
            Seed = seed,
            HoverS = hoverS,
            ImuRateHz = 400,
            Rotors = Rotors(6, 0.5),
        };

    internal static IReadOnlyList<RotorSource> Rotors(int motors, double order1Mps2) =>
        [.. Enumerable.Range(0, motors).Select(_ => new RotorSource([new(1, order1Mps2), new(2, 0.5), new(4, 0.2)]))];
}
