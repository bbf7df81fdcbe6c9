using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>Results of the gauge readings for each motor: as the aircraft was found and as it was left.</summary>
/// <param name="AsFound">Tilts before shimming; a motor without readings is absent.</param>
/// <param name="AsLeft">Tilts after shimming; empty when nothing was read after.</param>
public sealed record Survey(IReadOnlyList<MotorTilt> AsFound, IReadOnlyList<MotorTilt> AsLeft)
{
    /// <summary>The readings it was worked out from, in the order they were taken.</summary>
    public IReadOnlyList<GaugeReading> Readings { get; init; } = [];

    /// <summary>How well the gauge reads; null where the tilts did not come from readings.</summary>
    public GaugeQuality? Gauge { get; init; }

    /// <summary>What a careful reader should know.</summary>
    public IReadOnlyList<Reason> Cautions { get; init; } = [];

    /// <summary>Columns of the file that mean nothing to the tool: a typing error is not passed over in silence. Empty when it came
    /// from elsewhere.</summary>
    public IReadOnlyList<string> Remarks { get; init; } = [];

    /// <summary>Arms that were knocked between readings; empty when none was.</summary>
    public IReadOnlyList<MountMovement> Knocks { get; init; } = [];

    /// <summary>Shims that were noted as fitted, the last note of each motor.</summary>
    public IReadOnlyList<FittedShims> Fitted =>
        [.. Readings.Select(r => r.Fitted).OfType<FittedShims>().GroupBy(f => f.MotorId).Select(g => g.Last())];

    /// <summary>Tilt of a motor as found, or null.</summary>
    public MotorTilt? Found(string motorId) => AsFound.FirstOrDefault(t => t.MotorId == motorId);

    /// <summary>Tilt of a motor as left, or null.</summary>
    public MotorTilt? Left(string motorId) => AsLeft.FirstOrDefault(t => t.MotorId == motorId);
}
