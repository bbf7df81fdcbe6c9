using System.Globalization;
using VibeCheck.Core.Airframes;

namespace VibeCheck.Logs.Airframes;

/// <summary>Writes a bolt pattern as a section of the airframe file: in the shortest form that reads back as the same bolts.</summary>
internal static class BoltText
{
    // Rounding of the file's six decimals, far below any bolt.
    private const double SameMm = 1e-5;

    /// <summary>Lines of the section, its heading first.</summary>
    internal static string[] Lines(string section, BoltPattern pattern)
    {
        double across = pattern.AcrossSpanMm,
            along = pattern.AlongSpanMm;
        bool both = across > 0 && along > 0;
        return
        [
            $"[{section}]",
            .. both && Same(pattern, BoltPattern.Rectangle(across, along))
                ? [$"across_mm = {Number(across)}", $"along_mm = {Number(along)}"]
            : both && Same(pattern, BoltPattern.Cross(across, along))
                ? ["pattern = \"cross\"", $"across_mm = {Number(across)}", $"along_mm = {Number(along)}"]
            : Diagonals(pattern) is string pairs ? [pairs]
            : (string[])[$"places_mm = [{string.Join(", ", pattern.Bolts.Select(b => $"[{Number(b.AcrossMm)}, {Number(b.AlongMm)}]"))}]"],
        ];
    }

    private static string? Diagonals(BoltPattern pattern) =>
        pattern.OppositePairs is [var first, var second] && Same(pattern, BoltPattern.Pairs(first.DistanceMm, second.DistanceMm, 45))
            ? $"pattern = \"{Number(first.DistanceMm)}x{Number(second.DistanceMm)}\""
            : null;

    private static bool Same(BoltPattern a, BoltPattern b) =>
        a.Bolts.Count == b.Bolts.Count
        && a.Bolts.Zip(b.Bolts)
            .All(p => Math.Abs(p.First.AcrossMm - p.Second.AcrossMm) < SameMm && Math.Abs(p.First.AlongMm - p.Second.AlongMm) < SameMm);

    private static string Number(double value) => value.ToString("0.######", CultureInfo.InvariantCulture);
}
