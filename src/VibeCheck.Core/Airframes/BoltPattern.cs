namespace VibeCheck.Core.Airframes;

/// <summary>One bolt of a motor mount, placed from the mount's centre as seen from the hub looking out along the arm.</summary>
/// <param name="Place">Plain name of the place, such as "right-out".</param>
/// <param name="AcrossMm">Millimetres to the right of the arm's axis; left is negative.</param>
/// <param name="AlongMm">Millimetres outwards along the arm; towards the hub is negative.</param>
public sealed record Bolt(string Place, double AcrossMm, double AlongMm);

/// <summary>The bolts of a motor mount.</summary>
/// <param name="Bolts">Two or more bolts, not all at one place.</param>
public sealed record BoltPattern(IReadOnlyList<Bolt> Bolts)
{
    /// <summary>Four bolts at the corners of a rectangle square to the arm.</summary>
    /// <param name="acrossMm">Distance between bolt centres across the arm, mm.</param>
    /// <param name="alongMm">Distance between bolt centres along the arm, mm.</param>
    public static BoltPattern Rectangle(double acrossMm, double alongMm)
    {
        double x = Require.Positive(acrossMm) / 2, y = Require.Positive(alongMm) / 2;
        return new([new("right-out", x, y), new("right-in", x, -y), new("left-in", -x, -y), new("left-out", -x, y)]);
    }
}
