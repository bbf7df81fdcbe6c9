using VibeCheck.Core.Quality;
using VibeCheck.Core.Tests.Flights;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Quality;

/// <summary>Simulated telemetry of a six-rotor aircraft that tests damage column by column.</summary>
internal static class MadeTelemetry
{
    internal static FlightRecipe Recipe(int seed) =>
        Trials.Hexa(seed, hoverS: 90) with
        {
            // Only the telemetry is tested, and a slow IMU is fast to simulate.
            ImuRateHz = 50,
            MotorRiseC = [34, 30, 37, 32, 35, 31],
            EscRiseC = [22, 20, 24, 21, 23, 20],
        };

    internal static Flight Flight(int seed = 7) => SimulatedFlight.Make(Recipe(seed)).Flight;

    internal static (Flight Repaired, IReadOnlyList<QualityIssue> Issues) Judge(Flight flight) =>
        TelemetryQuality.Of(flight, Trials.Hexa(1).Airframe);

    /// <summary>The flight with all motors changed, or those named.</summary>
    internal static Flight With(this Flight flight, Func<MotorTrack, MotorTrack> change, params string[] motors) =>
        flight with
        {
            Motors = [.. flight.Motors.Select(m => motors.Length == 0 || motors.Contains(m.MotorId) ? change(m) : m)],
        };

    internal static Flight MotorTemps(this Flight flight, Func<double, int, double> change, params string[] motors) =>
        flight.With(m => m with { MotorTempC = m.MotorTempC!.Map(change) }, motors);

    internal static Flight Temps(this Flight flight, Func<double, int, double> change) =>
        flight.With(m => m with { MotorTempC = m.MotorTempC!.Map(change), EscTempC = m.EscTempC!.Map(change) });

    internal static Flight Speeds(this Flight flight, Func<double, int, double> change, params string[] motors) =>
        flight.With(m => m with { Rpm = m.Rpm!.Map(change) }, motors);

    internal static Series Map(this Series series, Func<double, int, double> change) =>
        new(series.TimeS, [.. series.Values.Select(change)]);

    internal static T Single<T>(this IReadOnlyList<QualityIssue> issues, QualityEffect effect)
        where T : Core.Statistics.Reason
    {
        QualityIssue[] found = [.. issues.Where(i => i.Cause is T)];
        Assert.True(found.Length > 0, $"no {typeof(T).Name}, but {string.Join(", ", issues.Select(i => i.Cause.ToString()))}");
        Assert.All(found, f => Assert.Equal(effect, f.Effect));
        return (T)found[0].Cause;
    }
}
