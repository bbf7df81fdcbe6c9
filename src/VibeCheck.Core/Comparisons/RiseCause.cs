using System.Text.Json.Serialization;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Why a unit settles warmer or cooler than before.</summary>
public enum RiseCause
{
    /// <summary>No change of its rise is called, or its load is not known.</summary>
    NotAsked,

    /// <summary>Its load changed; at equal load it did not change.</summary>
    Load,

    /// <summary>The unit itself: better or worse cooling, more or fewer losses at equal load.</summary>
    Unit,

    /// <summary>Both load and unit.</summary>
    Both,

    /// <summary>The data does not show which: load and unit act in opposite directions, or neither is significant. Scripts know it by its
    /// older name.</summary>
    [JsonStringEnumMemberName("not-told")]
    Undetermined,
}

/// <summary>Distinguishes a change of load from a change of the unit.</summary>
internal static class RiseCauses
{
    /// <summary>Standard uncertainty of the correction for the load, as a share of it: losses scale with speed to a power from 2 (iron) to
    /// 4 (copper), 3 ± 1 treated as rectangular.</summary>
    internal const double ExponentShare = 0.19;

    /// <summary>Power after divided by power before: from speed cubed, else from current; null when unknown.</summary>
    internal static double? LoadRatio(FlightSet flights, string motor) =>
        Ratio(Mean(flights.Before, motor, m => m.RpmMean), Mean(flights.After, motor, m => m.RpmMean), 3)
        ?? Ratio(Mean(flights.Before, motor, m => m.CurrentA), Mean(flights.After, motor, m => m.CurrentA), 1);

    internal static RiseCause Of(CallKind call, Estimate change, Estimate atEqualLoad, double mattersC)
    {
        if (
            call is not (CallKind.Improved or CallKind.Worse)
            || change.Value is not double all
            || atEqualLoad is not { Value: double own, Ci95: Interval ci }
        )
        {
            return RiseCause.NotAsked;
        }

        double load = all - own;
        bool unit = !ci.Contains(0) && Math.Abs(own) >= mattersC && Math.Sign(own) == Math.Sign(all);
        bool loaded = Math.Sign(load) == Math.Sign(all) && Math.Abs(load) >= Math.Abs(all) / 4;
        return (unit, loaded) switch
        {
            (true, true) => RiseCause.Both,
            (true, false) => RiseCause.Unit,
            (false, true) when ci.Contains(0) => RiseCause.Load,
            _ => RiseCause.Undetermined,
        };
    }

    private static double? Mean(IReadOnlyList<AnalysedFlight> side, string motor, Func<Flights.MotorAnalysis, Estimate> of)
    {
        double[] known = [.. side.Select(f => f.Motor(motor) is Flights.MotorAnalysis m ? of(m).Value : null).OfType<double>()];
        return known.Length == 0 ? null : known.Average();
    }

    private static double? Ratio(double? before, double? after, int exponent) =>
        before > 0 && after > 0 ? Math.Pow(after.Value / before.Value, exponent) : null;
}
