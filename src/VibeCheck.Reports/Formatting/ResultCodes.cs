using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Lines;

namespace VibeCheck.Reports.Formatting;

/// <summary>The fixed words of the results: the same in JSON, on pages and on the console.</summary>
internal static class ResultCodes
{
    internal static string Code(this Verdict verdict) =>
        verdict switch
        {
            Verdict.Improved => "improved",
            Verdict.NoClearChange => "no-clear-change",
            Verdict.Mixed => "mixed",
            Verdict.Worse => "worse",
            Verdict.NotComparable => "not-comparable",
            _ => throw new ArgumentOutOfRangeException(nameof(verdict), verdict, "is no verdict"),
        };

    internal static string Code(this CallKind call) =>
        call switch
        {
            CallKind.Improved => "improved",
            CallKind.NoClearChange => "no-clear-change",
            CallKind.Worse => "worse",
            CallKind.Unknown => "unknown",
            _ => throw new ArgumentOutOfRangeException(nameof(call), call, "is no call"),
        };

    internal static string Code(this RiseCause cause) =>
        cause switch
        {
            RiseCause.NotAsked => "not-asked",
            RiseCause.Load => "load",
            RiseCause.Unit => "unit",
            RiseCause.Both => "both",
            RiseCause.Undetermined => "not-told",
            _ => throw new ArgumentOutOfRangeException(nameof(cause), cause, "is no cause"),
        };

    internal static string Code(this Severity severity) =>
        severity switch
        {
            Severity.Note => "note",
            Severity.Look => "look",
            Severity.Act => "act",
            _ => throw new ArgumentOutOfRangeException(nameof(severity), severity, "is no severity"),
        };

    internal static string Code(this PeakKind kind) =>
        kind switch
        {
            PeakKind.Rotor => "rotor",
            PeakKind.Structure => "structure",
            PeakKind.Unknown => "unknown",
            _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "is no kind of peak"),
        };

    internal static string Code(this YawTrimSource source) =>
        source switch
        {
            YawTrimSource.Rpm => "rpm",
            YawTrimSource.Command => "command",
            _ => throw new ArgumentOutOfRangeException(nameof(source), source, "is no source"),
        };
}
