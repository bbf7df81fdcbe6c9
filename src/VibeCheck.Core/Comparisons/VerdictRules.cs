using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>From calls to the verdict, its reasons and what to do next.</summary>
internal sealed class VerdictRules
{
    /// <summary>An order counts in the verdict by itself only if so surely shown.</summary>
    private const double SureRate = 0.01;

    /// <summary>More motors than that are not named one by one.</summary>
    private const int MostNamed = 3;

    private readonly FlightSet _flights;
    private readonly VibrationChanges _vibration;
    private readonly AccountChanges _account;
    private readonly LoadShareChanges _shares;
    private readonly TemperatureChanges _motors;
    private readonly TemperatureChanges _escs;
    private readonly Conditions _conditions;
    private readonly ComparisonOptions _options;

    internal VerdictRules(
        FlightSet flights,
        VibrationChanges vibration,
        AccountChanges account,
        LoadShareChanges shares,
        TemperatureChanges motors,
        TemperatureChanges escs,
        Conditions conditions,
        ComparisonOptions options
    )
    {
        (_flights, _vibration, _account, _shares, _motors, _escs, _conditions, _options) = (
            flights,
            vibration,
            account,
            shares,
            motors,
            escs,
            conditions,
            options
        );
        NotComparable = conditions.WhyNotComparable;
        double[] adjusted = Calls.Adjusted([vibration.Total, motors.Hottest, escs.Hottest], MultipleTests.Holm);
        Vibration = CallOf(vibration.TotalValues, vibration.Total, adjusted[0], CallUnit.Db, options.MinChangeDb);
        MotorTemperature = CallOf(motors.HottestValues, motors.Hottest, adjusted[1], CallUnit.C, options.MinChangeC);
        EscTemperature = CallOf(escs.HottestValues, escs.Hottest, adjusted[2], CallUnit.C, options.MinChangeC);
        WorseAlone = OrdersThatCountAlone(CallKind.Worse);
        BetterAlone = OrdersThatCountAlone(CallKind.Improved);
        Verdict = VerdictOf();
    }

    internal Reason? NotComparable { get; }

    internal Call Vibration { get; }

    internal Call MotorTemperature { get; }

    internal Call EscTemperature { get; }

    internal Verdict Verdict { get; }

    private List<VibrationChanges.Entry> WorseAlone { get; }

    private List<VibrationChanges.Entry> BetterAlone { get; }

