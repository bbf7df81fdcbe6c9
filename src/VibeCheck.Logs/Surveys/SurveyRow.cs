using System.Globalization;
using VibeCheck.Core;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Surveys;

/// <summary>Where each column of a survey stands.</summary>
internal sealed class SurveyColumns
{
    private static readonly string[] Required = ["motor", "when", "where", "direction", "angle_deg", "low_side"];

    private static readonly string[] Known = [.. Required, "gauge", "knock", "note", "shim_left_deg", "shim_right_deg", "shims"];

    private readonly Dictionary<string, int> _places = [];

    internal int this[string name] => _places.GetValueOrDefault(name, -1);

    /// <summary>Columns that the file has.</summary>
    internal int Count { get; private init; }

    /// <summary>Columns that mean nothing, or stand there twice.</summary>
    internal IReadOnlyList<string> Remarks { get; private init; } = [];

    internal static SurveyColumns Of(string path, IReadOnlyList<string> headers)
    {
        string[] names = [.. headers.Select(h => h.Trim().TrimStart('\uFEFF').ToLowerInvariant())];
        var remarks = new List<string>();
        var columns = new SurveyColumns { Count = names.Length, Remarks = remarks };
        for (int i = 0; i < names.Length; i++)
        {
            bool isNew = columns._places.TryAdd(names[i], i);
            if (names[i].Length > 0 && (!isNew || !Known.Contains(names[i])))
            {
                remarks.Add(
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"header, column {i + 1}: '{TomlSheet.Cut(headers[i])}' {(isNew
                    ? "means nothing here and is not used" + Suggestion.For(names[i], Known.Except(names))
                    : "is there twice; the first one is used")}"
                    )
                );
            }
        }

        string[] missing = [.. Required.Where(r => columns[r] < 0)];
        string[] near =
        [
            .. missing.Select(m => Suggestion.Nearest(m, names.Except(Known)) is string n ? $" '{TomlSheet.Cut(n)}' looks like {m}." : ""),
        ];
        return missing.Length == 0
            ? columns
            : throw SurveyFile.Fault(
                path,
                1,
                null,
                $"the header has no column {string.Join(", ", missing)}",
                $"Make the first line {string.Join(',', Required)},note.{string.Concat(near)}"
            );
    }
}

