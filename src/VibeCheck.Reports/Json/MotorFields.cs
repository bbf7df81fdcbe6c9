using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Json;

/// <summary>Where a rotor's speed comes from.</summary>
internal enum SpeedOrigin
{
    /// <summary>Found in the vibration.</summary>
    Vibration,

    /// <summary>Logged.</summary>
    Log,

    /// <summary>Not known.</summary>
    None,
}

/// <summary>One motor of a flight.</summary>
internal sealed class MotorFields(MotorAnalysis motor)
{
    public string Id => motor.Id;

    [Ci95("rpm_ci95")]
    public Estimate RpmMean => motor.RpmMean;

    public SpeedOrigin RpmFrom =>
        motor.SpeedIsFound ? SpeedOrigin.Vibration
        : motor.RpmMean.IsKnown ? SpeedOrigin.Log
        : SpeedOrigin.None;

    [Ci95("load_share_ci95")]
    public Estimate LoadShare => motor.LoadShare;

    [Ci95("current_ci95")]
    public Estimate CurrentA => motor.CurrentA;
    public IEnumerable<OrderFields> Orders => motor.Orders.Select(o => new OrderFields(o));
    public TemperatureFields MotorTemp => new(motor.MotorTemp);
    public TemperatureFields EscTemp => new(motor.EscTemp);
    public UnbalanceFields Unbalance => new(motor.UnbalanceGmm);
    public string? Why => WhyText.Of(("rpm_mean", motor.RpmMean), ("load_share", motor.LoadShare), ("current_a", motor.CurrentA));
}

/// <summary>One order of a motor. Where motors cannot be separated, the group and its common level are given too.</summary>
internal sealed class OrderFields(OrderLevel order)
{
    private readonly Reason? _why =
        order.RmsMps2.Why ?? order.GroupMps2?.Why ?? (order.PerAxisMps2 is null ? new PerAxisNotMeasured() : null);

    public int Order => order.Order;
    public Estimate RmsMps2 => order.RmsMps2;
    public AxesFields? PerAxis => order.PerAxisMps2 is [double x, double y, double z] ? new(x, y, z) : null;
    public bool Separable => order.Separable;

    [MayBeMissing]
    public IEnumerable<string>? Group => order.Separable ? null : order.Group;

    [MayBeMissing]
    [Ci95("group_ci95")]
    public Estimate? GroupRmsMps2 => order.Separable ? null : order.GroupMps2 ?? Estimate.Unknown(new NotMeasured());
    public double? FoldedFromHz => order.FoldedFromHz;
    public string? Why => ReasonText.Of(_why);
    public Reason? Reason => _why;
}

/// <summary>The three axes of the body.</summary>
internal sealed record AxesFields(double X, double Y, double Z);

/// <summary>Steady rise of a motor or an ESC.</summary>
internal sealed class TemperatureFields(TemperatureRise rise)
{
    private readonly Reason? _why = rise.RiseSteadyC.Why ?? (rise.TauS is null ? new TimeConstantNotFixed() : null);

    public Estimate RiseSteadyC => rise.RiseSteadyC;
    public double? TauS => rise.TauS;
    public bool Reached => rise.Reached;
    public string? Why => ReasonText.Of(_why);
    public Reason? Reason => _why;
}

/// <summary>Unbalance that order 1 would mean if all of it were unbalance.</summary>
internal sealed class UnbalanceFields(Estimate unbalanceGmm)
{
    public Estimate Gmm => unbalanceGmm;
    public string? Why => ReasonText.Of(unbalanceGmm.Why);
    public Reason? Reason => unbalanceGmm.Why;
}

/// <summary>All rotors together, where their speeds are not logged.</summary>
internal sealed class GroupFields(GroupResult group)
{
    private readonly Reason? _why = group.TotalMps2.Why ?? group.Rpm.Why;

    [Ci95("rpm_ci95")]
    public Estimate Rpm => group.Rpm;
    public Estimate RmsMps2 => group.TotalMps2;
    public IEnumerable<GroupOrderFields> Orders => group.Orders.Select(o => new GroupOrderFields(o.Order, o.RmsMps2));
    public string? Why => ReasonText.Of(_why);
    public Reason? Reason => _why;
}

/// <summary>One order of all rotors together.</summary>
internal sealed class GroupOrderFields(int order, Estimate rms)
{
    public int Order => order;
    public Estimate RmsMps2 => rms;
    public string? Why => ReasonText.Of(rms.Why);
    public Reason? Reason => rms.Why;
}
