using System.Globalization;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>By how much a mount moved between two sets of readings.</summary>
/// <param name="MotorId">The motor.</param>
/// <param name="Direction">Across or along the arm.</param>
/// <param name="MovedDeg">Later minus earlier, degrees, with its interval.</param>
/// <param name="StepDeg">Step of the gauge's display, degrees: one step of difference can come from a hair's breadth of move.</param>
/// <param name="Occasion">Plain words: "on the knock", "since it was left last time".</param>
public sealed record MountMovement(string MotorId, TiltDirection Direction, Estimate MovedDeg, double StepDeg, string Occasion)
{
    /// <summary>Whether the move is more than the gauge explains: more than one step, and its 95 % interval lies clear of zero.</summary>
    public bool Moved => MovedDeg is { Value: double moved, Ci95: Interval ci } && !ci.Contains(0) && Math.Abs(moved) > StepDeg + 1e-9;

    /// <summary>One plain sentence with the numbers.</summary>
    public string Sentence
    {
        get
        {
            string way = Direction == TiltDirection.Across ? "across" : "along";
            string amount = string.Create(CultureInfo.InvariantCulture,
                $"{Math.Abs(MovedDeg.Value ?? 0):F2}° ± {(MovedDeg.Ci95?.Width ?? 0) / 2:F2}°");
            return Moved
                ? $"{MotorId} moved by {amount} {way} the arm {Occasion}, more than the gauge explains: arm or mount is not rigid enough "
                    + "for shims to hold. Look for play first."
                : $"{MotorId} shows no move {way} the arm {Occasion} ({amount}).";
        }
    }

    /// <summary>As left last time against as found now, for every direction that both surveys know.</summary>
    public static IReadOnlyList<MountMovement> Since(Survey last, Survey now)
    {
        var moves = new List<MountMovement>();
        foreach (MotorTilt found in now.AsFound)
        {
            if (last.Left(found.MotorId) is MotorTilt left)
            {
                Add(TiltDirection.Across, left.AcrossDeg, found.AcrossDeg);
                Add(TiltDirection.Along, left.AlongDeg, found.AlongDeg);
            }

            void Add(TiltDirection direction, Estimate was, Estimate isNow)
            {
                if (was is { Value: double a, Ci95: Interval wa } && isNow is { Value: double b, Ci95: Interval wb })
                {
                    double half = Math.Sqrt(wa.Width * wa.Width + wb.Width * wb.Width) / 2;
                    moves.Add(new(found.MotorId, direction, Estimate.Around(b - a, half), now.Gauge?.StepDeg ?? 0, "since it was left last time"));
                }
            }
        }

        return moves;
    }
}
