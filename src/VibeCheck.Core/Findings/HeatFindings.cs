using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Findings;

/// <summary>A motor or ESC hotter than its load explains.</summary>
internal static class HeatFindings
{
    // Heat scales with current squared (speed cubed when there is no current). The median ratio of rise to heat of the others gives the
    // expected rise. Units of one kind differ by a quarter (cooling, place of the sensor), so only what exceeds that counts.
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

            // A unit that is not hotter than the others is not hot, even if its load is small.
            double expected = Math.Max(
                heat * Robust.Median(others.Select(k => k.Rise.Value!.Value / k.LoadSquare)),
                Robust.Median(others.Select(k => k.Rise.Value!.Value))
            );
            double above = rise.Ci95!.Value.Low - expected;
            yield return new(code, id, new HotterThanLoad(id, esc, rise.Value!.Value, rise.Ci95.Value, expected), above / expected, above);
        }
    }

    /// <summary>The heat of the unit, up to a factor common to all motors: current squared if all have it, else share of thrust to the
    /// power of 1.5.</summary>
    private static double? Heat(FlightAnalysis analysis, MotorAnalysis motor) =>
        analysis.Motors.All(m => m.CurrentA.IsKnown) ? motor.CurrentA.Value * motor.CurrentA.Value
        : motor.LoadShare.Value is double share ? Math.Pow(share, 1.5)
        : null;
}
