using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>The call on a motor's share of the load.</summary>
public enum LoadShareCall
{
    /// <summary>It carries more than before.</summary>
    More,

    /// <summary>It carries less.</summary>
    Less,

    /// <summary>No change that is both significant and large enough to matter.</summary>
    NoClearChange,

    /// <summary>Not known.</summary>
    Unknown,
}

/// <summary>A motor's share of the load before and after; 1 is an even share.</summary>
/// <param name="Before">Before.</param>
/// <param name="After">After.</param>
/// <param name="Change">After minus before.</param>
/// <param name="Call">The call; the error rate applies to all motors together.</param>
/// <param name="Why">The reason for this call.</param>
public sealed record LoadShareChange(Estimate Before, Estimate After, Estimate Change, LoadShareCall Call, Reason Why)
{
    /// <summary>A load share that is not known.</summary>
    internal static LoadShareChange Unknown(Reason why) =>
        new(Estimate.Unknown(why), Estimate.Unknown(why), Estimate.Unknown(why), LoadShareCall.Unknown, why);

    /// <summary>Whether the motor works harder for the same hover, and harder than with an even share.</summary>
    public bool IsHarder => Call == LoadShareCall.More && After.Value > 1 + LoadShareChanges.Matters;
}

/// <summary>How a change of a load share was judged.</summary>
/// <param name="Change">After minus before.</param>
/// <param name="Half95">Half width of its 95 % interval.</param>
/// <param name="Matters">Smallest change that matters.</param>
public sealed record LoadShareJudged(double Change, double Half95, double Matters) : Reason;

/// <summary>Changes of the motors' shares of the load.</summary>
internal sealed class LoadShareChanges
{
    /// <summary>Smallest change that matters: 3 % of thrust is 4 to 5 % of a motor's power and heat.</summary>
    internal const double Matters = 0.03;

    // Standard deviation from flight to flight with nothing changed: wind that tilts the aircraft, a battery that was put back slightly off
    // its place (common practice).
    private const double Scatter = 0.015;

    private readonly Dictionary<string, LoadShareChange> _changes = [];

    internal LoadShareChanges(FlightSet flights, Airframe airframe, ComparisonOptions options, Reason? notComparable)
    {
        string[] ids = [.. airframe.Motors.Select(m => m.Id)];
        FlightValues[] values =
        [
            .. ids.Select(id =>
                flights.Read(f =>
                    f.Motor(id) is { } motor
                        ? (FlightValue.Plain(motor.LoadShare), motor.LoadShare.Why)
                        : (null, new MotorNotInFlight(id, f.Name))
                )
            ),
        ];
        FlightScatter scatter = FlightScatter.Of(Scatter, values);
        Change?[] changes = [.. values.Select(v => Change.Of(v, scatter))];
        double[] adjusted = Calls.Adjusted(changes, MultipleTests.BenjaminiHochberg);
        for (int i = 0; i < ids.Length; i++)
        {
            _changes[ids[i]] = Of(values[i], changes[i], adjusted[i], options, notComparable);
        }
    }

    internal LoadShareChange Of(string motor) => _changes[motor];

    private static LoadShareChange Of(
        FlightValues values,
        Change? change,
        double adjustedP,
        ComparisonOptions options,
        Reason? notComparable
    )
    {
        if (change is null)
        {
            return LoadShareChange.Unknown(values.Why ?? new NotMeasured());
        }

        Estimate before = Estimate.Of(values.MeanBefore, change.Before),
            after = Estimate.Of(values.MeanAfter, change.After);
        if (notComparable is not null)
        {
            return new(before, after, Estimate.Unknown(notComparable), LoadShareCall.Unknown, notComparable);
        }

        LoadShareCall call = Calls.Kind(change, adjustedP, options.ErrorRate, Matters) switch
        {
            CallKind.Worse => LoadShareCall.More,
            CallKind.Improved => LoadShareCall.Less,
            _ => LoadShareCall.NoClearChange,
        };
        return new(before, after, change.ToEstimate(), call, new LoadShareJudged(change.Value, change.Half95, Matters));
    }
}
