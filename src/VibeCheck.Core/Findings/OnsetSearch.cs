using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Findings;

/// <summary>Finds the start of a finding: the first knock, or a step in the power of an order or a part of the vibration from one window of
/// the hover to the next.</summary>
internal static class OnsetSearch
{
    /// <summary>The part of the vibration whose values over time show when a finding began.</summary>
    private static readonly Dictionary<string, VibrationPartKind> s_parts = new()
    {
        ["looseness"] = VibrationPartKind.HalfOrders,
        ["bearing-tone"] = VibrationPartKind.RotorLocked,
        ["steady-line"] = VibrationPartKind.SteadyLines,
        ["broadband"] = VibrationPartKind.Broadband,
    };

    /// <summary>The onsets of the findings that have one, earliest first.</summary>
    /// <param name="analysis">Its numbers, without what faults of the log withhold.</param>
    /// <param name="measured">Its numbers as measured.</param>
    /// <param name="findings">Its findings.</param>
    internal static IReadOnlyList<FindingOnset> Of(FlightAnalysis analysis, FlightAnalysis measured, IReadOnlyList<Finding> findings) =>
        [.. findings.Select(f => Of(analysis, measured, f)).OfType<FindingOnset>().OrderBy(o => o.FromS)];

    private static FindingOnset? Of(FlightAnalysis analysis, FlightAnalysis measured, Finding finding)
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
            _ => s_parts.TryGetValue(finding.Code, out VibrationPartKind part) ? OfPart(measured.Accounting, part) : null,
        };
        return fromS is double s ? new(finding.Code, finding.Motor, s) : null;
    }

    /// <summary>Time at which a part of the vibration rose, s; null where it did not.</summary>
    internal static double? OfPart(VibrationAccount? account, VibrationPartKind part) =>
        account is not null && WindowOfRise(account, part) is int at ? account.WindowS[at] : null;

    /// <summary>The first window of the hover from which a part of the vibration is larger; null where it did not rise.</summary>
    internal static int? WindowOfRise(VibrationAccount account, VibrationPartKind part)
    {
        if (!account.MeanSquaresByWindow.TryGetValue(part, out double[]? meanSquares))
        {
            return null;
        }

        // A value that is negative after the floor is subtracted counts as a hundredth of the mean, not as almost zero.
        double least = 0.01 * Math.Max(0, meanSquares.Average());
        return PowerStep.Up(Array.ConvertAll(meanSquares, c => Math.Max(c, least)));
    }

    /// <summary>Time at which an order of a motor rose, s; null where it did not.</summary>
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
        return PowerStep.Up(power) is int at ? orders.Windows[at].FromS : null;
    }
}
