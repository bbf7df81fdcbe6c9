using System.Globalization;
using System.Text;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Columns;

/// <summary>What the user says about the columns of a recorder; overrides what the tool would find.</summary>
public sealed record ColumnsFile
{
    private const int MostOthers = 200;

    /// <summary>Where it was read from; null when made in memory.</summary>
    public string? Path { get; init; }

    /// <summary>Rows a second for a recorder that writes no time, Hz; null when it does.</summary>
    public double? RowsPerSecond { get; init; }

    /// <summary>Decimal mark of the log, a point or a comma; null to find it.</summary>
    public char? DecimalMark { get; init; }

    /// <summary>The columns that the file describes. Other columns are found by their headers.</summary>
    public required IReadOnlyList<ColumnEntry> Columns { get; init; }

    /// <summary>The entry for a header (case and surrounding blanks are ignored), or null.</summary>
    public ColumnEntry? Find(string header) =>
        Columns.FirstOrDefault(c => string.Equals(c.Header.Trim(), header.Trim(), StringComparison.OrdinalIgnoreCase));

    /// <summary>Reads a columns file (TOML).</summary>
    /// <exception cref="InputFaultException">The file, or an entry in it, cannot be read; the fault gives line and column.</exception>
    public static ColumnsFile Read(string path)
    {
        ArgumentNullException.ThrowIfNull(path);
        return Of(path, TomlSheet.Read(path));
    }

    /// <summary>Reads text that is about to be written to a columns file.</summary>
    /// <exception cref="InputFaultException">An entry cannot be read.</exception>
    internal static ColumnsFile ReadText(string path, string text) => Of(path, TomlSheet.ReadText(path, text));

    private static ColumnsFile Of(string path, TomlSheet sheet)
    {
        double? rate = sheet.Root.Number("rows_per_second", 0.1, 1e6, " Hz");
        string? mark = sheet.Root.Text("decimal_mark");
        if (mark is not (null or "." or ","))
        {
            throw sheet.Root.Fault(
                "decimal_mark",
                $"'{CellText.Cut(mark)}' is not a decimal mark",
                "Write decimal_mark = \".\" or decimal_mark = \",\"."
            );
        }

        foreach (TomlSection section in sheet.Sections.Where(s => s.Name != "column"))
        {
            throw section.Fault(
                null,
                $"[{TomlSheet.Cut(section.Name)}] means nothing in a columns file",
                "Columns are written as [[column]]."
            );
        }

        if (sheet.Root.Unasked(["column"]).FirstOrDefault() is string unknown)
        {
            throw sheet.Root.Fault(null, unknown, "Above the first [[column]] stands rows_per_second or decimal_mark, or nothing.");
        }

        return new()
        {
            Path = path,
            RowsPerSecond = rate,
            DecimalMark = mark?[0],
            Columns = [.. sheet.Sections.Select(Entry)],
        };
    }

    /// <summary>The text of a columns file that describes how a log was understood, to be edited by hand.</summary>
    /// <param name="reading">The log.</param>
    /// <param name="samples">Its first values, shown beside each column; null for none.</param>
    public static string TextOf(FileRecord reading, ColumnSamples? samples = null)
    {
        ArgumentNullException.ThrowIfNull(reading);
        var text = new StringBuilder();
        text.Append("# What the columns of this recorder are. Edit, and give with --columns.\n");
        text.Append("# is: ").Append(EntryChannels.All).Append('\n');
        text.Append(
            "# motor: id of the motor in the airframe file. unit: such as s, ms, g, m/s2, deg/s, rpm, erpm, hz, %, us, degc, a, v.\n"
        );
        text.Append("# scale: factor on the numbers before the unit. Columns that are not named here are found by the tool.\n");
        int others = 0;
        for (int i = 0; i < reading.Columns.Count; i++)
        {
            ColumnRecord column = reading.Columns[i];
            string values =
                samples is not null && i < samples.Values.Count && samples.Values[i].Count > 0
                    ? $"# values: {string.Join("  ", samples.Values[i])}\n"
                    : "";
            ColumnEntry? guess = samples?.Guesses.SelectMany(g => g.Entries).FirstOrDefault(e => e.Header == column.Header);
            if (column.Channel is not null)
            {
                AppendKnown(text, column, values);
            }
            else if (guess is not null)
            {
                text.Append('\n').Append(values).Append("[[column]]                       # looks like this; check it\n");
                text.Append(CultureInfo.InvariantCulture, $"header = {Quoted(column.Header)}\nis = \"{guess.Channel}\"\n");
                text.Append(guess.Motor is null ? "" : $"motor = {Quoted(guess.Motor)}\n");
            }
            else if (samples is { HasHeader: false })
            {
                text.Append('\n').Append(values).Append("[[column]]                       # not known: what is it?\n");
                text.Append(CultureInfo.InvariantCulture, $"header = {Quoted(column.Header)}\nis = \"ignore\"\n");
            }
            else if (others++ < MostOthers)
            {
                text.Append('\n')
                    .Append(values)
                    .Append(CultureInfo.InvariantCulture, $"# [[column]]\n# header = {Quoted(column.Header)}\n# is = \"ignore\"\n");
            }
        }

        return text.ToString();
    }

