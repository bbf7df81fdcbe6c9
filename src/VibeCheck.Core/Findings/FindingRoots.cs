using VibeCheck.Core.Flights;

namespace VibeCheck.Core.Findings;

/// <summary>Separates root findings from their consequences, and orders them.</summary>
internal static class FindingRoots
{
    private const string Resonance = "resonance-near-order";

    /// <summary>Roots first, the most severe and largest first, then their consequences in the same order.</summary>
    internal static IReadOnlyList<Finding> Of(IEnumerable<Finding> findings)
    {
        // One finding for each code and motor: two resonances, or drop-outs and zeros, need only one check.
        List<Finding> open = [.. findings.OrderByDescending(f => f.Severity).ThenByDescending(f => f.Excess).DistinctBy(f => f.Name)],
            roots = [],
            consequences = [];

        // A finding that nothing else explains is a root; where two explain each other, the larger one is.
        foreach (Finding finding in open)
        {
            Finding[] explained = [.. open.Where(f => f != finding && Explains(f, finding))];
            bool isRoot = explained.All(e => Explains(finding, e) && !IsBefore(open, e, finding));
            (isRoot ? roots : consequences).Add(finding);
        }

        List<Finding> told = [];
        foreach (Finding consequence in consequences)
        {
            Finding? root = roots.Find(r => Explains(r, consequence)) ?? roots.Find(r => Reaches(open, r, consequence));
            told.Add(consequence with { Root = root?.Name });
        }

        return
        [
            .. roots
                .Concat(told.Where(t => t.Root is null))
                .Select(r => With(r, [.. told.Where(t => t.Root == r.Name)]))
                .OrderByDescending(r => r.Severity)
                .ThenByDescending(r => r.Excess),
            .. told.Where(t => t.Root is not null),
        ];
    }

    /// <summary>A root with its consequences; it takes over their highest severity.</summary>
    private static Finding With(Finding root, IReadOnlyList<Finding> consequences) =>
        root with
        {
            Follows = [.. consequences.Select(c => c.Name).Distinct()],
            Severity = consequences.Select(c => c.Severity).Append(root.Severity).Max(),
        };

    private static bool IsBefore(List<Finding> open, Finding one, Finding other) => open.IndexOf(one) < open.IndexOf(other);

    private static bool Explains(Finding root, Finding consequence) =>
        (root.Motor == consequence.Motor || root.Motor is null || consequence.Motor is null)
        && FindingRules.Of(root.Code).Explains.Contains(consequence.Code)
        && !IsResonanceOfAnotherOrder(root, consequence);

    /// <summary>A resonance amplifies the order at its frequency and no other: one at blade pass does not explain a motor's order 1. A
    /// damaged propeller, in contrast, shows at both.</summary>
    private static bool IsResonanceOfAnotherOrder(Finding one, Finding other) =>
        (one.Code == Resonance || other.Code == Resonance) && one.Order is { } a && other.Order is { } b && a != b;

    /// <summary>Whether a root explains something that explains the consequence: a motor is hot because of a current that a bearing
    /// causes.</summary>
    private static bool Reaches(List<Finding> all, Finding root, Finding consequence) =>
        all.Exists(f => f != consequence && f != root && Explains(root, f) && Explains(f, consequence));
}
