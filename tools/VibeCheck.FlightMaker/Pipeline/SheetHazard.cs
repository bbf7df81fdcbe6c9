using VibeCheck.FlightMaker.Damage;

namespace VibeCheck.FlightMaker.Pipeline;

/// <summary>A fault that may be in a log file and that no recorder should write.</summary>
/// <param name="Name">Short description.</param>
/// <param name="Apply">Puts the fault into a sheet; returns the sheet to write.</param>
public sealed record SheetHazard(string Name, Func<LogSheet, Random, LogSheet> Apply)
{
    /// <summary>Every hazard.</summary>
    public static IReadOnlyList<SheetHazard> All { get; } = [.. StampHazards.All, .. ValueHazards.All, .. RowHazards.All];

    internal static SheetHazard Of(string name, Action<LogSheet, Random> change) =>
        new(
            name,
            (sheet, random) =>
            {
                change(sheet, random);
                return sheet;
            }
        );
}