    /// <summary>All keys that are read and written, each with its section.</summary>
    internal static IReadOnlySet<string> Keys { get; } =
        new HashSet<string>(StringComparer.Ordinal)
        {
            "rows_per_second",
            "column.header",
            "column.is",
            "column.motor",
            "column.unit",
            "column.scale",
        };

    /// <summary>This columns file as text.</summary>
    public string ToText()
    {
        var text = new StringBuilder("# What the columns of the recorders of this job are.\n");
        if (RowsPerSecond is double rate)
        {
            text.Append(CultureInfo.InvariantCulture, $"rows_per_second = {rate:R}\n");
        }

        foreach (ColumnEntry column in Columns)
        {
            text.Append(CultureInfo.InvariantCulture, $"\n[[column]]\nheader = {Quoted(column.Header)}\nis = {Quoted(column.Channel)}\n");
            text.Append(column.Motor is null ? "" : $"motor = {Quoted(column.Motor)}\n");
            text.Append(column.Unit is null ? "" : $"unit = {Quoted(column.Unit)}\n");
            if (column.Scale != 1)
            {
                text.Append(CultureInfo.InvariantCulture, $"scale = {column.Scale:R}\n");
            }
        }

        return text.ToString();
    }

    private static void AppendKnown(StringBuilder text, ColumnRecord column, string values)
    {
        (string word, string? motor) = EntryChannels.OfShown(column.Channel!);
        text.Append('\n').Append(values).Append("[[column]]\n");
        text.Append(CultureInfo.InvariantCulture, $"header = {Quoted(column.Header)}\nis = \"{word}\"\n");
        if (motor is not null)
        {
            text.Append(CultureInfo.InvariantCulture, $"motor = {Quoted(motor)}\n");
        }

        if (column.Unit is not null && UnitTable.Find(column.Unit).Count > 0)
        {
            text.Append(CultureInfo.InvariantCulture, $"unit = {Quoted(column.Unit)}\n");
        }
    }

    private static string Quoted(string text) => "\"" + string.Concat(text.Select(Escaped)) + "\"";

    private static string Escaped(char c) =>
        c is '"' or '\\' ? "\\" + c
        : char.IsControl(c) ? string.Create(CultureInfo.InvariantCulture, $"\\u{(int)c:x4}")
        : c.ToString();

    private static ColumnEntry Entry(TomlSection section)
    {
        string header =
            section.Text("header")
            ?? throw section.Fault(null, "a [[column]] has no header", "Add header = \"...\" as it stands in the log.");
        string channel =
            section.Text("is")
            ?? throw section.Fault(
                null,
                $"column '{CellText.Cut(header)}' does not say what it is",
                "Add is = \"acc_x\" or another of: " + EntryChannels.All + "."
            );
        double scale = section.Number("scale", -1e12, 1e12) ?? 1;
        if (Math.Abs(scale) < 1e-12)
        {
            throw section.Fault("scale", "'scale' is 0 or next to it", "Write the factor that the numbers are to be multiplied by.");
        }

        ColumnEntry entry = new(header, channel, section.Text("motor"), section.Text("unit"), scale, section.Line);
        string? unknown = section.Unasked([]).FirstOrDefault();
        return unknown is null ? entry : throw section.Fault(null, unknown, "A [[column]] has header, is, motor, unit and scale.");
    }
}

/// <summary>One column of a columns file.</summary>
/// <param name="Header">Header as written in the log.</param>
/// <param name="Channel">What it holds: time, acc_x, rate_x, rpm, command, current, voltage, motor_temp, esc_temp, battery, height,
/// ambient, motor_name, imu_number or ignore.</param>
/// <param name="Motor">Motor it belongs to; null where the channel has none.</param>
/// <param name="Unit">Unit in the log; null to use that of the header or find it.</param>
/// <param name="Scale">Factor applied to the values before the unit, finite and not 0; 1 for none.</param>
/// <param name="Line">Line in the columns file, for messages; 0 when made in memory.</param>
public sealed record ColumnEntry(string Header, string Channel, string? Motor, string? Unit, double Scale = 1, int Line = 0);
