using System.Globalization;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Text;

namespace VibeCheck.Campaigns.Damage;

/// <summary>How a run of the comparison ended.</summary>
internal enum RunEnd
{
    Answered,
    NotComparable,
    Refused,
    Crashed,
}

/// <summary>One answer: its change with interval, null when unknown, and the call.</summary>
internal sealed record Answer(string Name, double? Change, Interval? Ci95, CallKind Call)
{
    internal static Answer Of(string name, Call call) => new(name, call.Change.Value, call.Change.Ci95, call.Kind);

    internal static Answer Of(string name, Estimate change, CallKind call) => new(name, change.Value, change.Ci95, call);

    public override string ToString() =>
        Ci95 is { } ci ? string.Create(CultureInfo.InvariantCulture, $"{Name} {ci.Low:0.0}..{ci.High:0.0}") : Name + " unknown";
}

/// <summary>The results of a job that the campaign evaluates.</summary>
internal sealed record JobAnswers
{
    internal required RunEnd End { get; init; }

    /// <summary>The fault, the reason or the exception, in one line.</summary>
    internal string Why { get; init; } = "";

    /// <summary>Vibration, hottest motor, hottest ESC; empty unless answered.</summary>
    internal IReadOnlyList<Answer> Main { get; init; } = [];

    /// <summary>Orders of the motors.</summary>
    internal IReadOnlyList<Answer> Orders { get; init; } = [];

    /// <summary>Temperatures of the motors and ESCs.</summary>
    internal IReadOnlyList<Answer> Temperatures { get; init; } = [];

    /// <summary>Total vibration, its parts, and the load shares of the motors: their truth is what the undamaged job shows.</summary>
    internal IReadOnlyList<Answer> Further { get; init; } = [];

    /// <summary>Codes of the causes why main answers are unknown.</summary>
    internal IReadOnlyList<string> Unknown { get; init; } = [];

    /// <summary>Codes of the warnings of the run, and of the faults of the logs that it found.</summary>
    internal IReadOnlySet<string> Warnings { get; init; } = new HashSet<string>();

    /// <summary>A motor that works harder counts as worse.</summary>
    private static CallKind KindOf(LoadShareCall call) =>
        call switch
        {
            LoadShareCall.More => CallKind.Worse,
            LoadShareCall.Less => CallKind.Improved,
            LoadShareCall.NoClearChange => CallKind.NoClearChange,
            _ => CallKind.Unknown,
        };

    internal static JobAnswers Of(Comparison c)
    {
        FlightAnalysis[] flights = [.. c.Before, .. c.After];
        HashSet<string> warnings =
        [
            .. flights.SelectMany(f => f.Warnings).Select(w => w.Code),
            .. flights.SelectMany(f => f.Input.Imu.Warnings.Concat(f.Input.Esc?.Warnings ?? [])).Select(w => w.Code),
            .. flights.SelectMany(f => f.Quality).Concat(c.Quality).Select(q => $"{q.Cause.Code} ({q.Effect})"),
        ];
        if (flights.FirstOrDefault(f => f.Hover.Segments.Count == 0) is { } none)
        {
            return new()
            {
                End = RunEnd.Refused,
                Why = FormattableString.Invariant($"no hover: {ReasonText.Of(none.Hover.Why)}"),
                Warnings = warnings,
            };
        }

        return new()
        {
            End = c.Verdict == Verdict.NotComparable ? RunEnd.NotComparable : RunEnd.Answered,
            Why = c.Reasons.Count > 0 ? ReasonText.Of(c.Reasons[0]) : "",
            Main =
            [
                Answer.Of("vibration", c.Vibration),
                Answer.Of("hottest motor", c.MotorTemperature),
                Answer.Of("hottest ESC", c.EscTemperature),
            ],
            Unknown =
            [
                .. new[] { c.Vibration, c.MotorTemperature, c.EscTemperature }
                    .Select(a => a.Change.Why)
                    .OfType<Reason>()
                    .Select(w => "no answer: " + w.Code),
            ],
            Orders = [.. c.Motors.SelectMany(m => m.Orders.Select(o => Answer.Of($"{m.Id} order {o.Order}", o.ChangeDb, o.Call)))],
            Temperatures =
            [
                .. c.Motors.SelectMany(m => new[] { Answer.Of($"{m.Id} motor", m.MotorTemp), Answer.Of($"{m.Id} ESC", m.EscTemp) }),
            ],
            Further =
            [
                Answer.Of("total vibration", c.AllVibration),
                .. c.Parts.Where(p => p.Kind != VibrationPartKind.RotorOrders).Select(p => Answer.Of($"{p.Kind}", p.ChangeDb, p.Call)),
                .. c.Motors.Select(m => Answer.Of($"{m.Id} load share", m.LoadShare.Change, KindOf(m.LoadShare.Call))),
            ],
            Warnings = warnings,
        };
    }
}
