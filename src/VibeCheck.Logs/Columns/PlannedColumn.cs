namespace VibeCheck.Logs.Columns;

/// <summary>A column with what is known about it. A stage that finds out more makes a new one.</summary>
/// <param name="Index">Index in the file, from 0.</param>
/// <param name="Header">Its header.</param>
internal sealed record PlannedColumn(int Index, string Header)
{
    internal Channel? Channel { get; init; }

    internal Unit? Unit { get; init; }

    /// <summary>"header", "units row", "data", "columns file" or "user".</summary>
    internal string? HowKnown { get; init; }

    /// <summary>Whether the header does not give the unit, so that the data may still change it (speeds only).</summary>
    internal bool UnitOpen { get; init; }

    /// <summary>Whether the values do not show the unit either. The column is left out unless the vibration decides (speeds
    /// only).</summary>
    internal bool UnitProvisional { get; init; }

    /// <summary>Factor of the columns file, 1 for none.</summary>
    internal double Scale { get; init; } = 1;

    /// <summary>Motor that the columns file names; null for none.</summary>
    internal string? SaidMotor { get; init; }

    /// <summary>Id of the motor as shown and used.</summary>
    internal string? MotorId { get; init; }

    /// <summary>Whether its values are read.</summary>
    internal bool Used { get; init; }

    /// <summary>Why a recognised column is not used; null when it is used.</summary>
    internal string? NotUsedWhy { get; init; }

    /// <summary>Least and greatest usable value in tool units; null when there is none.</summary>
    internal (double Min, double Max)? Range { get; init; }

    /// <summary>Whether the header names no motor, so that only another column of the row can name it.</summary>
    internal bool IsNamedByRow => Channel is { IsMotor: true, NamesMotor: false } && MotorId is null;

    /// <summary>The column, marked as left out for a reason.</summary>
    internal PlannedColumn LeftOut(string why) => this with { Used = false, NotUsedWhy = why };
}
