using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>A resonance at the frequency of an order's own line, found from the dependence of the order's size on speed while speeds
/// vary.</summary>
/// <param name="Order">The order.</param>
/// <param name="Hz">Natural frequency that fits best, Hz.</param>
/// <param name="DampingRatio">Damping as a share of critical damping.</param>
/// <param name="Gain">Its amplification of the order at the mean speed of the rotors.</param>
/// <param name="Exponent">Power of speed that the order's size scales with, mean of the motors; 2 without a resonance.</param>
/// <param name="LogOdds">How much better it fits than speed squared alone: half the difference of the summed squares in standard errors,
/// minus the value that the search over frequencies and dampings finds in noise.</param>
/// <remarks>The force of an unbalance scales with speed squared, so its mean square scales with the fourth power. With a mode of gain |H|
/// the mean square scales with another power, 4 + d ln|H|² / d ln f, which reaches ± 1/ζ at the half-power points. The slope of each
/// motor's ln(mean square) on ln(speed) is found over the windows of the hover by plain least squares with errors from the residuals
/// (Theil-Sen would not use their errors). Then one mode is searched that explains all slopes.</remarks>
public sealed record HiddenResonance(int Order, double Hz, double DampingRatio, double Gain, double Exponent, double LogOdds)
{
    private const double ForceExponent = 4;
    private const double Reach = 0.12,
        Step = 0.005;

    // Two parameters and a grid: the gain of the best fit in noise (simulated flights without a resonance).
    private const double SearchCost = 4;
    private const double LeastOverFloor = 3;
    private const int LeastWindows = 10;
    private static readonly double[] s_dampings = [0.015, 0.025, 0.04, 0.07];

    internal static IReadOnlyList<HiddenResonance> Of(FlightAnalysis analysis)
    {
        if (analysis.ShortTimeOrders is not { } orders)
        {
            return [];
        }

        return [.. OrdersOf(analysis.Airframe).Select(k => Of(analysis, orders, k)).OfType<HiddenResonance>()];
    }

    /// <summary>The orders that are strong on every aircraft: 1 and blade pass.</summary>
    internal static IEnumerable<int> OrdersOf(Airframe airframe) =>
        [1, .. airframe.Motors.Select(m => m.Blades).Where(b => b > 1).Distinct()];

    private static HiddenResonance? Of(FlightAnalysis analysis, ShortTimeOrders orders, int order)
    {
        List<(double Hz, double Slope, double Error)> slopes = [];
        for (int line = 0; line < orders.Lines.Count; line++)
        {
            if (orders.Lines[line].Order == order && Slope(analysis, orders, line) is { } slope)
            {
                slopes.Add(slope);
            }
        }

        if (slopes.Count < 2)
        {
            return null;
        }

        double middle = slopes.Average(s => s.Hz),
            plain = slopes.Sum(s => Square((s.Slope - ForceExponent) / s.Error));
        HiddenResonance? best = null;
        foreach (double damping in s_dampings)
        {
            for (double at = 1 - Reach; at <= 1 + Reach; at += Step)
            {
                double hz = at * middle,
                    left = slopes.Sum(s => Square((s.Slope - ForceExponent - GainSlope(s.Hz / hz, damping)) / s.Error)),
                    odds = (plain - left) / 2 - SearchCost;
                if (best is null || odds > best.LogOdds)
                {
                    double exponent = slopes.Sum(s => s.Slope / Square(s.Error)) / slopes.Sum(s => 1 / Square(s.Error)) / 2;
                    best = new(order, hz, damping, slopes.Average(s => Gain2(s.Hz / hz, damping)), exponent, odds);
                }
            }
        }

        return best! with
        {
            Gain = Math.Sqrt(best.Gain),
        };
    }

    /// <summary>Mean frequency of the order of a motor, and the slope of ln(mean square) on ln(speed) with its standard error.</summary>
    private static (double Hz, double Slope, double Error)? Slope(FlightAnalysis analysis, ShortTimeOrders orders, int line)
    {
        MotorOrder name = orders.Lines[line];
        if (analysis.Motors.FirstOrDefault(m => m.Id == name.Motor)?.Rpm is not { } rpm)
        {
            return null;
        }

        List<(double X, double Y)> points = [];
        foreach (ShortTimeOrders.Window window in orders.Windows)
        {
            (double power, double floor) = orders.Mean(line, 0, [window]);
            if (power > LeastOverFloor * floor && rpm.MeanOver([new TimeInterval(window.FromS, window.ToS)]) is double mean && mean > 0)
            {
                points.Add((Math.Log(mean), Math.Log(power)));
            }
        }

        if (points.Count < LeastWindows)
        {
            return null;
        }

        double x = points.Average(p => p.X),
            y = points.Average(p => p.Y),
            xx = points.Sum(p => Square(p.X - x)),
            slope = points.Sum(p => (p.X - x) * (p.Y - y)) / xx,
            left = points.Sum(p => Square(p.Y - y - slope * (p.X - x)));
        return (name.Order * Math.Exp(x) / 60, slope, Math.Sqrt(left / (points.Count - 2) / xx));
    }

    private static double Gain2(double r, double damping) => 1 / (Square(1 - r * r) + Square(2 * damping * r));

    private static double GainSlope(double r, double damping) =>
        (4 * r * r * (1 - r * r) - 8 * damping * damping * r * r) * Gain2(r, damping);

    private static double Square(double x) => x * x;
}
