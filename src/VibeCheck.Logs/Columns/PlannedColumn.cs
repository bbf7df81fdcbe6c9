namespace VibeCheck.Logs.Columns;

/// <summary>A column with what is known of it so far; filled in step by step while a file is read.</summary>
internal sealed class PlannedColumn(int index, string header)
{
    /// <summary>Place in the file, from 0.</summary>
    internal int Index { get; } = index;

    internal string Header { get; } = header;

    internal Channel? Channel { get; set; }

    internal Unit? Unit { get; set; }

    /// <summary>"header", "units row", "data", "columns file" or "user".</summary>
    internal string? HowKnown { get; set; }

    /// <summary>Whether the header says nothing of the unit, so that the data may still change it (speeds only).</summary>
    internal bool UnitOpen { get; set; }

    /// <summary>Whether the values do not show the unit either: without the vibration to
    /// decide, the column is left out (speeds only).</summary>
    internal bool UnitProvisional { get; set; }

    /// <summary>Factor of the columns file, 1 for none.</summary>
    internal double Scale { get; set; } = 1;

    /// <summary>Motor the columns file names; else null.</summary>
    internal string? SaidMotor { get; set; }

    /// <summary>Id of the motor as shown and used.</summary>
    internal string? MotorId { get; set; }

    /// <summary>Whether its values are read.</summary>
    internal bool Used { get; set; }

    /// <summary>Why a recognised column is not used; null when it is.</summary>
    internal string? NotUsedWhy { get; set; }

    /// <summary>Least and greatest usable value in tool units; null when none.</summary>
    internal (double Min, double Max)? Range { get; set; }
}
