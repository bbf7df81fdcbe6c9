using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>A shim plan for the whole aircraft.</summary>
public sealed record ShimPlan
{
    /// <summary>The airframe.</summary>
    public required Airframe Airframe { get; init; }

    /// <summary>The survey it rests on.</summary>
    public required Survey Survey { get; init; }

    /// <summary>What the user set.</summary>
    public required ShimOptions Options { get; init; }

    /// <summary>The kit it was made from.</summary>
    public required ShimKit Kit { get; init; }

    /// <summary>One a motor of the airframe, in its order.</summary>
    public required IReadOnlyList<MotorShims> Motors { get; init; }

    /// <summary>What to expect from the next hover.</summary>
    public required HoverForecast Forecast { get; init; }

    /// <summary>What to look out for, most important first.</summary>
    public required IReadOnlyList<Reason> Cautions { get; init; }

    /// <summary>Pieces of each thickness that the plan takes, thinnest first.</summary>
    public IReadOnlyList<(double ThicknessMm, int Count)> Pieces =>
        [
            .. Motors
                .Where(m => m.Stacks is not null)
                .SelectMany(m => m.Stacks!.Bolts)
                .SelectMany(b => b.StackMm)
                .GroupBy(t => t)
                .OrderBy(g => g.Key)
                .Select(g => (g.Key, g.Count())),
        ];

    /// <summary>Makes a plan from a survey.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A tolerance or limit that is not above 0.</exception>
    public static ShimPlan Of(Airframe airframe, Survey survey, ShimOptions? options = null) =>
        new ShimPlanner(airframe, survey, options ?? new ShimOptions()).Plan();
}
