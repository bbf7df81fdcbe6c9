using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;

namespace VibeCheck.Logs.Units;

/// <summary>What was decided about the units of a log, before any number is changed.</summary>
/// <param name="Plan">The columns with their units and, in the tool's units, their ranges; columns with an unknown unit are not
/// used.</param>
/// <param name="UsesRates">Whether the rates are used.</param>
/// <param name="Warnings">Warnings about the units.</param>
internal sealed record UnitDecision(ColumnPlan Plan, bool UsesRates, IReadOnlyList<Warning> Warnings);