/// <summary>One line of a survey on its way to becoming a reading. What is wrong with it is added to the faults, field by field.</summary>
internal sealed record SurveyRow(
    string Path,
    int Line,
    SurveyColumns Columns,
    IReadOnlyList<string> Fields,
    char Separator,
    List<InputFault> Faults
)
{
    internal bool IsBlank => Fields.All(string.IsNullOrWhiteSpace);

    /// <summary>The reading, or null where the line is at fault.</summary>
    internal GaugeReading? ToReading(Airframe airframe)
    {
        int before = Faults.Count;
        if (HasFieldsToSpare())
        {
            return null;
        }

        GaugePlace? where = Try(() => Word("where", ("frame", GaugePlace.Frame), ("mount", GaugePlace.Mount)));
        TiltDirection? direction = Try(() => Word("direction", ("across", TiltDirection.Across), ("along", TiltDirection.Along)));
        (double Low, double High)? angle = Try(() =>
            Angle("angle_deg") ?? throw Fault("angle_deg", "there is no angle", "Give what the gauge shows, such as 0.4 or 0.4/0.5.")
        );
        string? motor = Try(() => (Id: Motor(airframe, where ?? GaugePlace.Frame), 0))?.Id;
        SurveyTime? when = Try(() => Word("when", ("as-found", SurveyTime.AsFound), ("as-left", SurveyTime.AsLeft)));
        LowSide? side = direction is TiltDirection d && angle is (_, double high) ? Try(() => Side(d, motor is null, high)) : null;
        bool? turned = Try(() => WordOr("gauge", false, ("straight", false), ("turned", true)));
        Knock? knock = Try(() => WordOr("knock", Knock.Before, ("before", Knock.Before), ("after", Knock.After)));
        FittedShims? fitted = motor is null ? null : Try(() => (Shims: Fitted(motor, airframe), 0))?.Shims;
        return Faults.Count > before
            ? null
            : new GaugeReading
            {
                MotorId = motor,
                When = when!.Value,
                Where = where!.Value,
                Direction = direction!.Value,
                LowDeg = angle!.Value.Low,
                HighDeg = angle.Value.High,
                LowSide = side!.Value,
                Turned = turned!.Value,
                Knock = knock!.Value,
                Note = Field("note"),
                Fitted = fitted,
                Line = Line,
            };
    }

    /// <summary>A decimal comma in a file whose fields stand between commas makes two fields of one number, and moves all that
    /// follows.</summary>
    private bool HasFieldsToSpare()
    {
        int at = Columns["angle_deg"];
        if (
            Separator == ','
            && at + 1 < Fields.Count
            && Columns["shim_left_deg"] != at + 1
            && Columns["shim_right_deg"] != at + 1
            && IsDigits(Fields[at])
            && IsDigits(Fields[at + 1])
        )
        {
            Faults.Add(
                Fault(
                    "angle_deg",
                    $"'{Cut(Fields[at] + "," + Fields[at + 1])}' looks like a decimal comma, and commas part the fields here",
                    $"Write {Cut(Fields[at] + "." + Fields[at + 1])}, or put it in quotes."
                ).Fault
            );
            return true;
        }

        int spare = Enumerable.Range(0, Fields.Count).FirstOrDefault(i => i >= Columns.Count && !string.IsNullOrWhiteSpace(Fields[i]), -1);
        if (spare >= 0)
        {
            Faults.Add(
                new(
                    Path,
                    Line,
                    spare + 1,
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"'{Cut(Fields[spare])}' stands behind the last of {Columns.Count} columns"
                    ),
                    "Put a text that holds the separator in quotes, and write decimals with a point."
                )
            );
        }

        return spare >= 0;
    }

    private static bool IsDigits(string text) => text.Trim() is { Length: > 0 } t && t.All(char.IsAsciiDigit);

    private T? Try<T>(Func<T> read)
        where T : struct
    {
        try
        {
            return read();
        }
        catch (InputFaultException e)
        {
            Faults.AddRange(e.Faults);
            return null;
        }
    }

    private string Field(string column) => Columns[column] is int i and >= 0 && i < Fields.Count ? Fields[i].Trim() : "";

    private string? Motor(Airframe airframe, GaugePlace where)
    {
        string text = Field("motor");
        if (airframe.Find(text) is Motor motor)
        {
            return motor.Id;
        }

        bool hub =
            text is "*" || text.Equals("hub", StringComparison.OrdinalIgnoreCase) || text.Equals("all", StringComparison.OrdinalIgnoreCase);
        return hub && where == GaugePlace.Frame
            ? null
            : throw Fault(
                "motor",
                hub ? $"a mount reading needs a motor, not '{text}'"
                    : text.Length == 0 ? "there is no motor"
                    : $"there is no motor '{Cut(text)}'",
                $"Write one of {string.Join(", ", airframe.Motors.Select(m => m.Id))}"
                    + $"{(where == GaugePlace.Frame ? ", or * for the frame as a whole" : "")}."
            );
    }

    private (double Low, double High)? Angle(string column)
    {
        string text = Field(column).TrimEnd('°').Trim();
        if (text.Length == 0)
        {
            return null;
        }

        string[] parts = text.Split('/', 4);
        double[] values = [.. parts.Take(2).Select(part => Degrees(column, part.Trim().TrimEnd('°')))];
        return parts.Length <= 2
            ? (values.Min(), values.Max())
            : throw Fault(
                column,
                $"'{Cut(text)}' under '{column}' is more than two values",
                "Write at most two, as 0.4/0.5; more readings go on lines of their own."
            );
    }

    private double Degrees(string column, string text)
    {
        TypedNumberForm form = TypedNumber.Read(text, out double deg);
        if (form != TypedNumberForm.Number)
        {
            throw Fault(
                column,
                $"'{Cut(text)}' under '{column}' "
                    + $"{(form == TypedNumberForm.SeveralMarks ? "has more than one decimal mark" : "is not an angle in degrees")}",
                "Give what the gauge shows, such as 0.4 or 0.4/0.5."
            );
        }

        return deg < 0
                ? throw Fault(
                    column,
                    $"the angle {Cut(text)}° is below 0",
                    "Give what the gauge shows without a sign, and say which side is low."
                )
            : deg > SurveyFile.LargestDeg
                ? throw Fault(
                    column,
                    $"the angle {Cut(text)}° is over {SurveyFile.LargestDeg}°, most likely a typing error",
                    "Check the decimal point; a gauge stood on end has to be laid flat."
                )
            : deg;
    }

    private LowSide Side(TiltDirection direction, bool hub, double highDeg)
    {
        string text = Field("low_side").ToLowerInvariant();
        LowSide? trial = Trial(direction);
        if (trial is LowSide found && text is "" or "?")
        {
            return found;
        }

        LowSide side = text switch
        {
            "right" or "r" => LowSide.Right,
            "left" or "l" => LowSide.Left,
            "in" or "i" => LowSide.In,
            "out" or "o" => LowSide.Out,
            "nose" when hub => LowSide.Out,
            "tail" when hub => LowSide.In,
            "level" => LowSide.Level,
            "" when highDeg == 0 => LowSide.Level,
            "" => throw Fault(
                "low_side",
                "the low side is missing",
                "Write right, left, in, out or level; or give shim_left_deg and shim_right_deg."
            ),
            _ => throw Fault("low_side", $"'{Cut(text)}' under 'low_side' is not a side", "Write right, left, in, out or level."),
        };
        bool isAcross = side is LowSide.Right or LowSide.Left;
        return side == LowSide.Level && highDeg > 0
                ? throw Fault("low_side", $"the gauge shows {Field("angle_deg")}° but the side is level", "Say which side is low.")
            : side != LowSide.Level && isAcross != (direction == TiltDirection.Across)
                ? throw Fault(
                    "low_side",
                    $"a reading {(isAcross ? "along" : "across")} the arm cannot be {text} low",
                    isAcross ? "Along the arm the low side is in, out or level." : "Across the arm the low side is right, left or level."
                )
            : trial is LowSide shown && side != LowSide.Level && shown != side
                ? throw Fault(
                    "low_side",
                    $"the side is given as {text}, but the trial shim shows {shown.ToString().ToLowerInvariant()}",
                    "Try the shim again: lifting the low end makes the reading smaller."
                )
            : side;
    }

    private LowSide? Trial(TiltDirection direction)
    {
        (string left, string right) = ("shim_left_deg", "shim_right_deg");
        if (Angle(left) is not (double, double) l || Angle(right) is not (double, double) r)
        {
            return null;
        }

        return TrialShim.LowSideOf(direction, (l.Low + l.High) / 2, (r.Low + r.High) / 2)
            ?? throw Fault(
                left,
                "the trial shim shows the same on both ends, so the side is not found",
                "The surface is level, or the trial shim is too thin: try a thicker one."
            );
    }

    private FittedShims? Fitted(string motor, Airframe airframe)
    {
        string text = Field("shims");
        if (text.Length == 0)
        {
            return null;
        }

        (FittedShims? shims, string? notRead) = FittedShims.Read(
            motor,
            text,
            airframe.Find(motor) is Motor m ? airframe.BoltsOf(m) : airframe.Bolts
        );
        return shims
            ?? throw Fault(
                "shims",
                TomlSheet.Cut($"'{notRead}' is not a place with its shims"),
                "Write a side or a bolt with its shims in mm, such as right 0.2 or "
                    + $"{(airframe.Find(motor) is Motor named ? airframe.BoltsOf(named) : airframe.Bolts)!.Bolts[0].Place} 0.2+0.1, parted "
                    + $"by a semicolon; or none."
            );
    }

    private T Word<T>(string column, params ReadOnlySpan<(string Word, T Value)> words)
    {
        string text = Field(column).ToLowerInvariant().Replace(' ', '-').Replace('_', '-');
        foreach ((string word, T value) in words)
        {
            if (text == word)
            {
                return value;
            }
        }

        throw Fault(column, $"'{Cut(text)}' under '{column}' is not known", $"Write {words[0].Word} or {words[1].Word}.");
    }

    private T WordOr<T>(string column, T fallback, params ReadOnlySpan<(string Word, T Value)> words) =>
        Field(column).Length == 0 ? fallback : Word(column, words);

    private static string Cut(string text) => text.Length <= 40 ? text : text[..40] + "...";

    private InputFaultException Fault(string column, string problem, string remedy) =>
        SurveyFile.Fault(Path, Line, Columns[column] is int i and >= 0 ? i + 1 : null, problem, remedy);
}
