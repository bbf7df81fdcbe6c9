using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Reports.Formatting;

/// <summary>Formats tilts, and names the method for the effect of tilt.</summary>
internal static class TiltFormat
{
    internal static string Method(TiltMethod method) =>
        method == TiltMethod.TheilSen
            ? "Theil-Sen: median of the slopes between pairs of motors whose tilts differ clearly, interval by Sen (1968)"
            : "none";

    /// <summary>The sizes in words, such as "0.43° → 0.06°".</summary>
    internal static string Change(MotorTilt? before, MotorTilt? after) =>
        (before?.MagnitudeDeg, after?.MagnitudeDeg) switch
        {
            (double b, double a) => $"{Format.Number(b, 2)}° → {Format.Number(a, 2)}°",
            (double b, null) => $"{Format.Number(b, 2)}° → ?",
            (null, double a) => $"? → {Format.Number(a, 2)}°",
            _ => "not read",
        };
}
