using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>What to do next after a comparison, in this order.</summary>
/// <param name="changes">The changes.</param>
/// <param name="verdict">The verdict, with its calls.</param>
internal sealed class NextStepRules(JobChanges changes, VerdictRules verdict)
{
    /// <summary>Larger numbers of motors are not listed by name.</summary>
    private const int MostNamed = 3;

    /// <summary>The steps; at least one.</summary>
    /// <param name="findings">Findings of the comparison itself.</param>
    internal IReadOnlyList<Reason> Of(IReadOnlyList<Finding> findings)
    {
        var steps = new List<Reason>();
        if (changes.Conditions.DatesSwapped)
        {
            steps.Add(new CheckStageOrder());
        }

        AddMissing(steps);
        if (verdict.NotComparable is FlightsNotComparable { Cause: not StagesOutOfOrder })
        {
            steps.Add(new FlyBothAlike());
        }

        // Where the answer is already known, a smaller change of something else would not settle anything.
        if (verdict.Verdict == Verdict.NoClearChange && verdict.Vibration.Kind == CallKind.NoClearChange)
        {
            AddSettling(steps, changes.Vibration.Total!, changes.Options.MinChangeDb, Quantity.Vibration);
        }

        if (verdict.Verdict == Verdict.NoClearChange && verdict.MotorTemperature.Kind == CallKind.NoClearChange)
        {
            AddSettling(steps, changes.Motors.Hottest!, changes.Options.MinChangeC, Quantity.MotorTemperature);
        }

        Finding[] named = verdict.NotComparable is null ? [.. NamedByFlight(findings)] : [];
        Reason? look = verdict.Verdict is Verdict.Worse or Verdict.Mixed ? LookAtWorse(named) : null;
        IEnumerable<Reason> follow = named.Select(f => new FollowFinding(f.Cause));

        // A finding at a motor that got worse says what to check there; motors without a finding come after it.
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

    /// <summary>The step to inspect the motors that got worse and for which no finding gives a check; null where findings cover all of
    /// them.</summary>
    private LookAtWhatGotWorse? LookAtWorse(Finding[] named)
    {
        string[] who = [.. changes.Flights.Before[0].Analysis.Motors.Select(m => m.Id).Where(IsWorse)];
        string[] unnamed = [.. who.Where(m => !named.Any(f => f.Motor == m))];
        return unnamed.Length > 0 || named.Length == 0 ? new LookAtWhatGotWorse(unnamed.Length <= MostNamed ? unnamed : []) : null;
    }

    private bool IsWorse(string motor) =>
        changes.Vibration.Orders.Any(o => o.Motor == motor && o.Kind == CallKind.Worse)
        || changes
            .Motors.Units.Concat(changes.Escs.Units)
            .Any(u => u.Motor == motor && u.Call == CallKind.Worse && u.Cause(changes.Options.MinChangeC) != RiseCause.Load);

    private bool HasMoved(string motor) =>
        changes.Vibration.Orders.Any(o => o.Motor == motor && o.Kind is CallKind.Improved or CallKind.Worse)
        || changes.Motors.Units.Concat(changes.Escs.Units).Any(u => u.Motor == motor && u.Call is CallKind.Improved or CallKind.Worse)
        || changes.Shares.Of(motor).Call is LoadShareCall.More or LoadShareCall.Less;

    /// <summary>Findings of the last flight after that concern the comparison: at motors with a clear change, or of the aircraft where the
    /// flights before did not show them. Worse motors first.</summary>
    /// <param name="own">Findings of the comparison: motors whose tilt decreased but whose vibration did not. They replace the findings of
    /// the flight there, and count only where the flight has some.</param>
    private IEnumerable<Finding> NamedByFlight(IReadOnlyList<Finding> own)
    {
        Finding[] after = [.. changes.Flights.After[^1].Analysis.Findings.Where(f => f.Root is null && f.Severity != Severity.Note)];
        string[] standOut =
        [
            .. RotorFindings
                .Of(changes.Flights.After[^1].Analysis)
                .Where(o => o.Judged() is not null)
                .Select(o => o.Motor)
                .OfType<string>(),
        ];
        Finding[] worked = [.. own.Where(o => standOut.Contains(o.Motor))];
        return after
            .Where(f => !worked.Any(o => o.Motor == f.Motor))
            .Where(f => f.Motor is string motor ? HasMoved(motor) : !ShownBefore(f.Code))
            .OrderByDescending(f => f.Motor is string motor && IsWorse(motor))
            .Concat(worked);
    }

    private bool ShownBefore(string code) =>
        changes.Flights.Before.Any(b => b.Analysis.Findings.Any(o => o.Code == code && o.Severity != Severity.Note));

    private void AddMissing(List<Reason> steps)
    {
        if (changes.Flights.All.Any(f => !f.HasTelemetry))
        {
            steps.Add(new LogTelemetry(changes.Vibration.ByGroup));
            return;
        }

        if (
            verdict.Vibration.Kind == CallKind.Unknown
            && verdict.NotComparable is null
            && changes.Flights.All.Any(f => f.Flight.Motors.All(m => m.Rpm is null))
        )
        {
            steps.Add(new LogRotorSpeeds());
        }

        if (changes.Vibration.ByGroup && verdict.Vibration.Kind != CallKind.Unknown)
        {
            steps.Add(new LogRotorSpeedsByMotor());
        }

        bool temperatures = changes.Flights.All.Any(f =>
            f.Flight.Motors.Any(m => m.MotorTempC is { Count: > 0 } || m.EscTempC is { Count: > 0 })
        );
        if (temperatures && changes.Flights.All.Any(f => f.Analysis.AmbientC is null))
        {
            steps.Add(new GiveAmbient());
        }
        else if (
            temperatures
            && verdict.NotComparable is null
            && verdict.MotorTemperature.Kind == CallKind.Unknown
            && verdict.EscTemperature.Kind == CallKind.Unknown
        )
        {
            steps.Add(new FlyLongerForTemperatures());
        }
        else if (!temperatures)
        {
            steps.Add(new LogTemperatures());
        }
    }

    /// <summary>Adds the step that would reduce the smallest detectable change to the one that matters.</summary>
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
            double least = changes.Flights.All.Min(f => f.Hover.Used.SecondsUsed);
            steps.Add(new FlyLonger(quantity, change.Half95, Math.Max(1, Math.Ceiling(Math.Min(600, 3 * least) / 60))));
            return;
        }

        double ratio = Math.Max(change.Half95, matters) / Math.Min(Math.Max(Math.Abs(change.Value), matters), change.Half95);
        int flights = Math.Clamp(
            (int)Math.Ceiling(ratio * ratio * Math.Max(changes.Flights.Before.Count, changes.Flights.After.Count)),
            2,
            6
        );
        flights = Math.Max(flights, Math.Min(changes.Flights.Before.Count, changes.Flights.After.Count) + 1);
        steps.Add(new FlyMoreFlights(quantity, change.Half95, flights));
    }
}
