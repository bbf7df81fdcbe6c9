using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Findings;

/// <summary>What shakes beside the rotors' whole orders: play, bearings, what no rotor makes, air, knocks.</summary>
internal static class AccountFindings
{
    // A part below this nobody would mind, and one below this share of the whole changes nothing (common practice).
    private const double LeastMps2 = 0.15,
        GrossMps2 = 1;
    private const double LeastShare = 0.02;

    // A half order must stand this far over the floor beneath it: noise of a floor never does (campaign "accounting").
    private const double LeastProminence = 3;
    private const double LeastBroadbandShare = 0.7,
        LeastBroadbandMps2 = 1.5;
    private const int LeastKnocks = 3;
    private const double LeastKnockMps2 = 3;

    // So many lines are named as evidence.
    private const int MostNamed = 3;

    internal static IEnumerable<Finding> Of(FlightAnalysis analysis)
    {
        if (analysis.Accounting is not { TotalMps2.IsKnown: true } account)
        {
            return [];
        }

        return Looseness(account)
            .Concat(Bearing(account))
            .Concat(SteadyLines(account))
            .Concat(Broadband(account))
            .Concat(Knocks(analysis, account));
    }

    private static IEnumerable<Finding> Looseness(VibrationAccount account)
    {
        LockedLine[] clear = [.. account.HalfOrders.Where(l => l.Prominence > LeastProminence && IsLarge(l.Mps2, account))];
        if (clear.Length == 0)
        {
            yield break;
        }

        LockedLine first = clear[0];
        string[] told = [.. clear.Select(l => l.MotorId).OfType<string>().Distinct()];
        string? who = told.Length == 1 ? told[0] : null;
        yield return new("looseness", Gross(first.Mps2), who, new HalfOrdersStandOut(who, [.. clear.Take(MostNamed)]));
    }

    private static IEnumerable<Finding> Bearing(VibrationAccount account)
    {
        LockedLine[] large = [.. account.LockedLines.Where(l => IsLarge(l.Mps2, account))];
        if (large.Length == 0)
        {
            yield break;
        }

        LockedLine first = large[0];
        yield return new(
            "bearing-tone",
            Gross(first.Mps2),
            first.MotorId,
            new LineLockedToRotor(first.MotorId, [.. large.Take(MostNamed)])
        );
    }

    private static IEnumerable<Finding> SteadyLines(VibrationAccount account)
    {
        SteadyLine[] large = [.. account.SteadyLines.Where(l => IsLarge(l.Mps2, account))];
        if (large.Length > 0)
        {
            yield return new(
                "steady-line",
                large[0].Mps2.Value > GrossMps2 || !large[0].IsTold ? Severity.Look : Severity.Note,
                null,
                new LineOfNoRotor([.. large.Take(MostNamed)])
            );
        }
    }

    private static IEnumerable<Finding> Broadband(VibrationAccount account)
    {
        VibrationPart part = account.Part(VibrationPartKind.Broadband);
        if (part.Share > LeastBroadbandShare && part.Mps2.Ci95?.Low > LeastBroadbandMps2)
        {
            yield return new("broadband", Severity.Note, null, new BroadbandDominates(part.Mps2, part.Share!.Value));
        }
    }

    private static IEnumerable<Finding> Knocks(FlightAnalysis analysis, VibrationAccount account)
    {
        if (account.Knocks.Count >= LeastKnocks && account.Knocks.PeakMps2 > Math.Max(LeastKnockMps2, account.TotalMps2.Value!.Value))
        {
            double perMinute = 60 * account.Knocks.Count / Math.Max(1, analysis.Hover.SecondsUsed);
            yield return new(
                "hard-knocks",
                Severity.Look,
                null,
                new KnocksStandOut(
                    account.Knocks.Count,
                    perMinute,
                    account.Knocks.FirstS,
                    account.Knocks.PeakMps2,
                    account.Part(VibrationPartKind.Knocks).Mps2
                )
            );
        }
    }

    private static bool IsLarge(Estimate size, VibrationAccount account) =>
        size.Ci95?.Low > LeastMps2 / 2
        && size.Value > LeastMps2
        && Math.Pow(size.Value.Value / account.TotalMps2.Value!.Value, 2) > LeastShare / 2;

    private static Severity Gross(Estimate size) => size.Value > GrossMps2 ? Severity.Act : Severity.Look;
}
