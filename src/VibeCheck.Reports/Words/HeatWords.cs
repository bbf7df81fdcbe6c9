using VibeCheck.Core.Comparisons;

namespace VibeCheck.Reports.Words;

/// <summary>What tells a motor that carries more from one that cools worse, worded once for page and console.</summary>
internal static class HeatWords
{
    /// <summary>One sentence a cause that was found; empty when no rise is called.</summary>
    internal static IReadOnlyList<string> Causes(Comparison comparison) =>
        [
            .. Of(comparison, escs: false, m => (m.MotorTemp.Kind, m.MotorRiseCause)),
            .. Of(comparison, escs: true, m => (m.EscTemp.Kind, m.EscRiseCause)),
        ];

    /// <summary>The cause in a few words, for a table.</summary>
    internal static string Short(CallKind call, RiseCause cause) =>
        (cause, call) switch
        {
            (RiseCause.Load, CallKind.Worse) => "carries more",
            (RiseCause.Load, _) => "carries less",
            (RiseCause.Unit, CallKind.Worse) => "warmer at equal load",
            (RiseCause.Unit, _) => "cooler at equal load",
            (RiseCause.Both, CallKind.Worse) => "carries more, and warmer at equal load",
            (RiseCause.Both, _) => "carries less, and cooler at equal load",
            (RiseCause.NotTold, _) => "load or cooling: not told",
            _ => "",
        };

    private static IEnumerable<string> Of(Comparison comparison, bool escs, Func<MotorComparison, (CallKind Call, RiseCause Cause)> of)
    {
        foreach (
            var group in comparison
                .Motors.Where(m => of(m).Cause != RiseCause.NotAsked)
                .GroupBy(of)
                .OrderBy(g => g.Key.Call)
                .ThenBy(g => g.Key.Cause)
        )
        {
            string[] ids = [.. group.Select(m => m.Id)];
            yield return Say.Sentence(
                $"{(escs ? "the ESCs of " : "")}{Say.List(ids)} {Verb(group.Key.Call, group.Key.Cause, escs || ids.Length > 1)}"
            );
        }
    }

    private static string Verb(CallKind call, RiseCause cause, bool many)
    {
        (string run, string carry) = many ? ("run", "carry") : ("runs", "carries");
        string warmer = call == CallKind.Worse ? "warmer" : "cooler",
            more = call == CallKind.Worse ? "more" : "less";
        return cause switch
        {
            RiseCause.Load =>
                $"{run} {warmer} because {(many ? "they" : "it")} {carry} {more} of the load; at equal load no change is shown",
            RiseCause.Unit => $"{run} {warmer} at equal load too: cooling or losses changed, not the share of the work",
            RiseCause.Both => $"{run} {warmer} at equal load too, and {carry} {more} besides",
            _ => $"{run} {warmer}; whether from load or from cooling is not told by these flights",
        };
    }
}
