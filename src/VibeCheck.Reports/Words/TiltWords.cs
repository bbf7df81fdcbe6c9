using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Reports.Words;

/// <summary>Words for how the effect of tilt is found.</summary>
internal static class TiltWords
{
    internal static string Method(TiltMethod method) =>
        method == TiltMethod.TheilSen
            ? "Theil-Sen: median of the slopes between pairs of motors whose tilts differ clearly, interval by Sen (1968)"
            : "none";

    /// <summary>The sizes in words, such as "0.43° → 0.06°".</summary>
    internal static string Change(MotorTilt? before, MotorTilt? after) =>
        (before?.MagnitudeDeg, after?.MagnitudeDeg) switch
        {
            (double b, double a) => $"{Say.Number(b, 2)}° → {Say.Number(a, 2)}°",
            (double b, null) => $"{Say.Number(b, 2)}° → ?",
            (null, double a) => $"? → {Say.Number(a, 2)}°",
            _ => "not read",
        };
}
