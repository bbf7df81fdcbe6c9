using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Derives a call from a change.</summary>
internal static class Calls
{
    /// <summary>A change is called when it is significant by its p value among the tests made together, its interval excludes zero, and it
    /// is large enough to matter.</summary>
    internal static CallKind Kind(Change? change, double adjustedP, double errorRate, double matters) =>
        change is null ? CallKind.Unknown
        : adjustedP > errorRate || Math.Abs(change.Value) <= change.Half95 || Math.Abs(change.Value) < matters ? CallKind.NoClearChange
        : change.Value < 0 ? CallKind.Improved
        : CallKind.Worse;

    /// <summary>Adjusted p values of the known changes; 1 for the others.</summary>
    internal static double[] Adjusted(IReadOnlyList<Change?> changes, Func<IReadOnlyList<double>, double[]> adjust)
    {
        double[] known = adjust([.. changes.OfType<Change>().Select(c => c.PValue)]);
        double[] all = new double[changes.Count];
        int next = 0;
        for (int i = 0; i < all.Length; i++)
        {
            all[i] = changes[i] is null ? 1 : known[next++];
        }

        return all;
    }

    /// <summary>A call on a quantity whose values are in dB or °C.</summary>
    internal static Call Of(FlightValues readings, Change? change, CallKind kind, CallUnit unit, Reason? notComparable, double matters)
    {
        bool inDb = unit == CallUnit.Db;
        double? before =
            readings.Before.Count == 0 ? null
            : inDb ? FlightValue.FromDb(readings.MeanBefore)
            : readings.MeanBefore;
        double? after =
            readings.After.Count == 0 ? null
            : inDb ? FlightValue.FromDb(readings.MeanAfter)
            : readings.MeanAfter;
        string changeUnit = inDb ? "dB" : "°C";
        Reason? unknown = notComparable ?? readings.Why;
        return new Call
        {
            Kind = unknown is null ? kind : CallKind.Unknown,
            Before = before,
            After = after,
            BeforeCi95 =
                change is null ? null
                : inDb ? FromDb(change.Before)
                : change.Before,
            AfterCi95 =
                change is null ? null
                : inDb ? FromDb(change.After)
                : change.After,
            Change = unknown is null && change is not null ? change.ToEstimate() : Estimate.Unknown(unknown ?? new NotMeasured()),
            Unit = inDb ? "m/s²" : "°C",
            ChangeUnit = changeUnit,
            Why = unknown is null && change is not null ? Judged(change, kind, inDb, matters) : unknown ?? new NotMeasured(),
            SmallestShown = unknown is null ? change?.Half95 : null,
        };
    }

    private static Interval FromDb(Interval db) => new(FlightValue.FromDb(db.Low), FlightValue.FromDb(db.High));

    private static ChangeJudged Judged(Change change, CallKind kind, bool inDb, double matters)
    {
        Significance how =
            kind is CallKind.Improved or CallKind.Worse ? Significance.Clear
            : Math.Abs(change.Value) <= change.Half95 ? Significance.NotSignificant
            : Math.Abs(change.Value) < matters ? Significance.TooSmall
            : Significance.NotClearAmongAll;
        return new(change.Value, change.ToEstimate().Ci95!.Value, inDb, matters, change.Half95, how);
    }
}

/// <summary>Unit of a call.</summary>
internal enum CallUnit
{
    /// <summary>m/s², changes in dB.</summary>
    Db,

    /// <summary>°C, changes in °C.</summary>
    C,
}
