using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Json;

/// <summary>A shim plan.</summary>
internal sealed class ShimPlanFields(ShimPlan plan, IReadOnlyList<MountMovement> sinceLast)
{
    [OneOf("vibecheck.shims/1")]
    public string Schema { get; } = "vibecheck.shims/1";
    public string ToolVersion { get; } = Formatting.ToolVersion.Text;
    public string Answer => ShimPlanText.Answer(plan);
    public string Expect => ShimPlanText.Expect(plan);
    public double ToleranceDeg => plan.Options.ToleranceDeg;
    public GaugeFields? Gauge => plan.Survey.Gauge is { } gauge ? new(gauge) : null;
    public IEnumerable<MotorShimFields> Motors => plan.Motors.Select(m => new MotorShimFields(m));
    public YawForecastFields Yaw => new(plan.Forecast);
    public IEnumerable<PieceFields> Pieces => plan.Pieces.Select(p => new PieceFields(Decimals.Of(p.ThicknessMm), p.Count));
    public IEnumerable<LeftTiltFields> AsLeft => plan.Survey.AsLeft.Select(t => new LeftTiltFields(t));
    public IEnumerable<FittedFields> Fitted => plan.Survey.Fitted.Select(f => new FittedFields(f, plan));
    public IEnumerable<MoveFields> Knocks => plan.Survey.Knocks.Select(m => new MoveFields(m));
    public IEnumerable<MoveFields> SinceLast => sinceLast.Select(m => new MoveFields(m));
    public IEnumerable<string> Cautions => ShimReasonText.Cautions(plan, c => ReasonText.Of(c));
}

/// <summary>The quality of the gauge: steps, repeatability, zero error.</summary>
internal sealed class GaugeFields(GaugeQuality gauge)
{
    public double ResolutionDeg => gauge.StepDeg;
    public bool ResolutionGiven => gauge.StepGiven;
    public double RepeatabilityDeg => Decimals.Of(gauge.RepeatabilityDeg);

    [OneOf("stated and repeats", "usual and repeats", "stated", "usual")]
    public string RepeatabilityFrom =>
        (gauge.RepeatCount > 0, gauge.RepeatabilityGiven) switch
        {
            (true, true) => "stated and repeats",
            (true, false) => "usual and repeats",
            (false, true) => "stated",
            _ => "usual",
        };

    [Ci95("zero_error_ci95")]
    public Estimate ZeroErrorDeg => gauge.ZeroErrorDeg;
    public string? Why => ReasonText.Of(gauge.ZeroErrorDeg.Why);
    public Reason? Reason => gauge.ZeroErrorDeg.Why;
}

/// <summary>Tilt of a motor as left.</summary>
internal sealed class LeftTiltFields(MotorTilt tilt)
{
    public string Id => tilt.MotorId;
    public double? TiltAcrossDeg => Decimals.Of(tilt.AcrossDeg.Value);
    public double? TiltAlongDeg => Decimals.Of(tilt.AlongDeg.Value);
    public double? U95Deg => Decimals.Of(tilt.U95Deg);
    public string? TiltWhy => TiltReason.Of(tilt);
}

/// <summary>What to do at a motor.</summary>
internal sealed class MotorShimFields(MotorShims motor)
{
    public string Id => motor.Motor.Id;
    public double? TiltAcrossDeg => Decimals.Of(motor.Tilt?.AcrossDeg.Value);
    public double? TiltAlongDeg => Decimals.Of(motor.Tilt?.AlongDeg.Value);
    public double? U95Deg => Decimals.Of(motor.Tilt?.U95Deg);
    public string? TiltWhy => TiltReason.Of(motor.Tilt);
    public ShimAction Action => motor.Action;

    [OneOf("right", "left", "in", "out")]
    public string? Side => motor.Side?.Word();
    public double? ThicknessMm => motor.ThicknessMm;
    public IEnumerable<BoltFields> Bolts => BoltFields.Of(motor.Stacks?.Bolts);
    public double? ResidualDeg => Decimals.Of(motor.Stacks?.ResidualDeg ?? motor.Tilt?.MagnitudeDeg);
    public double? RockingMm => Decimals.Of(motor.Stacks?.RockingMm);
    public int? MoreReadings => motor.MoreReadings;
    public string? Why => ReasonText.Of(motor.Why);
    public Reason? Reason => motor.Why;
}

/// <summary>Shims under a bolt.</summary>
internal sealed class BoltFields(BoltShims bolt)
{
    public string Place => bolt.Bolt.Place;
    public IEnumerable<double> StackMm => bolt.StackMm.Select(Decimals.Of);

    internal static IEnumerable<BoltFields> Of(IEnumerable<BoltShims>? bolts) => (bolts ?? []).Select(b => new BoltFields(b));
}

