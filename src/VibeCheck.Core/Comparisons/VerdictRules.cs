using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Derives the calls from the changes, and the verdict from the calls.</summary>
internal sealed class VerdictRules
{
    /// <summary>An order counts in the verdict by itself only at this significance level.</summary>
    private const double SureRate = 0.01;

    private readonly JobChanges _changes;

    internal VerdictRules(JobChanges changes)
    {
        _changes = changes;
        VibrationChanges vibration = changes.Vibration;
        TemperatureChanges motors = changes.Motors,
            escs = changes.Escs;
        ComparisonOptions options = changes.Options;
        NotComparable = changes.Conditions.WhyNotComparable;
        double[] adjusted = Calls.Adjusted([vibration.Total, motors.Hottest, escs.Hottest], MultipleTests.Holm);
        Vibration = CallOf(vibration.TotalValues, vibration.Total, adjusted[0], CallUnit.Db, options.MinChangeDb);
        MotorTemperature = CallOf(motors.HottestValues, motors.Hottest, adjusted[1], CallUnit.C, options.MinChangeC);
        EscTemperature = CallOf(escs.HottestValues, escs.Hottest, adjusted[2], CallUnit.C, options.MinChangeC);
        Verdict = VerdictOf();
    }

    /// <summary>Why the flights cannot be compared; null where they can.</summary>
    internal Reason? NotComparable { get; }

    internal Call Vibration { get; }

    internal Call MotorTemperature { get; }

    internal Call EscTemperature { get; }

    internal Verdict Verdict { get; }

    private Call CallOf(FlightValues readings, Change? change, double adjustedP, CallUnit unit, double matters) =>
        Calls.Of(readings, change, Calls.Kind(change, adjustedP, _changes.Options.ErrorRate, matters), unit, NotComparable, matters);

    private Verdict VerdictOf()
    {
        if (NotComparable is not null)
        {
            return Verdict.NotComparable;
        }

        CallKind[] calls =
        [
            Vibration.Kind,
            MotorTemperature.Kind,
            EscTemperature.Kind,
            _changes.Account.Total.Kind,
            .. _changes.Account.Moved(CallKind.Worse).Concat(_changes.Account.Moved(CallKind.Improved)).Select(p => p.Call),
        ];
        bool better = calls.Contains(CallKind.Improved) || AnyOrderCountsAlone(CallKind.Improved),
            worse = calls.Contains(CallKind.Worse) || AnyOrderCountsAlone(CallKind.Worse);
        return (better, worse) switch
        {
            (true, true) => Verdict.Mixed,
            (true, false) => Verdict.Improved,
            (false, true) => Verdict.Worse,
            _ => Verdict.NoClearChange,
        };
    }

    /// <summary>Whether an order of one motor, whose own change is clearly significant (Holm, 1 %), changes the vibration as a whole by an
    /// amount that matters: it counts even where another motor's change hides it in the sum.</summary>
    private bool AnyOrderCountsAlone(CallKind kind)
    {
        VibrationChanges vibration = _changes.Vibration;
        FlightValues whole = vibration.TotalValues;
        if (!whole.AreKnown)
        {
            return false;
        }

        double[] adjusted = Calls.Adjusted([.. vibration.Orders.Select(o => o.Change)], MultipleTests.Holm);
        double total = Math.Pow(FlightValue.FromDb(Math.Max(whole.MeanBefore, whole.MeanAfter)), 2);
        double share = Math.Pow(FlightValue.FromDb(_changes.Options.MinChangeDb), 2) - 1;
        return vibration.Orders.Where((o, i) => o.Kind == kind && adjusted[i] <= SureRate && o.PowerChange > share * total).Any();
    }
}
