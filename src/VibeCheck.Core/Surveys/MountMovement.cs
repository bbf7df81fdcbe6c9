using VibeCheck.Core.Uncertainty;

namespace VibeCheck.Core.Surveys;

/// <summary>By how much a mount moved between two sets of readings.</summary>
/// <param name="MotorId">The motor.</param>
/// <param name="Direction">Across or along the arm.</param>
/// <param name="MovedDeg">Later minus earlier, degrees, with its interval.</param>
/// <param name="Between">Plain words: "before and after the knock", "as left last time and as found now".</param>
public sealed record MountMovement(string MotorId, TiltDirection Direction, Estimate MovedDeg, string Between)
{
    /// <summary>Whether the move is more than the gauge explains: its 95 % interval lies clear of zero.</summary>
    public bool Moved => MovedDeg.Ci95 is Interval ci && !ci.Contains(0);

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
                    moves.Add(new(found.MotorId, direction, Estimate.Around(b - a, half), "as left last time and as found now"));
                }
            }
        }

        return moves;
    }
}
