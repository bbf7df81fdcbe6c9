using System.Globalization;
using VibeCheck.Core.Comparisons;
using VibeCheck.FlightMaker.Damage;
using Answers = VibeCheck.FlightMaker.Damage.Answers;

namespace VibeCheck.Campaigns.Damage;

/// <summary>The outcome of a damaged job, worst first.</summary>
internal enum Outcome
{
    /// <summary>The program failed.</summary>
    Crashed,

    /// <summary>A known interval that excludes the truth, or a call in the wrong direction.</summary>
    Wrong,

    Refused,

    NotComparable,

    /// <summary>An answer that the undamaged job gives is unknown.</summary>
    Withheld,

    /// <summary>An interval is at least 1.3 times as wide as that of the undamaged job.</summary>
    Widened,

    /// <summary>The intervals contain the truth, and the run gives a warning that it does not give without the damage.</summary>
    Warned,

    /// <summary>The intervals contain the truth, and there is no further warning.</summary>
    Harmless,
}

/// <summary>The result of one damaged job.</summary>
internal sealed record CaseResult
{
    /// <summary>An undamaged answer counts as right where the truth lies within this share of its interval about the middle. Otherwise
    /// damage that moves an answer only slightly could turn a chance deviation into a fault.</summary>
    private const double Room = 0.75;

    private const double Wider = 1.3;

    internal required DamageKind Kind { get; init; }

    internal required Severity Severity { get; init; }

    internal required int Job { get; init; }

    internal required bool After { get; init; }

    internal required Outcome Outcome { get; init; }

    /// <summary>Main answers that are wrong.</summary>
    internal required string WrongAnswers { get; init; }

    /// <summary>Whether a call has the wrong direction.</summary>
    internal required bool Reversed { get; init; }

    /// <summary>At least two, and more than a sixth, of the motors' own orders and temperatures are confidently wrong.</summary>
    internal required bool MotorsWrong { get; init; }

    /// <summary>Calls of total vibration, of its parts and of load shares that the undamaged job does not confirm.</summary>
    internal required string WrongFurther { get; init; }

    /// <summary>Whether an answer that the damage does not affect is withheld.</summary>
    internal required bool Needless { get; init; }

    internal required string Text { get; init; }

    internal double Seconds { get; init; }

    internal static CaseResult Of(DamageKind kind, Severity severity, PreparedJob job, bool after, JobAnswers damaged, double seconds)
    {
        JobAnswers undamaged = job.Undamaged;
        double[] truth = [job.Job.ChangeDb, job.Job.ChangeC, job.Job.ChangeC];
        bool answered = damaged.End == RunEnd.Answered;
        bool[] wrong = new bool[3];
        bool reversed = false,
            withheld = false,
            widened = false,
            needless = false;
        for (int a = 0; a < 3 && answered; a++)
        {
            Answer now = damaged.Main[a],
                usual = undamaged.Main[a];
            bool turned = Turned(now.Call, truth[a]) && !Turned(usual.Call, truth[a]);
            reversed |= turned;
            wrong[a] = turned || (now.Ci95 is { } ci && !ci.Contains(truth[a]) && Counts(usual, truth[a]));
            bool gone = now.Ci95 is null && usual.Ci95 is not null;
            withheld |= gone;
            needless |= gone && !kind.Touches.HasFlag((Answers)(1 << a));
            widened |= now.Ci95 is { } wide && usual.Ci95 is { } narrow && wide.Width > Wider * narrow.Width;
        }

        bool warned = damaged.Warnings.Except(undamaged.Warnings).Any();
        Outcome outcome = damaged.End switch
        {
            RunEnd.Crashed => Outcome.Crashed,
            RunEnd.Refused => Outcome.Refused,
            RunEnd.NotComparable => Outcome.NotComparable,
            _ when wrong.Any(w => w) => Outcome.Wrong,
            _ => withheld ? Outcome.Withheld
            : widened ? Outcome.Widened
            : warned ? Outcome.Warned
            : Outcome.Harmless,
        };
        return new()
        {
            Kind = kind,
            Severity = severity,
            Job = job.Job.Number,
            After = after,
            Outcome = outcome,
            WrongAnswers = string.Join(" + ", wrong.Select((w, a) => w ? undamaged.Main[a].Name : "").Where(n => n.Length > 0)),
            Reversed = reversed,
            MotorsWrong = answered && MotorsAreWrong(undamaged, damaged, job.Job),
            WrongFurther = answered ? string.Join(" + ", Unconfirmed(undamaged, damaged)) : "",
            Needless = needless,
            Text = !answered
                ? damaged.Why
                : string.Join("; ", damaged.Main.Select((m, a) => Show(m, truth[a]))) + Warnings(undamaged, damaged),
            Seconds = seconds,
        };
    }

    /// <summary>Further answers that are called improved or worse, while the undamaged job calls them otherwise and shows a change outside of
    /// their interval.</summary>
    private static IEnumerable<string> Unconfirmed(JobAnswers undamaged, JobAnswers damaged)
    {
        Dictionary<string, Answer> before = undamaged.Further.ToDictionary(u => u.Name);
        return damaged
            .Further.Where(now =>
                now.Call is CallKind.Improved or CallKind.Worse
                && before.GetValueOrDefault(now.Name) is { Change: double usual } was
                && was.Call != now.Call
                && now.Ci95 is { } ci
                && !ci.Contains(usual)
            )
            .Select(now => string.Create(CultureInfo.InvariantCulture, $"{now} (undamaged {before[now.Name].Change:0.0})"));
    }

    private static bool Counts(Answer usual, double truth) =>
        usual.Ci95 is not { } ci || Math.Abs(truth - (ci.Low + ci.High) / 2) <= Room * ci.Width / 2;

    private static bool Turned(CallKind call, double truth) =>
        (call == CallKind.Improved && truth > 0) || (call == CallKind.Worse && truth < 0);

    private static bool MotorsAreWrong(JobAnswers undamaged, JobAnswers damaged, DamageJob job)
    {
        int known = 0,
            bad = 0;
        foreach (
            (IReadOnlyList<Answer> all, IReadOnlyList<Answer> usual, double truth) in new[]
            {
                (damaged.Orders, undamaged.Orders, job.ChangeDb),
                (damaged.Temperatures, undamaged.Temperatures, job.ChangeC),
            }
        )
        {
            Dictionary<string, Answer> before = usual.ToDictionary(u => u.Name);
            foreach (Answer now in all)
            {
                if (now.Ci95 is { } ci && (!before.TryGetValue(now.Name, out Answer? was) || Counts(was, truth)))
                {
                    known++;
                    bad += ci.Contains(truth) ? 0 : 1;
                }
            }
        }

        return bad >= 2 && bad > known / 6.0;
    }

    private static string Show(Answer a, double truth) => string.Create(CultureInfo.InvariantCulture, $"{a} ({a.Call}; true {truth:0.#})");

    private static string Warnings(JobAnswers undamaged, JobAnswers damaged)
    {
        string[] codes = [.. damaged.Warnings.Except(undamaged.Warnings).Order(StringComparer.Ordinal)];
        return codes.Length == 0 ? "" : "; warns: " + string.Join(", ", codes);
    }
}
