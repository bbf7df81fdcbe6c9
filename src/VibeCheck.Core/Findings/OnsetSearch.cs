using VibeCheck.Core.Flights;

namespace VibeCheck.Core.Findings;

/// <summary>Finds when a finding began: the first knock, or a step in the size of an order
/// from one window of the hover to the next.</summary>
/// <remarks>One step in the mean of the logarithm of the power, at the place where the squares about the two means are least (E. S. Page,
/// Biometrika 42, 1955, for the problem); limits are common practice and were checked on simulated flights with and without a
/// step.</remarks>
internal static class OnsetSearch
{
    /// <summary>Least rise of the power, dB, and least rise in standard errors of the two means.</summary>
    private const double LeastRiseDb = 3,
        LeastSigmas = 6;

    private const int LeastWindows = 3;

    /// <summary>The onsets of the findings that have one, earliest first.</summary>
    internal static IReadOnlyList<FindingOnset> Of(FlightAnalysis analysis, IReadOnlyList<Finding> findings) =>
        [.. findings.Select(f => Of(analysis, f)).OfType<FindingOnset>().OrderBy(o => o.FromS)];

    private static FindingOnset? Of(FlightAnalysis analysis, Finding finding)
    {
        double? fromS = finding.Code switch
        {
            "hard-knocks" => analysis.Accounting?.Knocks.FirstS,
            "speed-drops" => analysis.PowerTrain.Drops.FirstOrDefault(d => d.Motor == finding.Motor)?.FirstS,
            "order-1-stands-out" => OfOrder(analysis, finding.Motor, 1),
            "blade-pass-stands-out" => OfOrder(
                analysis,
                finding.Motor,
                analysis.Airframe.Motors.FirstOrDefault(m => m.Id == finding.Motor)?.Blades ?? 0
            ),
            _ => null,
        };
        return fromS is double s ? new(finding.Code, finding.Motor, s) : null;
    }

    /// <summary>When an order of a motor rose, s; null where it did not.</summary>
    internal static double? OfOrder(FlightAnalysis analysis, string? motor, int order)
    {
        if (analysis.ShortTimeOrders is not { } orders)
        {
            return null;
        }

        int line = orders.Lines.ToList().FindIndex(l => l.Motor == motor && l.Order == order);
        if (line < 0)
        {
            return null;
        }

        double[] power = [.. orders.Windows.Select(w => orders.Mean(line, 0, [w]).Power)];
        return Step(power) is int at ? orders.Windows[at].FromS : null;
    }

    /// <summary>Index of the first value after a step up; null without one.</summary>
    internal static int? Step(double[] power)
    {
        double[] db = [.. power.Select(p => 10 * Math.Log10(Math.Max(p, 1e-12)))];
        (int best, double least) = (-1, double.PositiveInfinity);
        for (int k = LeastWindows; k <= db.Length - LeastWindows; k++)
        {
            double squares = Squares(db.AsSpan(0, k)) + Squares(db.AsSpan(k));
            (best, least) = squares < least ? (k, squares) : (best, least);
        }

        if (best < 0)
        {
            return null;
        }

        double rise = Mean(db.AsSpan(best)) - Mean(db.AsSpan(0, best));
        double sigma = Math.Sqrt(least / Math.Max(1, db.Length - 2) * (1.0 / best + 1.0 / (db.Length - best)));
        return rise > LeastRiseDb && rise > LeastSigmas * sigma ? best : null;
    }

    private static double Mean(ReadOnlySpan<double> values)
    {
        double sum = 0;
        foreach (double v in values)
        {
            sum += v;
        }

        return sum / values.Length;
    }

    private static double Squares(ReadOnlySpan<double> values)
    {
        double mean = Mean(values),
            squares = 0;
        foreach (double v in values)
        {
            squares += (v - mean) * (v - mean);
        }

        return squares;
    }
}
