using System.Text.Json;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Json;

namespace VibeCheck.Reports;

/// <summary>The machine-readable result of reading logs, schema vibecheck.read/1.</summary>
public static class ReadingJson
{
    /// <summary>Writes how each file was understood, as UTF-8.</summary>
    public static void Write(IReadOnlyList<FileRecord> files, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(files);
        JsonFields.Write(
            stream,
            json =>
                json.Object(() =>
                {
                    json.WriteString("schema", "vibecheck.read/1");
                    json.WriteString("tool_version", ToolVersion.Text);
                    json.Array("files", files, file => json.Object(() => Fields(json, file)));
                })
        );
    }

    /// <summary>The fields of one file, into an open object.</summary>
    internal static void Fields(Utf8JsonWriter json, FileRecord file)
    {
        json.WriteString("path", file.Path);
        json.WriteNumber("rows", file.Rows);
        json.WriteNumber("rows_unusable", file.RowsUnusable);
        json.Number("rate_hz", file.RateHz);
        json.Number("jitter_s", file.JitterS);
        json.Segments("gaps", file.Gaps);
        json.WriteNumber("clipped_samples", file.ClippedSamples);
        json.Array("columns", file.Columns, column => Column(json, column));
        json.Texts("form", file.Form);
        json.Array(
            "warnings",
            file.Warnings,
            warning =>
                json.Object(() =>
                {
                    json.WriteString("code", warning.Code);
                    json.WriteString("text", warning.Text);
                })
        );
        json.Why(
            file.RateHz is null ? "fewer than two usable rows"
            : file.JitterS is null ? "the stamps were not held against an even clock"
            : null
        );
    }

    private static void Column(Utf8JsonWriter json, ColumnRecord column) =>
        json.Object(() =>
        {
            json.WriteString("header", column.Header);
            json.WriteString("channel", column.Channel);
            json.WriteString("unit", column.Unit);
            json.WriteString("how_known", column.HowKnown);
            json.Number("min", column.Min);
            json.Number("max", column.Max);
            json.Number("usable_share", column.Channel is null ? null : column.UsableShare);
            json.Why(
                column.Channel is null ? "not a channel that this tool uses"
                : column.Unit is null ? "a number without unit"
                : column.Min is null ? "no usable value"
                : null
            );
        });
}
