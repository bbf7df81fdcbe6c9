using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Findings;

/// <summary>A motor or ESC hotter than its load explains.</summary>
internal static class HeatFindings
{
    // Heat scales with current squared (speed cubed when there is none); the others' middle ratio of rise to that says what to expect.
    // Units of one kind differ by a quarter (cooling, place of the sensor), so only what lies beyond counts.
    private const int LeastMotors = 4;

    internal static IEnumerable<Observation> Of(FlightAnalysis analysis) =>
        Hotter(analysis, "hot-motor", esc: false, m => m.MotorTemp).Concat(Hotter(analysis, "hot-esc", esc: true, m => m.EscTemp));

    private static IEnumerable<Observation> Hotter(FlightAnalysis analysis, string code, bool esc, Func<MotorAnalysis, TemperatureRise> of)
    {
        List<(string Id, double LoadSquare, Estimate Rise)> known = [];
        foreach ((Motor motor, MotorAnalysis m) in analysis.Airframe.Motors.Zip(analysis.Motors))
        {
            if (Heat(analysis, m) is > 0 and double heat && of(m).RiseSteadyC is { Value: > 0, Ci95: not null } rise)
            {
                known.Add((motor.Id, heat, rise));
            }
        }

        foreach ((string id, double heat, Estimate rise) in known.Count >= LeastMotors ? known : [])
        {
            List<(string Id, double LoadSquare, Estimate Rise)> others = known.FindAll(k => k.Id != id);

            // Not above the others is not hot, however little the unit has to carry.
            double expected = Math.Max(
                heat * Robust.Median(others.Select(k => k.Rise.Value!.Value / k.LoadSquare)),
                Robust.Median(others.Select(k => k.Rise.Value!.Value))
            );
            double above = rise.Ci95!.Value.Low - expected;
            yield return new(code, id, new HotterThanLoad(id, esc, rise.Value!.Value, rise.Ci95.Value, expected), above / expected, above);
        }
    }

    /// <summary>What heats the unit, up to a factor that all motors share: current squared if
    /// all have it, else share of thrust to 1.5.</summary>
    private static double? Heat(FlightAnalysis analysis, MotorAnalysis motor) =>
        analysis.Motors.All(m => m.CurrentA.IsKnown) ? motor.CurrentA.Value * motor.CurrentA.Value
        : motor.LoadShare.Value is double share ? Math.Pow(share, 1.5)
        : null;
}
