using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Reports.Text;

/// <summary>Text that explains why the thrusts of an airframe cannot be balanced.</summary>
internal static class BalanceText
{
    /// <summary>One clause or sentence; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            AllMotorsSpinAlike => "all motors turn the same way, so there is no split between the two groups",
            BalanceImpossible => "the motors of this airframe cannot balance weight, roll, pitch and yaw all at once",
            TiltBeyondThrust => "so much tilt would need negative thrust from a motor",
            MassNotGiven => "The airframe file gives no mass.",
            _ => null,
        };
}
