using VibeCheck.Core.Airframes;
using VibeCheck.FlightMaker;

namespace VibeCheck.Logs.Tests;

/// <summary>Flights and airframes that several tests use.</summary>
internal static class Flights
{
    internal static Airframe Hexa { get; } = new()
    {
        Name = "Test hexa",
        Motors = [.. Enumerable.Range(0, 6).Select(i => new Motor($"M{i + 1}", 30 + 60 * i, 0.4, i % 2 == 0 ? Spin.Clockwise : Spin.CounterClockwise, MotorLevel.Single, 2, 14))],
    };

    internal static FlightRecipe ShortHexa { get; } = new()
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

    /// <summary>The sample logs of the repository.</summary>
    internal static string SampleFolder => Path.Combine(Root()!.FullName, "sample-logs");

    /// <summary>The folder with real flights beside the repository, or null.</summary>
    internal static string? RealFolder()
    {
        string? folder = Root() is { Parent: { } above } ? Path.Combine(above.FullName, "shared", "real-flights") : null;
        return Directory.Exists(folder) ? folder : null;
    }

    private static DirectoryInfo? Root()
    {
        DirectoryInfo? at = new(AppContext.BaseDirectory);
        while (at is not null && !File.Exists(Path.Combine(at.FullName, "VibeCheck.sln")))
        {
            at = at.Parent;
        }

        return at;
    }
}
