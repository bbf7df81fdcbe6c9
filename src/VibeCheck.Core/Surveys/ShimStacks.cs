namespace VibeCheck.Core.Surveys;

/// <summary>Stacks for the bolts of one mount and what they leave.</summary>
/// <param name="Bolts">Every bolt of the pattern.</param>
/// <param name="SlopeAcross">Rise of the fitted plane to the right, mm per mm.</param>
/// <param name="SlopeAlong">Rise of the fitted plane outwards, mm per mm.</param>
/// <param name="ResidualAcrossDeg">Tilt left across the arm, degrees, signed as the tilt.</param>
/// <param name="ResidualAlongDeg">Tilt left along the arm, degrees, signed as the tilt.</param>
/// <param name="RockingMm">Largest distance of a stack from the plane through all, mm; 0 when they carry evenly.</param>
public sealed record ShimStacks(
    IReadOnlyList<BoltShims> Bolts,
    double SlopeAcross,
    double SlopeAlong,
    double ResidualAcrossDeg,
    double ResidualAlongDeg,
    double RockingMm
)
{
    /// <summary>Size of the tilt left, degrees.</summary>
    public double ResidualDeg => Math.Sqrt(ResidualAcrossDeg * ResidualAcrossDeg + ResidualAlongDeg * ResidualAlongDeg);

    /// <summary>Pieces used.</summary>
    public int Pieces => Bolts.Sum(b => b.StackMm.Count);

    /// <summary>Highest stack, mm.</summary>
    public double HighestMm => Bolts.Max(b => b.HeightMm);
}
