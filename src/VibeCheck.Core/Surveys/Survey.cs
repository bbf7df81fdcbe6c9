namespace VibeCheck.Core.Surveys;

/// <summary>What the gauge said, worked out per motor: as the aircraft was found and as it was left.</summary>
/// <param name="AsFound">Tilts before shimming; a motor without readings is absent.</param>
/// <param name="AsLeft">Tilts after shimming; empty when nothing was read after.</param>
public sealed record Survey(IReadOnlyList<MotorTilt> AsFound, IReadOnlyList<MotorTilt> AsLeft)
{
    /// <summary>Tilt of a motor as found, or null.</summary>
    public MotorTilt? Found(string motorId) => AsFound.FirstOrDefault(t => t.MotorId == motorId);

    /// <summary>Tilt of a motor as left, or null.</summary>
    public MotorTilt? Left(string motorId) => AsLeft.FirstOrDefault(t => t.MotorId == motorId);
}
