using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether each rotor is detected at the speed that its ESC reports.</summary>
/// <remarks>A rotor that carries its share of the weight makes the airframe vibrate at some order of its speed: none is perfect in
/// unbalance, mount and blades at once. If no order of a motor stands out while the others are clearly detected, it turns at another speed
/// than reported. Its vibration is then missing from the sum.</remarks>
internal static class SilentRotor
{
    // Power of the strongest order relative to its floor: at most this for the silent motor, at least this for the others (median).
    private const double SilentBelow = 3,
        OthersAbove = 30;
    private const int LeastOthers = 3;

    internal static IEnumerable<QualityIssue> Of(FlightAnalysis analysis)
    {
        if (analysis.ShortTimeOrders is not { } orders)
        {
            yield break;
        }

        (string Id, double Over)[] levels = LevelsOverFloor(orders);
        foreach ((string id, double over) in levels.Where(l => l.Over < SilentBelow))
        {
            double[] others = [.. levels.Where(l => l.Id != id).Select(l => l.Over)];
            if (others.Length >= LeastOthers && Robust.Median(others) > OthersAbove)
            {
                yield return new()
                {
                    Cause = new RotorNotDetected(id, over, Robust.Median(others)),
                    Track = "telemetry",
                    Channel = id + " rpm",
                    Effect = QualityEffect.Withheld,
                    Affects = Answers.Vibration,
                };

                // Its share of the load comes from the same speed.
                yield return new()
                {
                    Cause = new RotorNotDetected(id, over, Robust.Median(others)),
                    Track = "telemetry",
                    Channel = id + " rpm",
                    Motor = id,
                    Effect = QualityEffect.Withheld,
                    Affects = Answers.Speeds,
                };
            }
        }
    }

    /// <summary>Power of each motor's clearest order relative to the floor of that order. The median over the motors is used for the floor,
    /// because the floor beside one rotor may hold the line of another.</summary>
    private static (string Id, double Over)[] LevelsOverFloor(ShortTimeOrders orders)
    {
        (MotorOrder Line, (double Power, double Floor) Mean)[] lines =
        [
            .. orders.Lines.Select((line, i) => (line, orders.Mean(i, 0, orders.Windows))),
        ];
        Dictionary<int, double> floors = lines
            .GroupBy(l => l.Line.Order)
            .ToDictionary(g => g.Key, g => Robust.Median(g.Select(l => l.Mean.Floor)));
        return
        [
            .. lines
                .Where(l => floors[l.Line.Order] > 0)
                .GroupBy(l => l.Line.Motor)
                .Select(g => (g.Key, g.Max(l => l.Mean.Power / floors[l.Line.Order]))),
        ];
    }
}
