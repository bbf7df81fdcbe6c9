using VibeCheck.Core.Flights;

namespace VibeCheck.Reports.Formatting;

/// <summary>How urgent a finding is, in words.</summary>
internal static class SeverityNames
{
    internal static string Urgency(Severity severity) =>
        severity switch
        {
            Severity.Act => "Before the next flight",
            Severity.Look => "Worth a look",
            _ => "Good to know",
        };
}
