using VibeCheck.Core.Comparisons;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text on whether a motor is warmer because its load is higher or because its cooling is worse, for page and console.</summary>
internal static class RiseCauseText
{
    /// <summary>One sentence per cause; empty when no change of a rise is called.</summary>
    internal static IReadOnlyList<string> Causes(Comparison comparison) =>
        [
            .. Of(comparison, escs: false, m => (m.MotorTemp.Kind, m.MotorRiseCause)),
            .. Of(comparison, escs: true, m => (m.EscTemp.Kind, m.EscRiseCause)),
        ];

    /// <summary>The cause as a short text, for a table.</summary>
    internal static string Short(CallKind call, RiseCause cause) =>
        (cause, call) switch
        {
            (RiseCause.Load, CallKind.Worse) => "carries more",
            (RiseCause.Load, _) => "carries less",
            (RiseCause.Unit, CallKind.Worse) => "warmer at equal load",
            (RiseCause.Unit, _) => "cooler at equal load",
            (RiseCause.Both, CallKind.Worse) => "carries more, and warmer at equal load",
            (RiseCause.Both, _) => "carries less, and cooler at equal load",
            (RiseCause.Undetermined, _) => "load or cooling: not known",
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
            yield return Grammar.Sentence(
                $"{(escs ? "the ESCs of " : "")}{Grammar.List(ids)} {Verb(group.Key.Call, group.Key.Cause, escs || ids.Length > 1)}"
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
            RiseCause.Unit => $"{run} {warmer} at equal load too: cooling or losses changed, not the load",
            RiseCause.Both => $"{carry} {more} of the load, and {run} {warmer} at equal load too",
            _ => $"{run} {warmer}; these flights do not show whether load or cooling is the cause",
        };
    }
}
