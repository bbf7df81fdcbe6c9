using System.Buffers;
using System.Globalization;
using CsvHelper;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Logs;

/// <summary>Reads and writes survey.csv, one gauge reading a line.</summary>
/// <remarks>
/// Columns motor, when, where, direction, angle_deg, low_side and, if wanted, note; a gauge column (straight or turned: the gauge lay
/// end for end); a knock column (before or after: the arm was knocked in between); shim_left_deg and shim_right_deg (what the gauge
/// showed with a trial shim under its left or right end, or its in and out end along the arm; low_side may then be empty); shims (what
/// was put under the motor, such as right 0.2, or right-out 0.2+0.1; left 0.1, or none).
/// A frame reference taken once stands under motor * and looks to the nose: out is the nose, in the tail.
/// </remarks>
public static class SurveyFile
{
    /// <summary>An angle above this is taken for a slip of the pen, degrees.</summary>
    public const double LargestDeg = 10;

    /// <summary>First line of a survey that the tool writes.</summary>
    internal const string Header = "motor,when,where,direction,angle_deg,low_side,gauge,knock,note";

    private static readonly SearchValues<char> NeedQuotes = SearchValues.Create(",\"\n\r;\t");

    /// <summary>Reads a survey and works out the tilts.</summary>
    /// <param name="path">Path as the user gave it.</param>
    /// <param name="airframe">The airframe that was surveyed.</param>
    /// <exception cref="InputFaultException">The file cannot be read, or a reading cannot be: told with line and column.</exception>
    public static Survey Read(string path, Airframe airframe)
    {
        IReadOnlyList<GaugeReading> readings = ReadReadings(path, airframe);
        if (readings.Count == 0)
        {
            throw Fault(path, null, null, "the survey has no readings", "Add one line for each gauge reading.");
        }

        if (ReadingConflict.Find(readings) is ReadingConflict conflict)
        {
            GaugeReading a = conflict.First, b = conflict.Second;
            throw Fault(path, b.Line, null, string.Create(CultureInfo.InvariantCulture,
                $"{NameOf(b)} reads {Text(b)} here but {Text(a)} on line {a.Line}"),
                "One of the two has the wrong side: read it again, correct the line, or give an after-the-knock reading knock = after.");
        }

        RequireReference(path, airframe, readings);
        return TiltReckoning.Of(airframe, readings);
    }

    /// <summary>Reads the lines alone, without asking whether they make a whole survey.</summary>
    /// <exception cref="InputFaultException">A line cannot be read.</exception>
    public static IReadOnlyList<GaugeReading> ReadReadings(string path, Airframe airframe)
    {
        string text;
        try
        {
            text = File.ReadAllText(path);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw Fault(path, null, null, e is FileNotFoundException or DirectoryNotFoundException
                ? "there is no such file" : $"the file cannot be read ({e.Message})", "Check the path.");
        }

        return ParseReadings(path, text, airframe);
    }

    internal static IReadOnlyList<GaugeReading> ParseReadings(string path, string text, Airframe airframe)
    {
        using CsvReader reader = CsvReader.FromText(text, new CsvReaderOptions
        {
            TrackLineNumbers = true,
            CommentPrefix = '#',
            TrimWhitespace = true,
            FieldCountMismatch = CsvFieldCountHandling.Allow,
        });
        var readings = new List<GaugeReading>();
        try
        {
            SurveyColumns columns = SurveyColumns.Of(path, reader.Headers);
            while (reader.Read())
            {
                var row = new SurveyRow(path, (int)reader.LineNumber, columns,
                    [.. Enumerable.Range(0, reader.FieldCount).Select(reader.GetString)]);
                if (!row.IsBlank)
                {
                    readings.Add(row.ToReading(airframe));
                }
            }
        }
        catch (CsvFormatException e)
        {
            throw Fault(path, null, null, $"the file is not well-formed CSV ({e.Message})", "Check quotes and separators.");
        }

        return readings;
    }

    /// <summary>Adds a reading to the end of a file, which is made, with its header, where there is none.</summary>
    /// <remarks>Each reading is on the disk before the next is asked for, so that nothing typed is lost.</remarks>
    public static void Append(string path, GaugeReading reading)
    {
        bool isNew = !File.Exists(path) || new FileInfo(path).Length == 0;
        (char separator, string[] header) = isNew ? (',', Header.Split(',')) : HeaderOf(path);
        string line = Line(reading, separator, header);
        string gap = isNew ? Header + "\n" : EndsWithLineBreak(path) ? "" : "\n";
        File.AppendAllText(path, gap + line + "\n");
    }

