using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports.Text;

/// <summary>From causes to words: the one place where a <see cref="Reason"/> becomes a sentence.</summary>
internal static class ReasonText
{
    /// <summary>The cause as text for a reader; null for null.</summary>
    [return: NotNullIfNotNull(nameof(reason))]
    internal static string? Of(Reason? reason) => reason switch
    {
        null => null,
        Sentence said => said.Text,
        KnownOnOneSide one => $"not known {(one.After ? "before" : "after")}: {Clause(one.Cause)}",
        FlightsNotComparable not => $"the flights cannot be compared: {Clause(not.Cause)}",
        StagesOutOfOrder dates => string.Create(CultureInfo.InvariantCulture,
            $"by the logs' clocks a flight given as before ({dates.BeforeUtc:yyyy-MM-dd HH:mm} UTC) was flown after one given as after ({dates.AfterUtc:yyyy-MM-dd HH:mm} UTC)"),
        AllVibrationChanged all => $"All vibration {Say.Moved(all.ChangeDb, 1, "dB")}, from {Size(all.BeforeMps2)} to {Size(all.AfterMps2)} m/s².",
        PartChanged part => Say.Sentence($"{PartWords.Subject(part.Part)} {Say.Moved(part.ChangeDb, 1, "dB")}, from {Size(part.BeforeMps2)} to {Size(part.AfterMps2)} m/s²"),
        LoadSharesMoved shares => $"Shares of the load moved (100 % is an even share): {Say.List([.. shares.Motors.Select(m => $"{m.Motor} {Say.Number(100 * m.Before, 0)} % to {Say.Number(100 * m.After, 0)} %")])}.",
        LoadShareJudged j => ShareText(j),
        ChangeUnknown unknown => Say.Sentence($"{Name(unknown.Quantity)} is not known: {Clause(unknown.Cause)}"),
        _ => QualityText.Of(reason) ?? GroupText.Of(reason) ?? OrderText.Of(reason) ?? FlightReasonText.Of(reason)
            ?? throw new InvalidOperationException($"no words for {reason.GetType().Name}"),
    };

    /// <summary>The cause as a sentence: capital first, full stop last; null for null.</summary>
    [return: NotNullIfNotNull(nameof(reason))]
    internal static string? Full(Reason? reason) => Of(reason) is string text ? Say.Sentence(text) : null;

    /// <summary>A warning as text.</summary>
    internal static string Of(Warning warning) => Of(warning.Cause) ?? warning.Text;

    /// <summary>The cause to follow "because" or a colon.</summary>
    internal static string Clause(Reason? reason) => Say.Because(Of(reason));

    /// <summary>The fault of a log at the root of a cause, in words; null where it is no fault of a log.</summary>
    internal static string? FaultOf(Reason reason) => reason switch
    {
        KnownOnOneSide one => FaultOf(one.Cause),
        FlightsNotComparable not => FaultOf(not.Cause),
        ChangeUnknown unknown => FaultOf(unknown.Cause),
        _ => QualityText.Of(reason),
    };

    private static string ShareText(LoadShareJudged judged)
    {
        string change = Say.Change(Estimate.Around(judged.Change, judged.Half95), 3, "");
        return Math.Abs(judged.Change) <= judged.Half95 ? $"{change}: not significantly different from zero; these flights could have shown {Say.Number(judged.Half95, 3)}."
            : Math.Abs(judged.Change) < judged.Matters ? $"{change}: shown, but less than the {Say.Number(judged.Matters, 2)} that matter."
            : $"{change}: more than the {Say.Number(judged.Matters, 2)} that matter.";
    }

    private static string Size(double mps2) => Say.Number(mps2, mps2 < 0.1 ? 3 : 2);

    private static string Name(Quantity quantity) => quantity switch
    {
        Quantity.Vibration => "the change of vibration by rotor orders",
        Quantity.MotorTemperature => "the change of motor temperature",
        _ => "the change of ESC temperature",
    };
}
