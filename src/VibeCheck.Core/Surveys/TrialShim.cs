namespace VibeCheck.Core.Surveys;

/// <summary>Finds the low side with a gauge that does not show it: a thin trial shim is put under one end of the gauge, then under the
/// other.</summary>
public static class TrialShim
{
    /// <summary>The low side; null where both ends show the same.</summary>
    /// <param name="direction">Along which line the gauge lies.</param>
    /// <param name="underLeftDeg">What the gauge shows with the shim under its left end, or its inner end along the arm, degrees.</param>
    /// <param name="underRightDeg">The same under its right, or its outer, end.</param>
    /// <remarks>Lifting the low end makes the reading smaller, lifting the high end makes it larger.</remarks>
    public static LowSide? LowSideOf(TiltDirection direction, double underLeftDeg, double underRightDeg) =>
        underLeftDeg == underRightDeg ? null
        : direction == TiltDirection.Across
            ? underRightDeg < underLeftDeg ? LowSide.Right
                : LowSide.Left
        : underRightDeg < underLeftDeg ? LowSide.Out
        : LowSide.In;
}
