using System.Buffers;
using System.Globalization;
using CsvHelper;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Surveys;

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
    /// <summary>An angle above this is taken for a typing error, degrees.</summary>
    public const double LargestDeg = 10;

    /// <summary>Most readings in a file.</summary>
    public const int MostReadings = 100_000;

    // A reading takes 40 bytes, and a note may be as long again.
    private const int MostBytes = 32 << 20;
    private const int MostFaultsTold = 50;

    /// <summary>First line of a survey that the tool writes.</summary>
    internal const string Header = "motor,when,where,direction,angle_deg,low_side,gauge,knock,note";

    /// <summary>First line of a survey in which fitted shims are noted.</summary>
    public const string HeaderWithShims = Header + ",shims";

    private static readonly SearchValues<char> NeedQuotes = SearchValues.Create(",\"\n\r;\t");

    /// <summary>Reads a survey and works out the tilts.</summary>
    /// <param name="path">Path as the user gave it.</param>
    /// <param name="airframe">The airframe that was surveyed.</param>
    /// <exception cref="InputFaultException">The file, or a reading in it, cannot be read; the fault gives line and column.</exception>
    public static Survey Read(string path, Airframe airframe)
    {
        SurveySheet sheet = ReadSheet(path, airframe);
        if (sheet.Readings.Count == 0)
        {
            throw Fault(path, null, null, "the survey has no readings", "Add one line for each gauge reading.");
        }

        ThrowIfAny([.. Conflicts(path, sheet.Readings), .. MissingReferences(path, sheet.Readings)]);
        return TiltCombination.Of(airframe, sheet.Readings) with { Remarks = sheet.Remarks };
    }

    /// <summary>Reads the lines alone, without asking whether they make a whole survey.</summary>
    /// <exception cref="InputFaultException">Lines cannot be read; the exception carries a fault for each.</exception>
    public static IReadOnlyList<GaugeReading> ReadReadings(string path, Airframe airframe) => ReadSheet(path, airframe).Readings;

    /// <summary>Reads the lines alone, without asking whether they make a whole survey, with what is to be said of the columns.</summary>
    /// <exception cref="InputFaultException">Lines cannot be read; the exception carries a fault for each.</exception>
    public static SurveySheet ReadSheet(string path, Airframe airframe)
    {
        ArgumentNullException.ThrowIfNull(airframe);
        return Parse(path, HandWrittenFile.Read(path, MostBytes), airframe);
    }

    private static SurveySheet Parse(string path, string text, Airframe airframe)
    {
        (char separator, _) = HeaderOf(text);
        ThrowIfAny(SurveyQuotes.Faults(path, text, separator));
        using CsvReader reader = CsvReader.FromText(
            text,
            new CsvReaderOptions
            {
                TrackLineNumbers = true,
                CommentPrefix = '#',
                TrimWhitespace = true,
                FieldCountMismatch = CsvFieldCountHandling.Allow,
            }
        );
        var readings = new List<GaugeReading>();
        var faults = new List<InputFault>();
        try
        {
            SurveyColumns columns = SurveyColumns.Of(path, reader.Headers);
            while (faults.Count < MostFaultsTold && reader.Read())
            {
                var row = new SurveyRow(
                    path,
                    (int)reader.LineNumber,
                    columns,
                    [.. Enumerable.Range(0, reader.FieldCount).Select(reader.GetString)],
                    separator,
                    faults
                );
                if (!row.IsBlank && row.ToReading(airframe) is GaugeReading reading)
                {
                    readings.Add(reading);
                }

                if (readings.Count > MostReadings)
                {
                    throw Fault(
                        path,
                        row.Line,
                        null,
                        string.Create(CultureInfo.InvariantCulture, $"the survey has more than {MostReadings} readings"),
                        "Keep one aircraft and one job to a file."
                    );
                }
            }

            ThrowIfAny(faults);
            return new(readings, columns.Remarks);
        }
        catch (CsvFormatException e)
        {
            throw Fault(
                path,
                e.LineNumber > 0 ? (int)e.LineNumber : null,
                null,
                "the line is not well-formed CSV",
                "Check its quotes and separators."
            );
        }
    }

    private static void ThrowIfAny(IReadOnlyList<InputFault> faults)
    {
        if (faults.Count > 0)
        {
            throw new InputFaultException(faults[0], [.. faults.Skip(1).Take(MostFaultsTold - 1)]);
        }
    }

    private static IEnumerable<InputFault> Conflicts(string path, IReadOnlyList<GaugeReading> readings) =>
        ReadingConflict
            .FindAll(readings)
            .Select(conflict =>
            {
                GaugeReading a = conflict.First,
                    b = conflict.Second;
                return new InputFault(
                    path,
                    b.Line,
                    null,
                    string.Create(CultureInfo.InvariantCulture, $"{NameOf(b)} reads {Text(b)} here but {Text(a)} on line {a.Line}"),
                    "One of the two has the wrong side: read it again, correct the line, or give an after-the-knock reading knock = after."
                );
            });

    /// <summary>The text of a survey with one more reading at its end.</summary>
    /// <param name="text">The text as it stands; empty to begin a survey with its header.</param>
    /// <param name="reading">The reading.</param>
    public static string WithReading(string text, GaugeReading reading)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(reading);
        string before = text.EndsWith('\n') || string.IsNullOrWhiteSpace(text) ? text.TrimStart() : text + "\n";
        before = text.Split('\n').Any(IsRow) ? before : before + Header + "\n";
        before = reading.Fitted is null ? before : WithShimsColumn(before);
        (char separator, string[] header) = HeaderOf(before);
        return before + Line(reading, separator, header) + "\n";
    }

    /// <summary>Checks that a text may be continued as a survey: it is empty, or its header is that of a survey.</summary>
    /// <param name="path">The file, for the message.</param>
    /// <param name="text">The text as it stands.</param>
    /// <exception cref="InputFaultException">The header lacks a column that a survey has.</exception>
    internal static void ThrowIfNoSurvey(string path, string text) => SurveyColumns.Of(path, HeaderOf(text).Header);

    /// <summary>The text of a survey with a column for fitted shims at the end of its header; the same text where it has one. Lines that
    /// end before the column note no shims.</summary>
    /// <param name="text">The text as it stands, with its header.</param>
    public static string WithShimsColumn(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        (char separator, string[] header) = HeaderOf(text);
        if (header.Contains("shims"))
        {
            return text;
        }

        string[] lines = text.Split('\n');
        int at = Array.FindIndex(lines, IsRow);
        if (at < 0)
        {
            return text;
        }

        bool windows = lines[at].EndsWith('\r');
        lines[at] = lines[at].TrimEnd('\r') + separator + "shims" + (windows ? "\r" : "");
        return string.Join('\n', lines);
    }

    /// <summary>Whether two lines of a survey say the same: one may have been written before a column came to the header.</summary>
    internal static bool SaysTheSame(string line, string other) =>
        line.TrimEnd('\r', ',', ';', '\t') == other.TrimEnd('\r', ',', ';', '\t');

    /// <summary>The text of a survey without its last reading; the same text where it has none.</summary>
    public static string WithoutLastReading(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        string[] lines = text.Split('\n');
        int[] rows = [.. Enumerable.Range(0, lines.Length).Where(i => IsRow(lines[i]))];
        return rows.Length < 2 ? text : string.Join('\n', lines.Where((_, i) => i != rows[^1]));
    }

    /// <summary>The text of a survey without one of its lines; the same text where there is no such line.</summary>
    /// <param name="text">The text as it stands.</param>
    /// <param name="line">Line of the reading, from 1.</param>
    public static string WithoutLine(string text, int line)
    {
        ArgumentNullException.ThrowIfNull(text);
        string[] lines = text.Split('\n');
        return line < 2 || line > lines.Length ? text : string.Join('\n', lines.Where((_, i) => i != line - 1));
    }

    /// <summary>The text of a survey, to be written again with one reading more or less; empty where there is no file yet.</summary>
    /// <exception cref="InputFaultException">The file cannot be read.</exception>
    public static string TextOf(string path) => File.Exists(path) ? HandWrittenFile.Read(path, MostBytes) : "";

    /// <summary>What a reading says, for messages: "0.4° right low".</summary>
    public static string Text(GaugeReading r) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{Angle(r)}°{(r.LowSide == LowSide.Level ? "" : " " + r.LowSide.ToString().ToLowerInvariant() + " low")}"
        );

    internal static InputFaultException Fault(string path, int? line, int? column, string problem, string remedy) =>
        new(new(path, line, column, problem, remedy));

    private static string Angle(GaugeReading r) =>
        r.LowDeg == r.HighDeg
            ? r.LowDeg.ToString(CultureInfo.InvariantCulture)
            : string.Create(CultureInfo.InvariantCulture, $"{r.LowDeg}/{r.HighDeg}");

    private static string NameOf(GaugeReading r) =>
        $"{(r.MotorId is string id ? id + "'s" : "the hub's")} {(r.Where == GaugePlace.Mount ? "mount" : "frame")} "
        + (r.Direction == TiltDirection.Across ? "across the arm" : "along the arm");

    private static IEnumerable<InputFault> MissingReferences(string path, IReadOnlyList<GaugeReading> readings)
    {
        HashSet<(string?, TiltDirection)> frames =
        [
            .. readings.Where(r => r.Where == GaugePlace.Frame).Select(r => (r.MotorId, r.Direction)),
        ];
        bool hub = frames.Any(f => f.Item1 is null);
        foreach (GaugeReading r in hub ? [] : readings.Where(r => r.Where == GaugePlace.Mount).DistinctBy(r => (r.MotorId, r.Direction)))
        {
            if (!frames.Contains((r.MotorId, r.Direction)))
            {
                string word = r.Direction == TiltDirection.Across ? "across" : "along";
                yield return new(
                    path,
                    r.Line,
                    null,
                    $"{r.MotorId}'s mount was read {word} the arm, but there is no frame reading {word} it",
                    $"Add a line with where = frame for {r.MotorId}, or one frame reading each way for motor *; 0.0 "
                        + "level if the gauge was zeroed on the frame."
                );
            }
        }
    }

    private static bool IsRow(string line) => !string.IsNullOrWhiteSpace(line) && !line.StartsWith('#');

    private static (char Separator, string[] Header) HeaderOf(string text)
    {
        string header = text.Split('\n', '\r').FirstOrDefault(IsRow) ?? Header;
        char separator =
            header.Contains(';') ? ';'
            : header.Contains('\t') ? '\t'
            : ',';
        return (separator, [.. header.TrimStart('\uFEFF').Split(separator).Select(h => h.Trim().Trim('"').ToLowerInvariant())]);
    }

    private static string Line(GaugeReading r, char separator, string[] header) =>
        string.Join(
            separator,
            header.Select(h =>
                h switch
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
                }
            )
        );

    private static string Quote(string text)
    {
        // A control character, such as a message of a sheet may hold, would make the file unreadable as text.
        text = text.ReplaceLineEndings(" ");
        text = text.Any(c => char.IsControl(c) && c != '\t') ? string.Concat(text.Where(c => !char.IsControl(c) || c == '\t')) : text;
        return text.AsSpan().ContainsAny(NeedQuotes) || text.StartsWith('#') || text != text.Trim()
            ? "\"" + text.Replace("\"", "\"\"", StringComparison.Ordinal) + "\""
            : text;
    }
}
