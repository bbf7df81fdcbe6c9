using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Faults of the logs as lines for a reader: what is wrong, in which flight, and what was done about it.</summary>
internal static class QualityLines
{
    /// <summary>One line per fault; faults with the same text and effect share a line.</summary>
    internal static IReadOnlyList<string> Of(FlightAnalysis flight) => Lines(flight.Quality.Select(i => ("", i)));

    /// <summary>The same for all flights of a comparison, with the flight's name in front.</summary>
    internal static IReadOnlyList<string> Of(Comparison comparison) =>
        Lines([.. comparison.Quality.Select(i => ("", i)), .. Named(comparison.Before, "Before"), .. Named(comparison.After, "After")]);

    private static IEnumerable<(string, QualityIssue)> Named(IReadOnlyList<FlightAnalysis> flights, string side) =>
        flights.SelectMany((f, i) => f.Quality.Select(q => (flights.Count == 1 ? $"{side}: " : $"{side} {Format.Whole(i + 1)}: ", q)));

    // The most severe first: a withheld value matters more to a reader than a repaired one.
    private static List<string> Lines(IEnumerable<(string Flight, QualityIssue Issue)> issues) =>
        [
            .. issues
                .OrderByDescending(i => i.Issue.Effect)
                .GroupBy(i => (i.Flight, Text: ReasonText.Of(i.Issue.Cause), i.Issue.Effect))
                .Select(g =>
                    $"{g.Key.Flight}{Grammar.Sentence(g.Key.Text)} "
                    + Effect(g.Key.Effect, g.Select(i => i.Issue.Affects).Aggregate((all, one) => all | one))
                    + (g.Key.Effect is QualityEffect.Repaired or QualityEffect.Widened ? BesideRotors(g.First().Issue.Cause) : "")
                ),
        ];

    /// <summary>What the fault withholds although the lines of the rotors stay known.</summary>
    private static string BesideRotors(Reason cause) =>
        FalseSamples.HideTotal(cause) ? " Withheld: total vibration and its parts."
        : FalseSamples.HideBroadband(cause) ? " Withheld: broadband vibration and knocks."
        : "";

    private static string Effect(QualityEffect effect, Answers affects) =>
        effect switch
        {
            QualityEffect.Repaired => "Repaired.",
            QualityEffect.Widened => "The intervals were made wider.",
            QualityEffect.NotComparable => "The flights cannot be compared.",
            _ => $"Withheld: {Names(affects)}.",
        };

    private static string Names(Answers affects)
    {
        string[] names =
        [
            .. affects.HasFlag(Answers.Vibration) ? ["vibration"]
            : affects.HasFlag(Answers.MotorOrders) ? (string[])["vibration by motor"]
            : [],
            .. affects.HasFlag(Answers.Speeds) ? (string[])["speeds, shares and yaw trim"] : [],
            .. affects.HasFlag(Answers.Temperatures) ? ["temperatures"]
            : affects.HasFlag(Answers.MotorTemperatures) ? ["motor temperatures"]
            : affects.HasFlag(Answers.EscTemperatures) ? (string[])["ESC temperatures"]
            : [],
            .. affects.HasFlag(Answers.Temperatures) || (affects & Answers.TemperaturesByMotor) == Answers.None
                ? []
                : (string[])["temperatures by motor"],
        ];
        return names.Length == 0 ? "nothing" : Grammar.List(names);
    }
}
