using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Json;

/// <summary>The total vibration and its parts.</summary>
internal sealed class AccountFields(VibrationAccount account, IReadOnlyList<MotorAnalysis> motors)
{
    public Estimate TotalMps2 => account.TotalMps2;
    public Interval? BandHz => account.BandHz;
    public SensorNoiseFields SensorNoise => new(account);
    public double RoundingNoiseMps2 => account.RoundingNoiseMps2;
    public IEnumerable<PartFields> Parts => account.Parts.Select(p => new PartFields(p, account, motors));
    public IEnumerable<LineFields> HalfOrders => account.HalfOrders.Select(l => new LineFields(l));
    public IEnumerable<LineFields> RotorLocked => account.LockedLines.Select(l => new LineFields(l));
    public IEnumerable<SteadyLineFields> SteadyLines => account.SteadyLines.Select(l => new SteadyLineFields(l));
    public KnocksFields Knocks => new(account.Knocks);
    public string? Why => ReasonText.Of(account.TotalMps2.Why);
    public Reason? Reason => account.TotalMps2.Why;
}

/// <summary>Noise of the accelerometer at rest, which is subtracted from the total and the broadband part.</summary>
internal sealed class SensorNoiseFields(VibrationAccount account)
{
    public Estimate Mps2 => account.SensorNoiseMps2;
    public string? Why => ReasonText.Of(account.SensorNoiseMps2.Why);
    public Reason? Reason => account.SensorNoiseMps2.Why;
}

/// <summary>One part; for the rotor orders also by motor.</summary>
internal sealed class PartFields(VibrationPart part, VibrationAccount account, IReadOnlyList<MotorAnalysis> motors)
{
    public VibrationPartKind Part => part.Kind;
    public Estimate Mps2 => part.Mps2;
    public double? Share => part.Share;
    public string? Why => ReasonText.Of(part.Mps2.Why);
    public Reason? Reason => part.Mps2.Why;

    [MayBeMissing]
    public IEnumerable<MotorPartFields>? Motors =>
        part.Kind == VibrationPartKind.RotorOrders ? RotorPartByMotor.Of(account, motors).Select(m => new MotorPartFields(m)) : null;
}

/// <summary>A motor's share of a part; without a motor, the rest.</summary>
internal sealed class MotorPartFields(MotorPart own)
{
    public string? Motor => own.MotorId;
    public Estimate Mps2 => own.Mps2;
    public double? ShareOfPart => own.Share;
}

/// <summary>A line at a fixed multiple of a rotor's speed that is not a whole number.</summary>
internal sealed class LineFields(LockedLine line)
{
    public string? Motor => line.MotorId;
    public double Multiple => line.Multiple;
    public Estimate Mps2 => line.Mps2;
    public double? Prominence => line.Prominence;
    public string? Why => ReasonText.Of(line.Mps2.Why);
    public Reason? Reason => line.Mps2.Why;
}

/// <summary>A line that keeps its frequency; only where <c>told</c> is true does the data show that it follows no rotor.</summary>
internal sealed class SteadyLineFields(SteadyLine line)
{
    public double Hz => line.Hz;
    public Estimate Mps2 => line.Mps2;
    public bool Told => line.IsUnambiguous;
    public string? Why => ReasonText.Of(line.Mps2.Why);
    public Reason? Reason => line.Mps2.Why;
}

/// <summary>Short events (knocks).</summary>
internal sealed class KnocksFields(KnockSummary knocks)
{
    public int Count => knocks.Count;
    public double? FirstS => knocks.FirstS;
    public double? PeakMps2 => knocks.PeakMps2;
    public string? Why => knocks.FirstS is null ? "no short event was found" : null;
}

/// <summary>Change of a part.</summary>
internal sealed class PartChangeFields(PartChange part)
{
    public VibrationPartKind Part => part.Kind;

    [Ci95("before_ci95")]
    public Estimate BeforeMps2 => part.BeforeMps2;

    [Ci95("after_ci95")]
    public Estimate AfterMps2 => part.AfterMps2;

    [Ci95("ci95_db")]
    public Estimate ChangeDb => part.ChangeDb;
    public CallKind Call => part.Call;

    public string? Why => WhyText.Of(("before_mps2", part.BeforeMps2), ("after_mps2", part.AfterMps2), ("change_db", part.ChangeDb));
}
