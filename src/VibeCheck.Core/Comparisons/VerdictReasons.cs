using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>The reasons for a verdict, most important first.</summary>
/// <param name="changes">The changes.</param>
/// <param name="verdict">The verdict, with its calls.</param>
internal sealed class VerdictReasons(JobChanges changes, VerdictRules verdict)
{
    /// <summary>At most this many orders or units are listed in one reason.</summary>
    private const int MostListed = 4;

    /// <summary>A call of the verdict, its quantity, and the size of its change as a multiple of the smallest change that
    /// matters.</summary>
    private readonly record struct WeighedCall(Call Call, Quantity Of, double Weight);

    /// <summary>The reasons; where the flights cannot be compared, only the reason for that.</summary>
    /// <param name="yaw">Change of the yaw trim.</param>
    /// <param name="effect">Effect of the tilt on order 1.</param>
    internal IReadOnlyList<Reason> Of(YawTrimChange yaw, TiltEffect effect)
    {
        if (verdict.NotComparable is not null)
        {
            return [.. changes.Conditions.Obstacles];
        }

        var reasons = new List<Reason>();
        if (changes.Conditions.DatesSwapped)
        {
            reasons.Add(new StagesMayBeSwapped());
        }

        WeighedCall[] calls =
        [
            new(verdict.Vibration, Quantity.Vibration, Weight(changes.Vibration.Total, changes.Options.MinChangeDb)),
            new(verdict.MotorTemperature, Quantity.MotorTemperature, Weight(changes.Motors.Hottest, changes.Options.MinChangeC)),
            new(verdict.EscTemperature, Quantity.EscTemperature, Weight(changes.Escs.Hottest, changes.Options.MinChangeC)),
        ];
        WeighedCall[] weightiestFirst = [.. calls.OrderByDescending(c => c.Weight)];
        if (calls.All(c => c.Call.Kind == CallKind.Unknown))
        {
            reasons.Add(new NothingToJudge());
        }

        AddCalls(reasons, weightiestFirst.Where(c => IsDecided(c.Call)));
        AddPartsAndMotors(reasons);
        AddCalls(reasons, weightiestFirst.Where(c => c.Call.Kind == CallKind.NoClearChange));
        AddCalls(reasons, calls.Where(c => c.Call.Kind == CallKind.Unknown));
        AddLevels(reasons);
        AddShares(reasons);
        if (yaw.Meaning is { } meaning)
        {
            reasons.Add(meaning);
        }

        if (effect.SlopePerDeg is { Value: double slope, Ci95: Interval interval })
        {
            reasons.Add(new OrderOneFollowsTilt(slope, interval));
        }

        return reasons;
    }

    private void AddCalls(List<Reason> reasons, IEnumerable<WeighedCall> calls) =>
        reasons.AddRange(calls.Select(c => ReasonOf(c.Call, c.Of)));

    private void AddPartsAndMotors(List<Reason> reasons)
    {
        // Where the total vibration changes in the same direction as the rotors' part, the motor is more informative.
        bool partsFirst = changes.Account.Total.Kind != verdict.Vibration.Kind || changes.Account.Moved(CallKind.Worse).Any();
        if (partsFirst)
        {
            AddParts(reasons);
        }

        if (changes.Conditions.SpeedsFound is { } found)
        {
            reasons.Add(found);
        }

        AddMotors(reasons);
        if (!partsFirst)
        {
            AddParts(reasons);
        }
    }

    /// <summary>Adds the total vibration, where its call differs from that of the rotors, and the other parts that changed.</summary>
    private void AddParts(List<Reason> reasons)
    {
        if (IsDecided(changes.Account.Total))
        {
            reasons.Add(
                new AllVibrationChanged(
                    changes.Account.Total.Before!.Value,
                    changes.Account.Total.After!.Value,
                    changes.Account.Total.Change
                )
            );
        }

        reasons.AddRange(
            changes
                .Account.Moved(CallKind.Worse)
                .Concat(changes.Account.Moved(CallKind.Improved))
                .Select(p => new PartChanged(p.Kind, p.BeforeMps2.Value ?? 0, p.AfterMps2.Value ?? 0, p.ChangeDb))
        );
    }

    private static bool IsDecided(Call call) => call.Kind is CallKind.Improved or CallKind.Worse;

    private static double Weight(Change? change, double matters) => change is null ? 0 : Math.Abs(change.Value) / matters;