/// <summary>Yaw moment and speed split that the tilts predict, before and after the shims.</summary>
internal sealed class YawForecastFields(HoverForecast forecast)
{
    [Ci95("moment_ci95")]
    public Estimate MomentNm => forecast.MomentBeforeNm;

    [Ci95("split_ci95")]
    public Estimate SplitPredicted => forecast.SplitBefore;

    [Ci95("moment_after_ci95")]
    public Estimate MomentAfterNm => forecast.MomentAfterNm;

    [Ci95("split_after_ci95")]
    public Estimate SplitAfterPredicted => forecast.SplitAfter;

    [OneOf("cw", "ccw")]
    public string? CoolerGroup => forecast.CoolerGroup?.Word();
    public double? CoolerGroupThrustChange => Decimals.Of(forecast.CoolerGroupThrustChange);
    public double ThrustLost => forecast.ThrustLostBefore;

    public string? Why =>
        WhyText.Together(
            WhyText.Of(
                ("moment_nm", forecast.MomentBeforeNm),
                ("split_predicted", forecast.SplitBefore),
                ("moment_after_nm", forecast.MomentAfterNm),
                ("split_after_predicted", forecast.SplitAfter)
            ),
            WhyText.Of(("cooler_group", NoCoolerGroup), ("cooler_group_thrust_change", NoCoolerGroup))
        );

    private string? NoCoolerGroup =>
        forecast.CoolerGroup is not null ? null
        : forecast is { SplitBefore.IsKnown: true, SplitAfter.IsKnown: true } ? "neither group is expected to run clearly cooler"
        : ReasonText.Clause(new SplitUnknown());
}

/// <summary>How many pieces of a thickness the plan needs.</summary>
internal sealed record PieceFields(double ThicknessMm, int Count);

/// <summary>Shims that the survey notes as fitted.</summary>
internal sealed class FittedFields(FittedShims fitted, ShimPlan plan)
{
    public string Id => fitted.MotorId;
    public string Text => fitted.Text;
    public IEnumerable<BoltFields> Bolts => BoltFields.Of(fitted.Bolts);
    public double? LeavesDeg => Decimals.Of(ShimPlanText.Leaves(fitted, plan.Airframe, plan.Survey));
    public string? Why => LeavesDeg is null ? "the tilt as found is not known" : null;
}

/// <summary>How far a mount moved, and whether that is more than the gauge explains.</summary>
internal sealed class MoveFields(MountMovement move)
{
    public string Motor => move.MotorId;
    public TiltDirection Direction => move.Direction;
    public Estimate MovedDeg => move.MovedDeg;
    public bool Moved => move.Moved;
    public string? Why => ReasonText.Of(move.MovedDeg.Why);
    public Reason? Reason => move.MovedDeg.Why;
}

/// <summary>A shim chart.</summary>
internal sealed class ShimChartFields(ShimChart chart)
{
    [OneOf("vibecheck.chart/1")]
    public string Schema { get; } = "vibecheck.chart/1";
    public string ToolVersion { get; } = Formatting.ToolVersion.Text;
    public double SpanMm => chart.SpanMm;

    public IEnumerable<ShimOfTiltFields> FromTilt =>
        chart.FromTilt.Select(r => new ShimOfTiltFields(r.TiltDeg, Decimals.Of(r.ShimMm), Decimals.Of(r.ShimIn)));

    public IEnumerable<TiltOfMmFields> FromMm => chart.FromMm.Select(r => new TiltOfMmFields(r.ShimMm, Decimals.Of(r.TiltDeg)));

    public IEnumerable<TiltOfInchFields> FromInch => chart.FromInch.Select(r => new TiltOfInchFields(r.ShimIn, Decimals.Of(r.TiltDeg)));
}

/// <summary>Shim for a tilt.</summary>
internal sealed record ShimOfTiltFields(double TiltDeg, double ShimMm, double ShimIn);

/// <summary>Tilt that a shim in millimetres corrects.</summary>
internal sealed record TiltOfMmFields(double ShimMm, double TiltDeg);

/// <summary>Tilt that a shim in inches corrects.</summary>
internal sealed record TiltOfInchFields(double ShimIn, double TiltDeg);

/// <summary>Why a tilt is not known.</summary>
internal static class TiltReason
{
    internal static string? Of(MotorTilt? tilt) =>
        tilt is null
            ? "nothing was read here"
            : (ReasonText.Of(tilt.AcrossDeg.Why), ReasonText.Of(tilt.AlongDeg.Why)) switch
            {
                (string a, string b) => $"{a}; {b}",
                (string a, null) => a,
                (null, string b) => b,
                _ => null,
            };
}

/// <summary>Rounds to nine decimals, which removes rounding errors of binary sums such as 0.3 - 0.1; no gauge is that fine.</summary>
internal static class Decimals
{
    internal static double Of(double value) => Math.Round(value, 9) + 0.0;

    internal static double? Of(double? value) => value is double v ? Of(v) : null;
}
