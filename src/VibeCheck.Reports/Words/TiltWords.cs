using VibeCheck.Core.Comparisons;

namespace VibeCheck.Reports.Words;

/// <summary>Words for how the effect of tilt is found.</summary>
internal static class TiltWords
{
    internal static string Method(TiltMethod method) =>
        method == TiltMethod.TheilSen
            ? "Theil-Sen: median of the slopes between pairs of motors whose tilts are told apart, interval by Sen (1968)"
            : "none";
}