    /// <summary>Takes the last reading off the file again.</summary>
    public static void RemoveLast(string path)
    {
        List<string> lines = [.. File.ReadAllLines(path)];
        int last = lines.FindLastIndex(l => !string.IsNullOrWhiteSpace(l) && !l.StartsWith('#'));
        if (last > 0)
        {
            lines.RemoveAt(last);
            File.WriteAllText(path, string.Concat(lines.Select(l => l + "\n")));
        }
    }

    /// <summary>What a reading says, for messages: "0.4° right low".</summary>
    public static string Text(GaugeReading r) => string.Create(CultureInfo.InvariantCulture,
        $"{Angle(r)}°{(r.LowSide == LowSide.Level ? "" : " " + r.LowSide.ToString().ToLowerInvariant() + " low")}");

    internal static InputFaultException Fault(string path, int? line, int? column, string problem, string remedy) =>
        new(new(path, line, column, problem, remedy));

    private static string Angle(GaugeReading r) => r.LowDeg == r.HighDeg
        ? r.LowDeg.ToString(CultureInfo.InvariantCulture)
        : string.Create(CultureInfo.InvariantCulture, $"{r.LowDeg}/{r.HighDeg}");

    private static string NameOf(GaugeReading r) =>
        $"{(r.MotorId is string id ? id + "'s" : "the hub's")} {(r.Where == GaugePlace.Mount ? "mount" : "frame")} "
        + (r.Direction == TiltDirection.Across ? "across the arm" : "along the arm");

    private static void RequireReference(string path, Airframe airframe, IReadOnlyList<GaugeReading> readings)
    {
        foreach (GaugeReading r in readings.Where(r => r.Where == GaugePlace.Mount))
        {
            bool Holds(GaugeReading f) => f.Where == GaugePlace.Frame && (f.MotorId == null || f.MotorId == r.MotorId && f.Direction == r.Direction);
            if (!readings.Any(Holds))
            {
                string word = r.Direction == TiltDirection.Across ? "across" : "along";
                throw Fault(path, r.Line, null, $"{r.MotorId}'s mount was read {word} the arm, but there is no frame reading {word} it",
                    $"Add a line with where = frame for {r.MotorId}, or one frame reading each way for motor *; 0.0 level if the gauge was zeroed on the frame.");
            }
        }
    }

    private static (char Separator, string[] Header) HeaderOf(string path)
    {
        string header = File.ReadLines(path).FirstOrDefault(l => !string.IsNullOrWhiteSpace(l) && !l.StartsWith('#')) ?? Header;
        char separator = header.Contains(';') ? ';' : header.Contains('\t') ? '\t' : ',';
        return (separator, [.. header.TrimStart('\uFEFF').Split(separator).Select(h => h.Trim().Trim('"').ToLowerInvariant())]);
    }

    private static bool EndsWithLineBreak(string path)
    {
        using FileStream stream = File.OpenRead(path);
        stream.Seek(-1, SeekOrigin.End);
        return stream.ReadByte() == '\n';
    }

    private static string Line(GaugeReading r, char separator, string[] header) => string.Join(separator, header.Select(h => h switch
    {
        "motor" => Quote(r.MotorId ?? "*"),
        "when" => r.When == SurveyTime.AsFound ? "as-found" : "as-left",
        "where" => r.Where == GaugePlace.Frame ? "frame" : "mount",
        "direction" => r.Direction == TiltDirection.Across ? "across" : "along",
        "angle_deg" => Angle(r),
        "low_side" => r.LowSide.ToString().ToLowerInvariant(),
        "gauge" => r.Turned ? "turned" : "",
        "knock" => r.Knock == Knock.After ? "after" : "",
        "note" => Quote(r.Note),
        "shims" => Quote(r.Fitted?.Text ?? ""),
        _ => "",
    }));

    private static string Quote(string text) =>
        text.AsSpan().ContainsAny(NeedQuotes) ? "\"" + text.Replace("\"", "\"\"", StringComparison.Ordinal).ReplaceLineEndings(" ") + "\"" : text;
}
