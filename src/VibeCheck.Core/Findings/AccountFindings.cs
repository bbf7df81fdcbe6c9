using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;
using static System.FormattableString;

namespace VibeCheck.Core.Findings;

/// <summary>What shakes beside the rotors' whole orders: play, bearings, what no rotor makes, air, knocks.</summary>
internal static class AccountFindings
{
    // A part below this nobody would mind, and one below this share of the whole changes nothing (common practice).
    private const double LeastMps2 = 0.15, GrossMps2 = 1;
    private const double LeastShare = 0.02;

    // A half order must stand this far over the floor beneath it: noise of a floor never does (campaign "accounting").
    private const double LeastProminence = 3;
    private const double LeastBroadbandShare = 0.7, LeastBroadbandMps2 = 1.5;
    private const int LeastKnocks = 3;
    private const double LeastKnockMps2 = 3;

    internal static IEnumerable<Finding> Of(FlightAnalysis analysis)
    {
        if (analysis.Accounting is not { TotalMps2.IsKnown: true } account)
        {
            return [];
        }

        return Looseness(account).Concat(Bearing(account)).Concat(SteadyLines(account)).Concat(Broadband(account)).Concat(Knocks(analysis, account));
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
        yield return new("looseness", Gross(first.Mps2), who,
            $"{(who is null ? "Something" : $"Something at {who}")} shakes at odd halves of the rotor speed, once in two turns: play, such as a loose arm, mount, motor screw or propeller hub.",
            $"{string.Join(", ", clear.Take(3).Select(l => Invariant($"×{l.Multiple:0.0}{(l.MotorId is null ? "" : " of " + l.MotorId)} {Size(l.Mps2)}")))}",
            FlightFindings.Bench + $"hold the hub and push {(who is null ? "each arm, motor and propeller" : $"the arm, the motor and the propeller of {who}")} to and fro: feel for play, and check the screws with the torque driver.");
    }

    private static IEnumerable<Finding> Bearing(VibrationAccount account)
    {
        LockedLine[] large = [.. account.LockedLines.Where(l => IsLarge(l.Mps2, account))];
        if (large.Length == 0)
        {
            yield break;
        }

        LockedLine first = large[0];
        yield return new("bearing-tone", Gross(first.Mps2), first.MotorId,
            Invariant($"A line follows {first.MotorId ?? "the rotors"} at {first.Multiple:0.00} cycles a revolution, which no blade and no unbalance makes: a bearing, or something that rolls or rubs with the rotor."),
            $"{string.Join(", ", large.Take(3).Select(l => Invariant($"×{l.Multiple:0.00}{(l.MotorId is null ? "" : " of " + l.MotorId)} {Size(l.Mps2)}")))}",
            FlightFindings.Bench + $"turn the bell of {first.MotorId ?? "each motor"} slowly by hand, feel and listen for roughness, and compare it with another motor; then run it without propeller: a bearing stays.");
    }

    private static IEnumerable<Finding> SteadyLines(VibrationAccount account)
    {
        SteadyLine[] large = [.. account.SteadyLines.Where(l => IsLarge(l.Mps2, account))];
        if (large.Length > 0)
        {
            string what = large[0].IsTold
                ? "keeps its frequency while the rotors change theirs: no rotor makes it. A gimbal, a fan or a pump of the payload does, or the recorder's own electronics."
                : "is no whole or half multiple of a rotor's speed. The speeds moved too little to tell whether it follows a rotor (a bearing) or none (a gimbal, a fan, a pump).";
            yield return new("steady-line", large[0].Mps2.Value > GrossMps2 || !large[0].IsTold ? Severity.Look : Severity.Note, null,
                Invariant($"A line at {large[0].Hz:0.0} Hz {what}"),
                string.Join(", ", large.Take(3).Select(l => Invariant($"{l.Hz:0.0} Hz {Size(l.Mps2)}"))),
                "Log a minute on the ground with everything but the motors switched on, then switch off one thing after the other: the line goes with the one that makes it.");
        }
    }

    private static IEnumerable<Finding> Broadband(VibrationAccount account)
    {
        VibrationPart part = account.Part(VibrationPartKind.Broadband);
        if (part.Share > LeastBroadbandShare && part.Mps2.Ci95?.Low > LeastBroadbandMps2)
        {
            yield return new("broadband", Severity.Note, null,
                "Most of the vibration is no line of a rotor but noise over a wide band: wind and rotor wash on the frame, a ringing part, or an IMU that is held too softly or too loosely.",
                Invariant($"broadband {Size(part.Mps2)}, {100 * part.Share:0} % of the mean square of all vibration"),
                FlightFindings.Bench + "press on the IMU's board and shake cables, covers and antennas by hand; fly again on a calm day.");
        }
    }

    private static IEnumerable<Finding> Knocks(FlightAnalysis analysis, VibrationAccount account)
    {
        if (account.Knocks.Count >= LeastKnocks && account.Knocks.PeakMps2 > Math.Max(LeastKnockMps2, account.TotalMps2.Value!.Value))
        {
            double perMinute = 60 * account.Knocks.Count / Math.Max(1, analysis.Hover.SecondsUsed);
            yield return new("hard-knocks", Severity.Look, null,
                "Short hard knocks stand in the vibration: something strikes or rattles, such as a loose battery, a cable in reach of a propeller, or a landing gear with play.",
                Invariant($"{account.Knocks.Count} knocks, some {perMinute:0} a minute, the first at {account.Knocks.FirstS:0.0} s, up to {account.Knocks.PeakMps2:0.0} m/s²; {Size(account.Part(VibrationPartKind.Knocks).Mps2)} in all"),
                FlightFindings.Bench + "shake the aircraft and listen; look at the propellers' tips for marks, and fasten battery, cables and landing gear.");
        }
    }

    private static bool IsLarge(Estimate size, VibrationAccount account) =>
        size.Ci95?.Low > LeastMps2 / 2 && size.Value > LeastMps2 && Math.Pow(size.Value.Value / account.TotalMps2.Value!.Value, 2) > LeastShare / 2;

    private static Severity Gross(Estimate size) => size.Value > GrossMps2 ? Severity.Act : Severity.Look;

    private static string Size(Estimate size) => Invariant($"{size.Value:0.00} m/s² ({size.Ci95?.Low:0.00} to {size.Ci95?.High:0.00})");
}
