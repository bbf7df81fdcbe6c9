using System.Globalization;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Flights.Structure;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Json;

/// <summary>The result of one flight.</summary>
internal sealed class FlightFields(FlightAnalysis flight)
{
    [OneOf("vibecheck.flight/1")]
    public string Schema { get; } = "vibecheck.flight/1";
    public string ToolVersion { get; } = Formatting.ToolVersion.Text;
    public string Airframe => flight.Airframe.Name;
    public InputFields Input => new(flight.Input);
    public AmbientFields Ambient => new(flight.AmbientC);
    public HoverFields Hover => new(flight.Hover);
    public RotorVibrationFields RotorVibration => new(flight.RotorVibrationMps2);
    public AccountFields? Accounting => flight.Accounting is { } account ? new(account, flight.Motors) : null;
    public GroupFields? Group => flight.Group is { } group ? new(group) : null;
    public IEnumerable<LevelFields> Levels => flight.Levels.Select(l => new LevelFields(l));
    public IEnumerable<MotorFields> Motors => flight.Motors.Select(m => new MotorFields(m));
    public YawTrimFields YawTrim => new(flight.YawTrim);
    public IEnumerable<PeakFields> Peaks => flight.Peaks.Select(p => new PeakFields(p));
    public IEnumerable<ResonanceFields> Resonances => flight.Resonances.Select(m => new ResonanceFields(m));
    public IEnumerable<QualityFields> Quality => flight.Quality.Select(q => new QualityFields(q));
    public IEnumerable<FindingFields> Findings => flight.Findings.Select(f => new FindingFields(f, flight.Onsets));
    public IEnumerable<ScaleFields> Scale => ScaleFields.Of(flight, []);
    public IEnumerable<WarningFields> Warnings => flight.Warnings.Select(w => new WarningFields(w));
}

/// <summary>The files of a flight and the offset and drift between their clocks.</summary>
internal sealed class InputFields(FlightInput input)
{
    public FileFields Imu => new(input.Imu);
    public FileFields? Esc => input.Esc is { } esc ? new(esc) : null;
    public double? ClockOffsetS => input.ClockOffsetS;
    public double? ClockOffsetU95S => input.ClockOffsetU95S;
    public double? ClockDriftPpm => input.ClockDriftPpm;
    public double? ClockDriftU95Ppm => input.ClockDriftU95Ppm;
    public string? StartedUtc => input.StartedUtc?.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);
    public string? ContentSha256 => input.ContentHash;
    public string? Why => ReasonText.Of(input.Incomplete);
    public Reason? Reason => input.Incomplete;
}

/// <summary>Temperature of the air.</summary>
internal sealed class AmbientFields(double? ambientC)
{
    public double? TempC => ambientC;
    public string? Why => ReasonText.Of(Reason);
    public Reason? Reason => ambientC is null ? new AmbientNotFound() : null;
}

/// <summary>The hover that was used.</summary>
internal sealed class HoverFields(HoverTime hover)
{
    public double SecondsUsed => hover.SecondsUsed;
    public IEnumerable<SegmentFields> Segments => SegmentFields.Of(hover.Segments);
    public string? Why => ReasonText.Of(hover.Why);
    public Reason? Reason => hover.Why;
}

/// <summary>All rotor orders of all motors together.</summary>
internal sealed class RotorVibrationFields(Estimate vibration)
{
    public Estimate RmsMps2 => vibration;
    public string? Why => ReasonText.Of(vibration.Why);
    public Reason? Reason => vibration.Why;
}

/// <summary>Level of a channel over a band.</summary>
internal sealed class LevelFields(Level level)
{
    public string Channel => level.Channel;
    public string Unit => level.Unit;
    public Estimate Rms => level.Rms;
    public Interval? BandHz => level.BandHz;
    public string? Why => ReasonText.Of(level.Rms.Why);
    public Reason? Reason => level.Rms.Why;
}

/// <summary>Difference of mean speed between the motors that turn clockwise and the others, share of the mean.</summary>
internal sealed class YawTrimFields(YawTrim trim)
{
    public Estimate Split => trim.Split;
    public YawTrimSource From => trim.From;
    public string? Why => ReasonText.Of(trim.Split.Why);
    public Reason? Reason => trim.Split.Why;
}

/// <summary>A peak of a spectrum and what causes it.</summary>
internal sealed class PeakFields(SpectralPeak peak)
{
    public string Channel => peak.Channel;
    public double Hz => peak.Hz;
    public double Amplitude => peak.Amplitude;
    public string Unit => peak.Unit;
    public IEnumerable<AssignedFields> Assigned => peak.Assigned.Select(a => new AssignedFields(a.Motor, a.Order));
    public PeakKind Kind => peak.Kind;
    public double? FoldedFromHz => peak.FoldedFromHz;
}

/// <summary>A motor and its order that a peak is assigned to.</summary>
internal sealed record AssignedFields(string Motor, int Order);

/// <summary>A resonance of the airframe.</summary>
internal sealed class ResonanceFields(StructureMode mode)
{
    public string Channel => mode.Channel;

    [Ci95("hz_ci95")]
    public Estimate Hz => mode.Hz;

    [Ci95("damping_ci95")]
    public Estimate DampingRatio => mode.DampingRatio;
    public ModeEvidence Method => mode.Method;
    public string? Why => WhyText.Of(("hz", mode.Hz), ("damping_ratio", mode.DampingRatio));
}

/// <summary>A fault of a log: where, when, what was done, the numbers, and a sentence.</summary>
internal sealed class QualityFields(QualityIssue issue)
{
    private const string AllTheTime = "it concerns the whole flight";

    public string Code => issue.Cause.Code;
    public string Track => issue.Track;
    public string? Channel => issue.Channel;
    public double? FromS => issue.When?.FromS;
    public double? ToS => issue.When?.ToS;
    public QualityEffect Effect => issue.Effect;
    public NumbersOf Values => new(issue.Cause);
    public string Text => ReasonText.Full(issue.Cause);

    public string? Why =>
        WhyText.Of(
            ("channel", issue.Channel is null ? "it concerns the whole track" : null),
            ("from_s", issue.When is null ? AllTheTime : null),
            ("to_s", issue.When is null ? AllTheTime : null)
        );
}

/// <summary>A warning from the analysis of a flight.</summary>
internal sealed class WarningFields(FlightWarning warning)
{
    public string Code => warning.Code;
    public string Text => ReasonText.Of(warning.Cause);
    public Reason Reason => warning.Cause;
}
