namespace VibeCheck.Logs.Columns;

/// <summary>A column while the plan is being made; used only by <see cref="ColumnPlanner"/>.</summary>
internal sealed class ColumnDraft(int index, string header)
{
    internal int Index { get; } = index;

    internal string Header { get; } = header;

    internal Channel? Channel { get; set; }

    internal Unit? Unit { get; set; }

    internal string? HowKnown { get; set; }

    internal double Scale { get; set; } = 1;

    internal string? SaidMotor { get; set; }

    internal bool Used { get; set; }

    internal string? NotUsedWhy { get; set; }

    internal PlannedColumn Planned() =>
        new(Index, Header)
        {
            Channel = Channel,
            Unit = Unit,
            HowKnown = HowKnown,
            Scale = Scale,
            SaidMotor = SaidMotor,
            Used = Used,
            NotUsedWhy = NotUsedWhy,
        };
}
