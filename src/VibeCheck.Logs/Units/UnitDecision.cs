using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;

namespace VibeCheck.Logs.Units;

/// <summary>What was decided of the units of a log, before any number is changed.</summary>
/// <param name="Plan">The columns with their units and, in the tool's units, their ranges; those whose unit nothing shows are not
/// used.</param>
/// <param name="UsesRates">Whether the rates are used.</param>
/// <param name="Warnings">What looked odd.</param>
internal sealed record UnitDecision(ColumnPlan Plan, bool UsesRates, IReadOnlyList<Warning> Warnings);
