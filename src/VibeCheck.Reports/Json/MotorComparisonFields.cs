using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Json;

/// <summary>One motor before and after.</summary>
internal sealed class MotorComparisonFields(MotorComparison motor)
{
    public string Id => motor.Id;
    public double? TiltBeforeDeg => motor.TiltBefore?.MagnitudeDeg;
    public double? TiltAfterDeg => motor.TiltAfter?.MagnitudeDeg;
    public TiltFields TiltBefore => new(motor.TiltBefore, SurveyTime.AsFound);
    public TiltFields TiltAfter => new(motor.TiltAfter, SurveyTime.AsLeft);

    [Ci95("rpm_before_ci95")]
    public Estimate RpmBefore => motor.RpmBefore;

    [Ci95("rpm_after_ci95")]
    public Estimate RpmAfter => motor.RpmAfter;
    public LoadShareFields LoadShare => new(motor.LoadShare);

    [Ci95("load_share_before_ci95")]
    public Estimate LoadShareBefore => motor.LoadShareBefore;

    [Ci95("load_share_after_ci95")]
    public Estimate LoadShareAfter => motor.LoadShareAfter;

    [Ci95("current_before_ci95")]
    public Estimate CurrentBeforeA => motor.CurrentBeforeA;

    [Ci95("current_after_ci95")]
    public Estimate CurrentAfterA => motor.CurrentAfterA;
    public IEnumerable<OrderChangeFields> Orders => motor.Orders.Select(o => new OrderChangeFields(o));
    public CallFields MotorTemp => new(motor.MotorTemp);
    public CallFields EscTemp => new(motor.EscTemp);
    public double? LoadRatio => motor.LoadRatio;

    [Ci95("motor_rise_at_equal_load_ci95")]
    public Estimate MotorRiseAtEqualLoadC => motor.MotorRiseAtEqualLoadC;
    public RiseCause MotorRiseCause => motor.MotorRiseCause;

    [Ci95("esc_rise_at_equal_load_ci95")]
    public Estimate EscRiseAtEqualLoadC => motor.EscRiseAtEqualLoadC;
    public RiseCause EscRiseCause => motor.EscRiseCause;

    public string? Why =>
        WhyText.Of(
            ("tilt_before_deg", Known(motor.TiltBefore, SurveyTime.AsFound)),
            ("tilt_after_deg", Known(motor.TiltAfter, SurveyTime.AsLeft)),
            ("rpm_before", motor.RpmBefore),
            ("rpm_after", motor.RpmAfter),
            ("load_share_before", motor.LoadShareBefore),
            ("load_share_after", motor.LoadShareAfter),
            ("current_before_a", motor.CurrentBeforeA),
            ("current_after_a", motor.CurrentAfterA),
            ("load_ratio", motor.LoadRatio is double ratio ? Estimate.Around(ratio, 0) : Estimate.Unknown(new LoadNotKnownOnBothSides())),
            ("motor_rise_at_equal_load_c", motor.MotorRiseAtEqualLoadC),
            ("esc_rise_at_equal_load_c", motor.EscRiseAtEqualLoadC)
        );

    private static Estimate Known(MotorTilt? tilt, SurveyTime when) =>
        tilt?.MagnitudeDeg is double known ? Estimate.Around(known, 0) : Estimate.Unknown(new NoGaugeReading(when));
}

/// <summary>Tilt of a motor in both directions.</summary>
internal sealed class TiltFields(MotorTilt? tilt, SurveyTime when)
{
    [Ci95("across_ci95")]
    public Estimate AcrossDeg => tilt?.AcrossDeg ?? Estimate.Unknown(new NoGaugeReading(when));

    [Ci95("along_ci95")]
    public Estimate AlongDeg => tilt?.AlongDeg ?? Estimate.Unknown(new NoGaugeReading(when));
    public string? Why => WhyText.Of(("across_deg", AcrossDeg), ("along_deg", AlongDeg));
}

/// <summary>Change of a motor's load share.</summary>
internal sealed class LoadShareFields(LoadShareChange share)
{
    public double? Before => share.Before.Value;
    public double? After => share.After.Value;
    public Estimate Change => share.Change;
    public LoadShareCall Call => share.Call;
    public string? Why => ReasonText.Of(share.Why);
    public Reason? Reason => share.Why;
}

/// <summary>Change of an order of a motor.</summary>
internal sealed class OrderChangeFields(OrderChange order)
{
    public int Order => order.Order;

    [Ci95("before_ci95")]
    public Estimate BeforeMps2 => order.BeforeMps2;

    [Ci95("after_ci95")]
    public Estimate AfterMps2 => order.AfterMps2;

    [Ci95("ci95_db")]
    public Estimate ChangeDb => order.ChangeDb;
    public CallKind Call => order.Call;

    public string? Why => WhyText.Of(("before_mps2", order.BeforeMps2), ("after_mps2", order.AfterMps2), ("change_db", order.ChangeDb));
}
