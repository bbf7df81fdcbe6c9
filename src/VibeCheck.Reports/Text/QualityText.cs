using VibeCheck.Core.Uncertainty;

namespace VibeCheck.Reports.Text;

/// <summary>Words for faults of a log.</summary>
internal static class QualityText
{
    /// <summary>One sentence for a fault; null where the cause is none.</summary>
    internal static string? Of(Reason cause) => cause switch
    {
        _ => null,
    };
}
