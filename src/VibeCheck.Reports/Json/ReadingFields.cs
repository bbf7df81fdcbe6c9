using VibeCheck.Core.Tracks;

namespace VibeCheck.Reports.Json;

/// <summary>How logs were understood.</summary>
internal sealed class ReadingFields(IReadOnlyList<FileRecord> files)
{
    [OneOf("vibecheck.read/1")]
    public string Schema { get; } = "vibecheck.read/1";
    public string ToolVersion { get; } = Formatting.ToolVersion.Text;
    public IEnumerable<FileFields> Files => files.Select(f => new FileFields(f));
}

/// <summary>How one file was understood.</summary>
internal sealed class FileFields(FileRecord file)
{
    public string Path => file.Path;
    public int Rows => file.Rows;
    public int RowsUnusable => file.RowsUnusable;
    public double? RateHz => file.RateHz;
    public double? JitterS => file.JitterS;
    public IEnumerable<SegmentFields> Gaps => SegmentFields.Of(file.Gaps);
    public int ClippedSamples => file.ClippedSamples;
    public IEnumerable<ColumnFields> Columns => file.Columns.Select(c => new ColumnFields(c));
    public IEnumerable<string> Form => file.Form;
    public IEnumerable<FileWarningFields> Warnings => file.Warnings.Select(w => new FileWarningFields(w));

    public string? Why =>
        file.RateHz is null ? "fewer than two usable rows"
        : file.JitterS is null ? "the time stamps were not compared with an even clock"
        : null;
}

/// <summary>How a column was understood.</summary>
internal sealed class ColumnFields(ColumnRecord column)
{
    public string Header => column.Header;
    public string? Channel => column.Channel;
    public string? Unit => column.Unit;
    public string? HowKnown => column.HowKnown;
    public double? Min => column.Min;
    public double? Max => column.Max;
    public double? UsableShare => column.Channel is null ? null : column.UsableShare;

    public string? Why =>
        column.Channel is null ? "not a channel that this tool uses"
        : column.Unit is null ? "a number without unit"
        : column.Min is null ? "no usable value"
        : null;
}

/// <summary>What looked odd in a file.</summary>
internal sealed class FileWarningFields(Warning warning)
{
    public string Code => warning.Code;
    public string Text => warning.Text;
}

/// <summary>A time interval, such as a gap or a part of the hover.</summary>
internal sealed class SegmentFields(TimeInterval span)
{
    public double FromS => span.FromS;
    public double ToS => span.ToS;

    internal static IEnumerable<SegmentFields> Of(IEnumerable<TimeInterval> spans) => spans.Select(s => new SegmentFields(s));
}
