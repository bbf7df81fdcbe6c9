using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>From calls to the verdict, its reasons and what to do next.</summary>
internal sealed class VerdictRules
{
    /// <summary>An order counts in the verdict by itself only if so surely shown.</summary>
    private const double SureRate = 0.01;

    private readonly FlightSet _flights;
    private readonly VibrationChanges _vibration;
    private readonly AccountChanges _account;
    private readonly LoadShareChanges _shares;
    private readonly TemperatureChanges _motors;
    private readonly TemperatureChanges _escs;
    private readonly Conditions _conditions;
    private readonly ComparisonOptions _options;

    internal VerdictRules(FlightSet flights, VibrationChanges vibration, AccountChanges account, LoadShareChanges shares, TemperatureChanges motors, TemperatureChanges escs, Conditions conditions, ComparisonOptions options)
    {
        (_flights, _vibration, _account, _shares, _motors, _escs, _conditions, _options) = (flights, vibration, account, shares, motors, escs, conditions, options);
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
            Vibration.Kind, MotorTemperature.Kind, EscTemperature.Kind, _account.Total.Kind,
            .. _account.Moved(CallKind.Worse).Concat(_account.Moved(CallKind.Improved)).Select(p => p.Call),
        ];
        bool better = calls.Contains(CallKind.Improved) || BetterAlone.Count > 0, worse = calls.Contains(CallKind.Worse) || WorseAlone.Count > 0;
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
        return [.. _vibration.Orders.Where((o, i) => o.Kind == kind && adjusted[i] <= SureRate
            && Math.Abs(Power(o.Values.MeanAfter) - Power(o.Values.MeanBefore)) > share * total)];
    }

    private static double Power(double db) => Math.Pow(FlightValue.FromDb(db), 2);

    internal IReadOnlyList<Reason> Reasons(YawTrimChange yaw, TiltEffect effect)
    {
        var reasons = new List<Reason>();
        if (_conditions.DatesSwapped && NotComparable is null)
        {
            reasons.Add("By the logs' own clocks the flights before were flown after those after: if they were swapped in the job file, this answer is the wrong way round.");
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
            reasons.Add("Whether it helped cannot be told from these flights: neither rotor orders nor temperatures are known on both sides.");
        }

        reasons.AddRange(calls.Where(c => Decided(c.Call)).OrderByDescending(c => c.Weight).Select(c => ReasonOf(c.Call, c.Of)));

        // Where all vibration goes the way of the rotors' part, which motor it was tells more.
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

        reasons.AddRange(calls.Where(c => c.Call.Kind == CallKind.NoClearChange).OrderByDescending(c => c.Weight).Select(c => ReasonOf(c.Call, c.Of)));
        reasons.AddRange(calls.Where(c => c.Call.Kind == CallKind.Unknown).Select(c => ReasonOf(c.Call, c.Of)));
        AddLevels(reasons);
        AddShares(reasons);
        if (yaw.Meaning is string meaning)
        {
            reasons.Add(meaning);
        }

        if (effect.SlopePerDeg is { Value: double slope, Ci95: Interval interval })
        {
            reasons.Add(FormattableString.Invariant($"Over the motors, order 1 {(slope > 0 ? "fell" : "rose")} by {Math.Abs(slope):0.0} dB per degree of tilt taken out ({Math.Min(Math.Abs(interval.Low), Math.Abs(interval.High)):0.0} to {Math.Max(Math.Abs(interval.Low), Math.Abs(interval.High)):0.0})."));
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

        reasons.AddRange(_account.Moved(CallKind.Worse).Concat(_account.Moved(CallKind.Improved))
            .Select(p => new PartChanged(p.Kind, p.BeforeMps2.Value ?? 0, p.AfterMps2.Value ?? 0, p.ChangeDb)));
    }

    private static bool Decided(Call call) => call.Kind is CallKind.Improved or CallKind.Worse;

    private static double Weight(Change? change, double matters) => change is null ? 0 : Math.Abs(change.Value) / matters;

    private Reason ReasonOf(Call call, Quantity of)
    {
        bool vibration = of == Quantity.Vibration;
        string name = of == Quantity.MotorTemperature ? "motor" : "ESC";
        string subject = vibration ? _vibration.ByGroup ? "vibration of all rotors together" : "vibration from the rotors" : $"the hottest {name}";
        if (call.Kind == CallKind.Unknown)
        {
            return new ChangeUnknown(of, call.Why);
        }

        double change = call.Change.Value!.Value;
        Interval interval = call.Change.Ci95!.Value;
        if (call.Kind == CallKind.NoClearChange)
        {
            string what = vibration ? "vibration from the rotors" : $"{name} temperature";
            return $"No clear change of {what}: {call.Why}";
        }

        bool falls = change < 0;
        string amount = vibration ? Wording.Db(Math.Abs(change)) : Wording.C(Math.Abs(change));
        return vibration
            ? Wording.Sentence($"{subject} {(falls ? "fell" : "rose")} by {amount} {Wording.SizeRange(interval, falls)}, from {Wording.Mps2(call.Before!.Value)} to {Wording.Mps2(call.After!.Value)}")
            : Wording.Sentence($"{subject} now settles {amount} {(falls ? "cooler" : "hotter")} {Wording.SizeRange(interval, falls)}: {Wording.C(call.Before!.Value)} above ambient before, {Wording.C(call.After!.Value)} after{Who(of)}");
    }

    private string Who(Quantity of)
    {
        TemperatureChanges changes = of == Quantity.MotorTemperature ? _motors : _escs;
        return changes.HottestBefore == changes.HottestAfter ? $" ({changes.HottestAfter})" : $" ({changes.HottestBefore}, then {changes.HottestAfter})";
    }

    private void AddMotors(List<Reason> reasons)
    {
        // What got worse is what a reader must not miss; what only follows the load comes last.
        CallKind[] kinds = Verdict is Verdict.Worse or Verdict.Mixed ? [CallKind.Worse, CallKind.Improved] : [CallKind.Improved, CallKind.Worse];
        foreach (CallKind kind in kinds)
        {
            VibrationChanges.Entry[] moved = [.. _vibration.Orders.Where(o => o.Kind == kind)
                .OrderByDescending(o => Math.Abs(Power(o.Values.MeanAfter) - Power(o.Values.MeanBefore))).Take(4)];
            if (moved.Length > 0)
            {
                reasons.Add($"{(kind == CallKind.Improved ? "Fell" : "Rose")} by motor and order: {Wording.List([.. moved.Select(Text)])}.");
            }

            AddUnits(reasons, kind, _motors, "motors", byLoad: false);
            AddUnits(reasons, kind, _escs, "ESCs", byLoad: false);
        }

        foreach (CallKind kind in kinds)
        {
            AddUnits(reasons, kind, _motors, "motors", byLoad: true);
            AddUnits(reasons, kind, _escs, "ESCs", byLoad: true);
        }
    }

    /// <summary>Units whose rise changed; those that only carry more or less than before are told apart from those that cool better or worse.</summary>
    private void AddUnits(List<Reason> reasons, CallKind kind, TemperatureChanges changes, string plural, bool byLoad)
    {
        bool cooler = kind == CallKind.Improved;
        TemperatureChanges.Entry[] units =
        [
            .. changes.Units.Where(u => u.Call == kind && u.Cause(_options.MinChangeC) == RiseCause.Load == byLoad)
                .OrderByDescending(u => Math.Abs(u.Change!.Value)).Take(4),
        ];
        if (units.Length > 0)
        {
            string lead = byLoad
                ? cooler ? $"Cooler because they carry less, alike at equal load ({plural})" : $"Hotter only because they carry more, alike at equal load ({plural})"
                : $"{(cooler ? "Cooler" : "Hotter")} {plural}";
            reasons.Add($"{lead}: {Wording.List([.. units.Select(Text)])}.");
        }
    }

    private static string Text(TemperatureChanges.Entry unit)
    {
        string amount = $"{unit.Motor} by {Wording.C(Math.Abs(unit.Change!.Value))} {Wording.SizeRange(unit.Change.ToEstimate().Ci95!.Value, unit.Change.Value < 0)}";
        return unit.AtEqualLoad.Value is double own ? $"{amount}, {Wording.Signed(own, "°C")} at equal load" : amount;
    }

    private static string Text(VibrationChanges.Entry entry) => FormattableString.Invariant(
        $"{entry.Motor} ×{entry.Order} by {Math.Abs(entry.Change!.Value):0.0} dB {Wording.SizeRange(entry.Change.ToEstimate().Ci95!.Value, entry.Change.Value < 0)}");

    /// <summary>Where orders are not known, broadband levels are the next best thing; they never make the verdict.</summary>
    private void AddLevels(List<Reason> reasons)
    {
        if (Vibration.Kind != CallKind.Unknown)
        {
            return;
        }

        LevelChange[] levels = [.. _vibration.Levels.Where(l => l.Channel.StartsWith("acc", StringComparison.Ordinal) && l.ChangeDb.IsKnown)];
        LevelChange[] moved = [.. levels.Where(l => l.Call is CallKind.Improved or CallKind.Worse)];
        if (levels.Length > 0)
        {
            reasons.Add(moved.Length == 0
                ? "Broadband levels of acceleration show no clear change; they hold everything that shakes, wind and control too."
                : $"Broadband levels of acceleration changed: {Wording.List([.. moved.Select(l => $"{l.Channel} {Wording.Signed(l.ChangeDb.Value!.Value, "dB")} {Wording.Range(l.ChangeDb.Ci95)}")])}. They hold everything that shakes, wind and control too, so they make no verdict.");
        }
    }

    /// <summary>Motors that clearly carry another share than before: a shifted centre of gravity, a propeller that pulls less, or a trim that went.</summary>
    private void AddShares(List<Reason> reasons)
    {
        MotorShare[] moved = [.. _flights.Before[0].Analysis.Motors.Select(m => (m.Id, Share: _shares.Of(m.Id)))
            .Where(m => m.Share.Call is LoadShareCall.More or LoadShareCall.Less)
            .Select(m => new MotorShare(m.Id, m.Share.Before.Value!.Value, m.Share.After.Value!.Value))];
        if (moved.Length > 0)
        {
            reasons.Add(new LoadSharesMoved(moved));
        }
    }

    internal IReadOnlyList<string> NextSteps(IReadOnlyList<Finding> findings)
    {
        var steps = new List<string>();
        if (_conditions.DatesSwapped)
        {
            steps.Add("Check in the job file which flights stand under before and which under after; if a recorder's clock was wrong, compare with --ignore-dates.");
        }

        AddMissing(steps);
        if (NotComparable is FlightsNotComparable { Cause: not StagesOutOfOrder })
        {
            steps.Add("Fly both states alike: same mass, battery, propellers and logger, two minutes or more of steady hover, and compare those flights.");
        }

        if (Vibration.Kind == CallKind.NoClearChange)
        {
            AddSettling(steps, _vibration.Total!, _options.MinChangeDb, "dB", "vibration");
        }

        if (MotorTemperature.Kind == CallKind.NoClearChange)
        {
            AddSettling(steps, _motors.Hottest!, _options.MinChangeC, "°C", "motor temperature");
        }

        if (Verdict is Verdict.Worse or Verdict.Mixed)
        {
            string[] who =
            [
                .. _flights.Before[0].Analysis.Motors.Select(m => m.Id).Where(id =>
                    _vibration.Orders.Any(o => o.Motor == id && o.Kind == CallKind.Worse)
                    || _motors.Units.Concat(_escs.Units).Any(u => u.Motor == id && u.Call == CallKind.Worse && u.Cause(_options.MinChangeC) != RiseCause.Load)),
            ];
            string what = who.Length is > 0 and <= 3 ? Wording.List(who) : "what got worse";
            steps.Add($"Before the next flight, propellers off and battery out: look at {what} (torque of the screws, a shim that slipped, a nipped bearing, a propeller put back differently).");
        }

        steps.AddRange(findings.Select(f => f.NextCheck).Distinct());
        if (steps.Count == 0)
        {
            steps.Add("Keep these flights as the new reference, and measure again after the next work on the mounts.");
        }

        return steps;
    }

    private void AddMissing(List<string> steps)
    {
        if (_flights.All.Any(f => !f.HasTelemetry))
        {
            steps.Add("Log ESC telemetry (speed, current, temperatures) on every flight and name it as esc in the job file: without it "
                + (_vibration.ByGroup ? "the share of each motor and the temperatures stay unknown." : "orders and temperatures stay unknown."));
            return;
        }

        if (Vibration.Kind == CallKind.Unknown && NotComparable is null && _flights.All.Any(f => f.Flight.Motors.All(m => m.Rpm is null)))
        {
            steps.Add("Log rotor speeds with the flight, and the IMU at 500 Hz or more: without them the rotors' share of the vibration stays unknown.");
        }

        if (_vibration.ByGroup && Vibration.Kind != CallKind.Unknown)
        {
            steps.Add("Log rotor speeds with the flight: then the vibration is known motor by motor, not only that of all rotors together.");
        }

        bool temperatures = _flights.All.Any(f => f.Flight.Motors.Any(m => m.MotorTempC is { Count: > 0 } || m.EscTempC is { Count: > 0 }));
        if (temperatures && _flights.All.Any(f => f.Analysis.AmbientC is null))
        {
            steps.Add("Write ambient_c for each flight in the job file, or start the log while all motors are still cold: without it steady rises are not known.");
        }
        else if (temperatures && NotComparable is null && MotorTemperature.Kind == CallKind.Unknown && EscTemperature.Kind == CallKind.Unknown)
        {
            steps.Add("Fly three minutes of steady hover on each side: temperatures need at least 45 s of readings, and more to be sure.");
        }
        else if (!temperatures)
        {
            steps.Add("Log motor or ESC temperatures where the ESCs can give them: without them cooling stays unknown.");
        }
    }

    /// <summary>What would bring the smallest change that can be shown down to the one that matters.</summary>
    private void AddSettling(List<string> steps, Change change, double matters, string unit, string what)
    {
        if (Math.Abs(change.Value) + change.Half95 <= matters)
        {
            // Even the end of the interval would not matter: nothing is left to settle.
            return;
        }

        string could = FormattableString.Invariant($"These flights could have shown a change of {what} of {change.Half95:0.0} {unit}");
        double between = Math.Sqrt(Math.Max(0, change.StandardError * change.StandardError - change.WithinError * change.WithinError));
        if (change.WithinError > between)
        {
            double least = _flights.All.Min(f => f.Hover.Used.SecondsUsed);
            steps.Add(FormattableString.Invariant($"{could}, mostly because the hover is short: fly another {Math.Max(1, Math.Ceiling(Math.Min(600, 3 * least) / 60)):0} minutes of steady hover on each side to settle smaller ones."));
            return;
        }

        double ratio = Math.Max(change.Half95, matters) / Math.Min(Math.Max(Math.Abs(change.Value), matters), change.Half95);
        int flights = Math.Clamp((int)Math.Ceiling(ratio * ratio * Math.Max(_flights.Before.Count, _flights.After.Count)), 2, 6);
        flights = Math.Max(flights, Math.Min(_flights.Before.Count, _flights.After.Count) + 1);
        steps.Add(FormattableString.Invariant($"{could}, mostly because flights scatter: {flights} flights on each side would settle a smaller one."));
    }
}
