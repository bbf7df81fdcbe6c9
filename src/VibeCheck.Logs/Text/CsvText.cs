using CsvHelper;

namespace VibeCheck.Logs.Text;

/// <summary>Settings with which the CSV library reads lines of a log.</summary>
internal static class CsvText
{
    internal static CsvReaderOptions Options(byte separator) =>
        new()
        {
            Separator = (char)separator,
            HasHeader = false,
            TrimWhitespace = separator != ' ',
            MaxRecordSize = LogHead.LongestLine,
            MalformedData = CsvMalformedDataHandling.Recover,
            FieldCountMismatch = CsvFieldCountHandling.Allow,
        };
}
