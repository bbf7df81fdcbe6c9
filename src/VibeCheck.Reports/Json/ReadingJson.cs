using VibeCheck.Core.Tracks;

namespace VibeCheck.Reports.Json;

/// <summary>The machine-readable result of reading logs, schema vibecheck.read/1.</summary>
public static class ReadingJson
{
    /// <summary>Writes how each file was understood, as UTF-8; the stream stays open.</summary>
    public static void Write(IReadOnlyList<FileRecord> files, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(files);
        ResultOptions.Write(stream, new ReadingFields(files));
    }
}