    private Reason ReasonOf(Call call, Quantity of)
    {
        if (call.Kind == CallKind.Unknown)
        {
            return new ChangeUnknown(of, call.Why);
        }

        if (call.Kind == CallKind.NoClearChange)
        {
            return new NoClearChangeOf(of, call.Why);
        }

        double before = call.Before!.Value,
            after = call.After!.Value,
            change = call.Change.Value!.Value;
        Interval interval = call.Change.Ci95!.Value;
        TemperatureChanges units = of == Quantity.MotorTemperature ? changes.Motors : changes.Escs;
        return of == Quantity.Vibration
            ? new RotorVibrationChanged(changes.Vibration.ByGroup, before, after, change, interval)
            : new HottestUnitChanged(
                of == Quantity.EscTemperature,
                before,
                after,
                change,
                interval,
                units.HottestBefore,
                units.HottestAfter
            );
    }

    private void AddMotors(List<Reason> reasons)
    {
        // A reader must not miss what got worse; changes that only follow the load come last.
        CallKind[] kinds = verdict.Verdict is Verdict.Worse or Verdict.Mixed
            ? [CallKind.Worse, CallKind.Improved]
            : [CallKind.Improved, CallKind.Worse];
        foreach (CallKind kind in kinds)
        {
            AddOrders(reasons, kind);
            AddUnits(reasons, kind, esc: false, byLoad: false);
            AddUnits(reasons, kind, esc: true, byLoad: false);
        }

        foreach (CallKind kind in kinds)
        {
            AddUnits(reasons, kind, esc: false, byLoad: true);
            AddUnits(reasons, kind, esc: true, byLoad: true);
        }
    }

    private void AddOrders(List<Reason> reasons, CallKind kind)
    {
        VibrationChanges.Entry[] moved =
        [
            .. changes.Vibration.Orders.Where(o => o.Kind == kind).OrderByDescending(o => o.PowerChange).Take(MostListed),
        ];
        if (moved.Length > 0)
        {
            reasons.Add(
                new OrdersChanged(
                    kind == CallKind.Improved,
                    [.. moved.Select(o => new ChangedOrder(o.Motor, o.Order, o.Change!.Value, o.Change.ToEstimate().Ci95!.Value))]
                )
            );
        }
    }

    /// <summary>Adds the units whose temperature rise changed: either those that only carry more or less of the load than before, or those
    /// that cool better or worse.</summary>
    private void AddUnits(List<Reason> reasons, CallKind kind, bool esc, bool byLoad)
    {
        TemperatureChanges temperatures = esc ? changes.Escs : changes.Motors;
        TemperatureChanges.Entry[] units =
        [
            .. temperatures
                .Units.Where(u => u.Call == kind && u.Cause(changes.Options.MinChangeC) == RiseCause.Load == byLoad)
                .OrderByDescending(u => Math.Abs(u.Change!.Value))
                .Take(MostListed),
        ];
        if (units.Length > 0)
        {
            reasons.Add(
                new UnitsChanged(
                    kind == CallKind.Improved,
                    esc,
                    byLoad,
                    [
                        .. units.Select(u => new ChangedUnit(
                            u.Motor,
                            u.Change!.Value,
                            u.Change.ToEstimate().Ci95!.Value,
                            u.AtEqualLoad.Value
                        )),
                    ]
                )
            );
        }
    }

    /// <summary>Where orders are not known, broadband levels are used instead; they never decide the verdict.</summary>
    private void AddLevels(List<Reason> reasons)
    {
        if (verdict.Vibration.Kind != CallKind.Unknown)
        {
            return;
        }

        LevelChange[] levels =
        [
            .. changes.Vibration.Levels.Where(l => l.Channel.StartsWith("acc", StringComparison.Ordinal) && l.ChangeDb.IsKnown),
        ];
        LevelChange[] moved = [.. levels.Where(l => l.Call is CallKind.Improved or CallKind.Worse)];
        if (levels.Length > 0)
        {
            reasons.Add(
                moved.Length == 0
                    ? new LevelsUnchanged()
                    : new LevelsChanged([.. moved.Select(l => new ChangedLevel(l.Channel, l.ChangeDb.Value!.Value, l.ChangeDb.Ci95))])
            );
        }
    }

    /// <summary>Motors whose load share clearly changed: a shifted centre of gravity, a propeller with less thrust, or a trim that was
    /// removed.</summary>
    private void AddShares(List<Reason> reasons)
    {
        MotorShare[] moved =
        [
            .. changes
                .Flights.Before[0]
                .Analysis.Motors.Select(m => (m.Id, Share: changes.Shares.Of(m.Id)))
                .Where(m => m.Share.Call is LoadShareCall.More or LoadShareCall.Less)
                .Select(m => new MotorShare(m.Id, m.Share.Before.Value!.Value, m.Share.After.Value!.Value)),
        ];
        if (moved.Length > 0)
        {
            reasons.Add(new LoadSharesMoved(moved));
        }
    }
}