    private Call CallOf(FlightValues readings, Change? change, double adjustedP, CallUnit unit, double matters) =>
        Calls.Of(readings, change, Calls.Kind(change, adjustedP, _options.ErrorRate, matters), unit, NotComparable, matters);

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
            _account.Total.Kind,
            .. _account.Moved(CallKind.Worse).Concat(_account.Moved(CallKind.Improved)).Select(p => p.Call),
        ];
        bool better = calls.Contains(CallKind.Improved) || BetterAlone.Count > 0,
            worse = calls.Contains(CallKind.Worse) || WorseAlone.Count > 0;
        return (better, worse) switch
        {
            (true, true) => Verdict.Mixed,
            (true, false) => Verdict.Improved,
            (false, true) => Verdict.Worse,
            _ => Verdict.NoClearChange,
        };
    }

    /// <summary>Orders of one motor whose own change, surely shown (Holm, 1 %), moves the vibration as a whole by as much as matters:
    /// they count even where another motor's change hides them in the sum.</summary>
    private List<VibrationChanges.Entry> OrdersThatCountAlone(CallKind kind)
    {
        if (!_vibration.TotalValues.AreKnown)
        {
            return [];
        }

        double[] adjusted = Calls.Adjusted([.. _vibration.Orders.Select(o => o.Change)], MultipleTests.Holm);
        double total = Math.Pow(FlightValue.FromDb(Math.Max(_vibration.TotalValues.MeanBefore, _vibration.TotalValues.MeanAfter)), 2);
        double share = Math.Pow(FlightValue.FromDb(_options.MinChangeDb), 2) - 1;
        return
        [
            .. _vibration.Orders.Where(
                (o, i) =>
                    o.Kind == kind
                    && adjusted[i] <= SureRate
                    && Math.Abs(Power(o.Values.MeanAfter) - Power(o.Values.MeanBefore)) > share * total
            ),
        ];
    }

    private static double Power(double db) => Math.Pow(FlightValue.FromDb(db), 2);

    internal IReadOnlyList<Reason> Reasons(YawTrimChange yaw, TiltEffect effect)
    {
        var reasons = new List<Reason>();
        if (_conditions.DatesSwapped && NotComparable is null)
        {
            reasons.Add(new StagesMayBeSwapped());
        }

        if (NotComparable is not null)
        {
            reasons.AddRange(_conditions.Obstacles);
            return reasons;
        }

        var calls = new (Call Call, Quantity Of, double Weight)[]
        {
            (Vibration, Quantity.Vibration, Weight(_vibration.Total, _options.MinChangeDb)),
            (MotorTemperature, Quantity.MotorTemperature, Weight(_motors.Hottest, _options.MinChangeC)),
            (EscTemperature, Quantity.EscTemperature, Weight(_escs.Hottest, _options.MinChangeC)),
        };
        if (calls.All(c => c.Call.Kind == CallKind.Unknown))
        {
            reasons.Add(new NothingToJudge());
        }

        reasons.AddRange(calls.Where(c => Decided(c.Call)).OrderByDescending(c => c.Weight).Select(c => ReasonOf(c.Call, c.Of)));

        // Where all vibration goes the way of the rotors' part, the motor is more informative.
        bool partsFirst = _account.Total.Kind != Vibration.Kind || _account.Moved(CallKind.Worse).Any();
        if (partsFirst)
        {
            AddParts(reasons);
        }

        if (_conditions.SpeedsFound is { } found)
        {
            reasons.Add(found);
        }

        AddMotors(reasons);
        if (!partsFirst)
        {
            AddParts(reasons);
        }

        reasons.AddRange(
            calls.Where(c => c.Call.Kind == CallKind.NoClearChange).OrderByDescending(c => c.Weight).Select(c => ReasonOf(c.Call, c.Of))
        );
        reasons.AddRange(calls.Where(c => c.Call.Kind == CallKind.Unknown).Select(c => ReasonOf(c.Call, c.Of)));
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

    /// <summary>All vibration, where its call differs from that of the rotors, and the parts beside the rotors' that changed.</summary>
    private void AddParts(List<Reason> reasons)
    {
        if (Decided(_account.Total))
        {
            reasons.Add(new AllVibrationChanged(_account.Total.Before!.Value, _account.Total.After!.Value, _account.Total.Change));
        }

        reasons.AddRange(
            _account
                .Moved(CallKind.Worse)
                .Concat(_account.Moved(CallKind.Improved))
                .Select(p => new PartChanged(p.Kind, p.BeforeMps2.Value ?? 0, p.AfterMps2.Value ?? 0, p.ChangeDb))
        );
    }

    private static bool Decided(Call call) => call.Kind is CallKind.Improved or CallKind.Worse;

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
        TemperatureChanges units = of == Quantity.MotorTemperature ? _motors : _escs;
        return of == Quantity.Vibration
            ? new RotorVibrationChanged(_vibration.ByGroup, before, after, change, interval)
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
        // What got worse is what a reader must not miss; what only follows the load comes last.
        CallKind[] kinds = Verdict is Verdict.Worse or Verdict.Mixed
            ? [CallKind.Worse, CallKind.Improved]
            : [CallKind.Improved, CallKind.Worse];
        foreach (CallKind kind in kinds)
        {
            VibrationChanges.Entry[] moved =
            [
                .. _vibration
                    .Orders.Where(o => o.Kind == kind)
                    .OrderByDescending(o => Math.Abs(Power(o.Values.MeanAfter) - Power(o.Values.MeanBefore)))
                    .Take(4),
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

            AddUnits(reasons, kind, esc: false, byLoad: false);
            AddUnits(reasons, kind, esc: true, byLoad: false);
        }

        foreach (CallKind kind in kinds)
        {
            AddUnits(reasons, kind, esc: false, byLoad: true);
            AddUnits(reasons, kind, esc: true, byLoad: true);
        }
    }

    /// <summary>Units whose rise changed; those that only carry more or less than before are told
    /// apart from those that cool better or worse.</summary>
    private void AddUnits(List<Reason> reasons, CallKind kind, bool esc, bool byLoad)
    {
        TemperatureChanges changes = esc ? _escs : _motors;
        TemperatureChanges.Entry[] units =
        [
            .. changes
                .Units.Where(u => u.Call == kind && u.Cause(_options.MinChangeC) == RiseCause.Load == byLoad)
                .OrderByDescending(u => Math.Abs(u.Change!.Value))
                .Take(4),
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

    /// <summary>Where orders are not known, broadband levels are the next best thing; they never make the verdict.</summary>
    private void AddLevels(List<Reason> reasons)
    {
        if (Vibration.Kind != CallKind.Unknown)
        {
            return;
        }

        LevelChange[] levels =
        [
            .. _vibration.Levels.Where(l => l.Channel.StartsWith("acc", StringComparison.Ordinal) && l.ChangeDb.IsKnown),
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

    /// <summary>Motors that clearly carry another share than before: a shifted centre of gravity, a propeller that pulls less, or a
    /// trim that went.</summary>
    private void AddShares(List<Reason> reasons)
    {
        MotorShare[] moved =
        [
            .. _flights
                .Before[0]
                .Analysis.Motors.Select(m => (m.Id, Share: _shares.Of(m.Id)))
                .Where(m => m.Share.Call is LoadShareCall.More or LoadShareCall.Less)
                .Select(m => new MotorShare(m.Id, m.Share.Before.Value!.Value, m.Share.After.Value!.Value)),
        ];
        if (moved.Length > 0)
        {
            reasons.Add(new LoadSharesMoved(moved));
        }
    }

    internal IReadOnlyList<Reason> NextSteps(IReadOnlyList<Finding> findings)
    {
        var steps = new List<Reason>();
        if (_conditions.DatesSwapped)
        {
            steps.Add(new CheckStageOrder());
        }

        AddMissing(steps);
        if (NotComparable is FlightsNotComparable { Cause: not StagesOutOfOrder })
        {
            steps.Add(new FlyBothAlike());
        }

        // Where the answer is there already, a smaller change of something else settles nothing.
        if (Verdict == Verdict.NoClearChange && Vibration.Kind == CallKind.NoClearChange)
        {
            AddSettling(steps, _vibration.Total!, _options.MinChangeDb, Quantity.Vibration);
        }

        if (Verdict == Verdict.NoClearChange && MotorTemperature.Kind == CallKind.NoClearChange)
        {
            AddSettling(steps, _motors.Hottest!, _options.MinChangeC, Quantity.MotorTemperature);
        }

        Finding[] named = NotComparable is null ? [.. NamedByFlight(findings)] : [];
        Reason? look = Verdict is Verdict.Worse or Verdict.Mixed ? LookAtWorse(named) : null;
        IEnumerable<Reason> follow = named.Select(f => new FollowFinding(f.Cause));

        // A finding at a motor that got worse says what to check there; motors without one come after it.
        bool findingLeads = named.Any(f => f.Motor is string motor && IsWorse(motor));
        steps.AddRange(
            look is null ? follow
            : findingLeads ? follow.Append(look)
            : follow.Prepend(look)
        );
        if (steps.Count == 0)
        {
            steps.Add(new KeepAsReference());
        }

        return steps;
    }

    /// <summary>The step to look at the motors that got worse and that no finding leads to; null where findings lead to all of
    /// them.</summary>
    private LookAtWhatGotWorse? LookAtWorse(Finding[] named)
    {
        string[] who = [.. _flights.Before[0].Analysis.Motors.Select(m => m.Id).Where(IsWorse)];
        string[] unnamed = [.. who.Where(m => !named.Any(f => f.Motor == m))];
        return unnamed.Length > 0 || named.Length == 0 ? new LookAtWhatGotWorse(unnamed.Length <= MostNamed ? unnamed : []) : null;
    }

    private bool IsWorse(string motor) =>
        _vibration.Orders.Any(o => o.Motor == motor && o.Kind == CallKind.Worse)
        || _motors
            .Units.Concat(_escs.Units)
            .Any(u => u.Motor == motor && u.Call == CallKind.Worse && u.Cause(_options.MinChangeC) != RiseCause.Load);

    private bool HasMoved(string motor) =>
        _vibration.Orders.Any(o => o.Motor == motor && o.Kind is CallKind.Improved or CallKind.Worse)
        || _motors.Units.Concat(_escs.Units).Any(u => u.Motor == motor && u.Call is CallKind.Improved or CallKind.Worse)
        || _shares.Of(motor).Call is LoadShareCall.More or LoadShareCall.Less;

    /// <summary>What the last flight after names and the comparison touches: at motors with a clear change, or of the aircraft where the
    /// flights before did not show it. Worse motors first.</summary>
    /// <param name="own">Findings of the comparison: motors whose tilt came down and whose vibration did not. They stand for what the
    /// flight names there, and count only where it names something.</param>
    private IEnumerable<Finding> NamedByFlight(IReadOnlyList<Finding> own)
    {
        Finding[] after = [.. _flights.After[^1].Analysis.Findings.Where(f => f.Root is null && f.Severity != Severity.Note)];
        string[] standOut =
        [
            .. RotorFindings.Of(_flights.After[^1].Analysis).Where(o => o.Judged() is not null).Select(o => o.Motor).OfType<string>(),
        ];
        Finding[] worked = [.. own.Where(o => standOut.Contains(o.Motor))];
        return after
            .Where(f => !worked.Any(o => o.Motor == f.Motor))
            .Where(f => f.Motor is string motor ? HasMoved(motor) : !ShownBefore(f.Code))
            .OrderByDescending(f => f.Motor is string motor && IsWorse(motor))
            .Concat(worked);
    }

    private bool ShownBefore(string code) =>
        _flights.Before.Any(b => b.Analysis.Findings.Any(o => o.Code == code && o.Severity != Severity.Note));

    private void AddMissing(List<Reason> steps)
    {
        if (_flights.All.Any(f => !f.HasTelemetry))
        {
            steps.Add(new LogTelemetry(_vibration.ByGroup));
            return;
        }

        if (Vibration.Kind == CallKind.Unknown && NotComparable is null && _flights.All.Any(f => f.Flight.Motors.All(m => m.Rpm is null)))
        {
            steps.Add(new LogRotorSpeeds());
        }

        if (_vibration.ByGroup && Vibration.Kind != CallKind.Unknown)
        {
            steps.Add(new LogRotorSpeedsByMotor());
        }

        bool temperatures = _flights.All.Any(f => f.Flight.Motors.Any(m => m.MotorTempC is { Count: > 0 } || m.EscTempC is { Count: > 0 }));
        if (temperatures && _flights.All.Any(f => f.Analysis.AmbientC is null))
        {
            steps.Add(new GiveAmbient());
        }
        else if (
            temperatures
            && NotComparable is null
            && MotorTemperature.Kind == CallKind.Unknown
            && EscTemperature.Kind == CallKind.Unknown
        )
        {
            steps.Add(new FlyLongerForTemperatures());
        }
        else if (!temperatures)
        {
            steps.Add(new LogTemperatures());
        }
    }

    /// <summary>What would bring the smallest change that can be shown down to the one that matters.</summary>
    private void AddSettling(List<Reason> steps, Change change, double matters, Quantity quantity)
    {
        if (Math.Abs(change.Value) + change.Half95 <= matters)
        {
            // Even the end of the interval would not matter: nothing is left to settle.
            return;
        }

        double between = Math.Sqrt(Math.Max(0, change.StandardError * change.StandardError - change.WithinError * change.WithinError));
        if (change.WithinError > between)
        {
            double least = _flights.All.Min(f => f.Hover.Used.SecondsUsed);
            steps.Add(new FlyLonger(quantity, change.Half95, Math.Max(1, Math.Ceiling(Math.Min(600, 3 * least) / 60))));
            return;
        }

        double ratio = Math.Max(change.Half95, matters) / Math.Min(Math.Max(Math.Abs(change.Value), matters), change.Half95);
        int flights = Math.Clamp((int)Math.Ceiling(ratio * ratio * Math.Max(_flights.Before.Count, _flights.After.Count)), 2, 6);
        flights = Math.Max(flights, Math.Min(_flights.Before.Count, _flights.After.Count) + 1);
        steps.Add(new FlyMoreFlights(quantity, change.Half95, flights));
    }
}
