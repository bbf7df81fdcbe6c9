using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>Between which readings a mount was looked at.</summary>
public enum MoveOccasion
{
    /// <summary>Before and after a knock.</summary>
    Knock,

    /// <summary>As left last time and as found now.</summary>
    SinceLast,
}

/// <summary>By how much a mount moved between two sets of readings.</summary>
/// <param name="MotorId">The motor.</param>
/// <param name="Direction">Across or along the arm.</param>
/// <param name="MovedDeg">Later minus earlier, degrees, with its interval.</param>
/// <param name="StepDeg">Step of the gauge's display, degrees: one step of difference can come from a hair's breadth of move.</param>
/// <param name="Occasion">Between which readings.</param>
public sealed record MountMovement(string MotorId, TiltDirection Direction, Estimate MovedDeg, double StepDeg, MoveOccasion Occasion)
{
    /// <summary>Whether the move is more than the gauge explains: more than one step, and its 95 % interval lies clear of zero.</summary>
    public bool Moved => MovedDeg is { Value: double moved, Ci95: Interval ci } && !ci.Contains(0) && Math.Abs(moved) > StepDeg + 1e-9;

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
                    moves.Add(new(found.MotorId, direction, Estimate.Around(b - a, half), now.Gauge?.StepDeg ?? 0, MoveOccasion.SinceLast));
                }
            }
        }

        return moves;
    }
}
