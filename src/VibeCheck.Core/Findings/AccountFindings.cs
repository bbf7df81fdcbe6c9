using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Findings;

/// <summary>Vibration other than the whole orders of the rotors: play, bearings, lines of no rotor, air, knocks.</summary>
internal static class AccountFindings
{
    // At most this many lines are named as evidence.
    private const int MostNamed = 3;

    /// <param name="analysis">The numbers, without what faults of the log withhold.</param>
    /// <param name="measured">The numbers as measured. Checks of the log treat a waveform as faulty if whole orders alone do not explain
    /// it; vibration other than whole orders makes such a waveform too. Sizes are then withheld, but a finding may still be
    /// possible.</param>
    internal static IEnumerable<Observation> Of(FlightAnalysis analysis, FlightAnalysis measured)
    {
        if (measured.Accounting is not { TotalMps2.IsKnown: true } account)
        {
            return [];
        }

        if (analysis.Accounting is not { } known)
        {
            return [];
        }

        if (known.TotalMps2.IsKnown)
        {
            return known.Part(VibrationPartKind.Knocks).Mps2.IsKnown
                ? Of(analysis, known)
                : Of(analysis, account).Select(o => IsOfFalseSamples(o) ? o with { IsAmbiguous = true } : o);
        }

        return known.TotalMps2.Why switch
        {
            SpikesLeftOut or FillersLeftOut => Of(analysis, account).Where(o => !IsOfFalseSamples(o)),

            PeaksFlattened or PhaseBroken => Possible(analysis, account).Where(o => o.Code != "broadband"),

            SamplesTakenUnevenly => Possible(analysis, account).Where(o => o.Code == "hard-knocks"),

            // Strong wash also changes the mean of the acceleration, and hides the orders.
            GravityDrifts or OrdersExceedSpectrum or PiecesDisagree => Possible(analysis, account),
            _ => [],
        };
    }

    /// <summary>Whether false samples look like this: what remains of them counts as knocks and broadband vibration.</summary>
    private static bool IsOfFalseSamples(Observation o) => o.Code is "broadband" or "hard-knocks";

    private static IEnumerable<Observation> Possible(FlightAnalysis analysis, VibrationAccount account) =>
        Of(analysis, account).Select(o => o with { IsAmbiguous = true });

    private static IEnumerable<Observation> Of(FlightAnalysis analysis, VibrationAccount account) =>
        Looseness(account)
            .Concat(Bearing(account))
            .Concat(SteadyLines(account))
            .Concat(Broadband(account))
            .Concat(Knocks(analysis, account));

    private static IEnumerable<Observation> Looseness(VibrationAccount account)
    {
        FindingRule rule = FindingRules.Of("looseness");
        LockedLine[] clear = [.. account.HalfOrders.Where(l => l.Prominence > rule.Limits[1].Least && l.Mps2.Value > rule.Limits[0].Least)];
        if (clear.Length > 0)
        {
            LockedLine first = clear.MaxBy(l => l.Mps2.Value)!;
            string[] told = [.. clear.Select(l => l.MotorId).OfType<string>().Distinct()];
            string? who = told.Length == 1 ? told[0] : null;
            yield return new(
                "looseness",
                who,
                new HalfOrdersStandOut(who, [.. clear.Take(MostNamed)]),
                Near(first.Mps2),
                first.Prominence,
                Share(first.Mps2, account)
            );
        }
    }

    private static IEnumerable<Observation> Bearing(VibrationAccount account)
    {
        LockedLine[] large = [.. account.LockedLines.OrderByDescending(l => l.Mps2.Value)];
        if (large.Length > 0)
        {
            string? who = large[0].MotorId ?? large.FirstOrDefault(l => l.MotorId is not null)?.MotorId;
            yield return new(
                "bearing-tone",
                who,
                new LineLockedToRotor(who, [.. large.Take(MostNamed)]),
                Near(large[0].Mps2),
                Share(large[0].Mps2, account)
            );
        }
    }

    private static IEnumerable<Observation> SteadyLines(VibrationAccount account)
    {
        SteadyLine[] large = [.. account.SteadyLines.Where(l => l.Mps2.IsKnown).OrderByDescending(l => l.Mps2.Value)];
        if (large.Length > 0)
        {
            // Where it cannot be distinguished from a line of a rotor it may be that of a bearing.
            yield return new(
                "steady-line",
                null,
                new LineOfNoRotor([.. large.Take(MostNamed)]),
                Near(large[0].Mps2),
                Share(large[0].Mps2, account)
            )
            {
                IsAmbiguous = !large[0].IsUnambiguous,
                Least = large[0].IsUnambiguous ? Severity.Note : Severity.Look,
            };
        }
    }

    private static IEnumerable<Observation> Broadband(VibrationAccount account)
    {
        VibrationPart part = account.Part(VibrationPartKind.Broadband);
        if (part.Share is not null && SinceItBegan(account, part) is { Share: double share, Mps2: { Ci95: Interval ci } size })
        {
            yield return new("broadband", null, new BroadbandDominates(size, share), ci.Low, share);
        }
    }

    /// <summary>A part that began in flight has the size that it had since then: its mean over the hover is that of two states, with an
    /// interval that includes both.</summary>
    private static VibrationPart SinceItBegan(VibrationAccount account, VibrationPart part) =>
        OnsetSearch.WindowOfRise(account, part.Kind) is int window ? account.Since(part, window) : part;

    private static IEnumerable<Observation> Knocks(FlightAnalysis analysis, VibrationAccount account)
    {
        KnockSummary knocks = account.Knocks;
        if (knocks.Count > 0)
        {
            double perMinute = 60 * knocks.Count / Math.Max(1, analysis.Hover.SecondsUsed);
            yield return new(
                "hard-knocks",
                null,
                new KnocksStandOut(knocks.Count, perMinute, knocks.FirstS, knocks.PeakMps2, account.Part(VibrationPartKind.Knocks).Mps2),
                knocks.PeakMps2,
                knocks.Count,
                knocks.PeakMps2 / account.TotalMps2.Value!.Value
            );
        }
    }

    private static double Near(Estimate size) => size.Ci95?.Low ?? 0;

    private static double Share(Estimate size, VibrationAccount account) => Math.Pow((size.Value ?? 0) / account.TotalMps2.Value!.Value, 2);
}
