using VibeCheck.Core.Flights;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Comparisons;

/// <summary>A flight with its analysis over the matched hover.</summary>
/// <param name="Name">Name in texts, such as "before 1".</param>
/// <param name="IsAfter">Whether it was flown after the work.</param>
/// <param name="Flight">The flight as read.</param>
/// <param name="Hover">Its hover, as found and as used.</param>
/// <param name="Analysis">Its analysis.</param>
internal sealed record AnalysedFlight(string Name, bool IsAfter, Flight Flight, MatchedHover Hover, FlightAnalysis Analysis)
{
    internal bool HasTelemetry => Flight.Motors.Count > 0;

    internal MotorAnalysis? Motor(string id) => Analysis.Motors.FirstOrDefault(m => m.Id == id);

    /// <summary>Ambient was taken from a cold start: its uncertainty enters every rise of the flight.</summary>
    internal bool AmbientIsGuessed => Flight.AmbientC is null && Analysis.AmbientC is not null;
}

/// <summary>All flights of a job, analysed.</summary>
internal sealed record FlightSet(IReadOnlyList<AnalysedFlight> Before, IReadOnlyList<AnalysedFlight> After)
{
    internal IEnumerable<AnalysedFlight> All => Before.Concat(After);

    /// <summary>The flights without the results that the issues withhold; the issues themselves are listed in the comparison.</summary>
    internal FlightSet With(IReadOnlyList<QualityIssue> issues) =>
        issues.Count == 0 ? this : new(Without(Before, issues), Without(After, issues));

    private static IReadOnlyList<AnalysedFlight> Without(IReadOnlyList<AnalysedFlight> side, IReadOnlyList<QualityIssue> issues) =>
        [.. side.Select(f => f with { Analysis = QualityEffects.Apply(f.Analysis, issues) with { Quality = f.Analysis.Quality } })];

    /// <summary>Values of a quantity on both sides.</summary>
    internal FlightValues Read(Func<AnalysedFlight, (FlightValue? Known, Reason? Why)> of) =>
        FlightValues.Of(Before.Select(of), After.Select(of));
}
