using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether each rotor is detected at the speed that its ESC reports.</summary>
/// <remarks>A rotor that carries its share of the weight shakes the airframe at some order of its speed: none is perfect in unbalance,
/// mount and blades at once. A motor of which no order stands out, among others that are clearly detected, turns at another speed than
/// reported, and then its vibration is missing from the sum.</remarks>
internal static class SilentRotor
{
    // Power of the strongest order over its floor: of the silent one at most, of the others (median) at least.
    private const double MostSilent = 3,
        LeastHeard = 30;
    private const int LeastOthers = 3;

    internal static IEnumerable<QualityIssue> Of(FlightAnalysis analysis)
    {
        if (analysis.ShortTimeOrders is not { } orders)
        {
            yield break;
        }

        (string Id, double Over)[] heard = Heard(orders);
        foreach ((string id, double over) in heard.Where(h => h.Over < MostSilent))
        {
            double[] others = [.. heard.Where(h => h.Id != id).Select(h => h.Over)];
            if (others.Length >= LeastOthers && Robust.Median(others) > LeastHeard)
            {
                yield return new()
                {
                    Cause = new RotorNotHeard(id, over, Robust.Median(others)),
                    Track = "telemetry",
                    Channel = id + " rpm",
                    Effect = QualityEffect.Withheld,
                    Affects = Answers.Vibration,
                };
            }
        }
    }

    /// <summary>Power of each motor's clearest order over the floor of that order: the median over the motors, because the floor beside
    /// one rotor may hold the line of another.</summary>
    private static (string Id, double Over)[] Heard(ShortTimeOrders orders)
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
