using System.Globalization;
using VibeCheck.Core;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Logs.Surveys;

/// <summary>What still has to be asked about a reading that was typed.</summary>
public enum SideQuestion
{
    /// <summary>Nothing: the side is given.</summary>
    None,

    /// <summary>The surveyor does not know the side, and typed ?: a trial shim shows it.</summary>
    TrialShim,

    /// <summary>The reading has a minus sign, which does not say which side is low.</summary>
    Sign,
}

/// <summary>One reading as a surveyor typed it.</summary>
/// <param name="LowDeg">What the gauge shows, degrees, 0 or more; the lower one where it flickers.</param>
/// <param name="HighDeg">The higher one where it flickers, degrees; else the same.</param>
/// <param name="Side">The low side; null exactly where there is a question.</param>
/// <param name="Question">What to ask.</param>
/// <param name="Turned">Whether the gauge lay turned end for end.</param>
/// <param name="Knocked">Whether the arm was knocked before.</param>
/// <param name="Direction">Direction of the gauge where the answer itself gives it, as a
/// bull's-eye level does; null for the one asked about.</param>
public sealed record TypedReading(
    double LowDeg,
    double HighDeg,
    LowSide? Side,
    SideQuestion Question,
    bool Turned,
    bool Knocked,
    TiltDirection? Direction = null
);

/// <summary>Takes an answer to a question of the survey apart, such as <c>0,4 r; 0,5 r # warm</c>.</summary>
/// <remarks>A comma between digits is a decimal mark; any other comma separates readings, as a semicolon does. What could mean two things
/// is not guessed: the problem then says both.</remarks>
/// <param name="Readings">Readings in the order typed; empty where there is a problem.</param>
/// <param name="Note">What stands behind #; empty when nothing.</param>
/// <param name="Problem">Message for the surveyor; null where the answer can be used.</param>
public sealed record GaugeAnswer(IReadOnlyList<TypedReading> Readings, string Note, string? Problem)
{
    /// <summary>Reads an answer.</summary>
    /// <param name="text">As typed.</param>
    /// <param name="direction">Direction of the gauge that was asked about.</param>
    /// <param name="hub">Whether the frame is read at the hub, where nose and tail are sides.</param>
    public static GaugeAnswer Read(string text, TiltDirection direction, bool hub)
    {
        ArgumentNullException.ThrowIfNull(text);
        string[] noted = text.Split('#', 2, StringSplitOptions.TrimEntries);
        string note = noted.Length > 1 ? noted[1] : "";
        if (TwoMeanings(noted[0]) is string problem)
        {
            return new([], note, problem);
        }

        var readings = new List<TypedReading>();
        foreach (string part in Parts(noted[0]))
        {
            if (part.Contains('@', StringComparison.Ordinal))
            {
                (IReadOnlyList<TypedReading> both, string? odd) = BullsEye(part);
                if (odd is not null)
                {
                    return new([], note, odd);
                }

                readings.AddRange(both);
                continue;
            }

            (TypedReading? reading, string? wrong) = ReadOne(part, direction, hub);
            if (reading is null)
            {
                return new([], note, wrong);
            }

            readings.Add(reading);
        }

        return readings.Count == 0 ? new([], note, "Type what the gauge shows, such as 0.4 r.") : new(readings, note, null);
    }

    /// <summary>The side that a word names, or null where it names none.</summary>
    public static LowSide? SideOf(string word, TiltDirection direction, bool hub)
    {
        ArgumentNullException.ThrowIfNull(word);
        return (direction, word.Trim().ToLowerInvariant()) switch
        {
            (TiltDirection.Across, "r" or "right") => LowSide.Right,
            (TiltDirection.Across, "l" or "left") => LowSide.Left,
            (TiltDirection.Along, "o" or "out") => LowSide.Out,
            (TiltDirection.Along, "i" or "in") => LowSide.In,
            (TiltDirection.Along, "n" or "nose") when hub => LowSide.Out,
            (TiltDirection.Along, "t" or "tail") when hub => LowSide.In,
            _ => null,
        };
    }

    /// <summary>What may be typed for a side.</summary>
    public static string Sides(TiltDirection direction, bool hub) =>
        direction == TiltDirection.Across ? "r/l"
        : hub ? "nose/tail"
        : "o/i";

    /// <summary>"0, 5 r" may be one reading of 0.5 or two, of 0 and 5; ",5 r" 0.5, or 5 behind a stray comma.</summary>
    private static string? TwoMeanings(string text)
    {
        if (text.Length > 1 && text[0] == ',' && char.IsAsciiDigit(text[1]))
        {
            return $"'{text[..2]}' may be 0.{text[1]} or {text[1]}: type it with its zero, or without the comma.";
        }

        for (int comma = text.IndexOf(','); comma > 0; comma = text.IndexOf(',', comma + 1))
        {
            string whole = DigitsBefore(text, comma),
                fraction = DigitsAfter(text, comma);
            if (comma + 1 < text.Length && text[comma + 1] == ' ' && whole.Length > 0 && fraction.Trim('0').Length > 0)
            {
                return $"'{whole}, {fraction}' may be one reading of {whole}.{fraction} or two: type {whole}.{fraction}, or {whole}; "
                    + $"{fraction} for two.";
            }
        }

        return null;
    }

    private static string DigitsBefore(string text, int comma)
    {
        int from = comma;
        while (from > 0 && char.IsAsciiDigit(text[from - 1]))
        {
            from--;
        }

        // 0.4, 5 has its mark already.
        return from > 0 && text[from - 1] is '.' or ',' or '/' ? "" : text[from..comma];
    }

    private static string DigitsAfter(string text, int comma)
    {
        int from = comma + 1;
        while (from < text.Length && text[from] == ' ')
        {
            from++;
        }

        int to = from;
        while (to < text.Length && char.IsAsciiDigit(text[to]))
        {
            to++;
        }

        return to < text.Length && text[to] is '.' or ',' or '/' ? "" : text[from..to];
    }

    private static IEnumerable<string> Parts(string text)
    {
        int from = 0;
        for (int i = 0; i <= text.Length; i++)
        {
            bool amidDigits = i > 0 && i + 1 < text.Length && char.IsAsciiDigit(text[i - 1]) && char.IsAsciiDigit(text[i + 1]);
            if (i == text.Length || text[i] == ';' || (text[i] == ',' && !amidDigits))
            {
                string part = text[from..i].Trim();
                from = i + 1;
                if (part.Length > 0)
                {
                    yield return part;
                }
            }
        }
    }

    private static (TypedReading?, string? Problem) ReadOne(string text, TiltDirection direction, bool hub)
    {
        List<string> words =
        [
            .. text.ToLowerInvariant().Replace("°", "", StringComparison.Ordinal).Split(' ', StringSplitOptions.RemoveEmptyEntries),
        ];
        if (hub && direction == TiltDirection.Along && words.Count(w => w == "t") == 1 && words[^1] == "t")
        {
            return (null, "t may be tail or turned: type tail, or t first for a turned gauge, as t 0.3 nose.");
        }

        bool turned = words.Remove("t"),
            knocked = words.Remove("k");
        if (words.Count is 0 or > 2)
        {
            return (null, "Type an angle and a side, such as 0.4 r.");
        }

        // A side may stand right after the figure: 0.4r.
        if (words.Count == 1 && words[0].Length > 1 && (char.IsLetter(words[0][^1]) || words[0][^1] == '?'))
        {
            words = [words[0][..^1], words[0][^1..]];
        }

        (double[]? values, string? problem) = Angles(words[0]);
        if (values is null)
        {
            return (null, problem);
        }

        bool signed = values.Any(v => v < 0);
        double low = values.Select(Math.Abs).Min(),
            high = values.Select(Math.Abs).Max();
        string word = words.Count > 1 ? words[1] : "";
        SideQuestion question =
            signed ? SideQuestion.Sign
            : word == "?" ? SideQuestion.TrialShim
            : SideQuestion.None;
        LowSide? side =
            question != SideQuestion.None ? null
            : high == 0 && word is "" or "level" ? LowSide.Level
            : SideOf(word, direction, hub);
        return side is LowSide.Level && high > 0 || (side is null && question == SideQuestion.None)
            ? (null, $"Say which side is low: {Sides(direction, hub)}.")
            : (new(low, high, side, question, turned, knocked), null);
    }

    /// <summary>A bull's-eye level shows both directions at once: <c>0.3 @ 2</c> is a bubble at 0.3°, at 2 o'clock, where 12 is out (at the
    /// hub the nose) and 3 right. The bubble stands on the high side, so the low side is the one opposite.</summary>
    private static (IReadOnlyList<TypedReading> Both, string? Problem) BullsEye(string text)
    {
        string[] parts = text.Replace("°", "", StringComparison.Ordinal).Split('@', 3, StringSplitOptions.TrimEntries);
        List<string> words = [.. parts[0].ToLowerInvariant().Split(' ', StringSplitOptions.RemoveEmptyEntries)];
        bool knocked = words.Remove("k");
        string[] clock = parts[^1].Split(':', 3);
        if (
            parts.Length != 2
            || words.Count != 1
            || clock.Length > 2
            || TypedNumber.Read(words[0], out double deg) != TypedNumberForm.Number
            || !int.TryParse(clock[0], NumberStyles.None, CultureInfo.InvariantCulture, out int hour)
            || hour is < 1 or > 12
        )
        {
            return ([], "Type where the bubble stands: the angle, @ and the hour, such as 0.3 @ 2 or 0.3 @ 1:30 (12 is out, 3 is right).");
        }

        int minute = 0;
        if (clock.Length == 2 && (!int.TryParse(clock[1], NumberStyles.None, CultureInfo.InvariantCulture, out minute) || minute > 59))
        {
            return ([], $"'{clock[1]}' is not a minute: type the hour as 1:30.");
        }

        if (deg is < 0 or > SurveyFile.LargestDeg)
        {
            return (
                [],
                deg < 0 ? "The angle of a bull's-eye level has no sign: type 0.3 @ 2." : $"{words[0]}° is over 10°: a typing error?"
            );
        }

        (double right, double outwards) = Math.SinCos(Math.Tau * (hour + minute / 60.0) / 12);
        return (
            [
                One(TiltDirection.Across, deg * right, LowSide.Left, LowSide.Right),
                One(TiltDirection.Along, deg * outwards, LowSide.In, LowSide.Out),
            ],
            null
        );

        TypedReading One(TiltDirection direction, double highDeg, LowSide whenHigh, LowSide whenLow)
        {
            double size = Math.Round(Math.Abs(highDeg), 3);
            return new(
                size,
                size,
                size == 0 ? LowSide.Level
                    : highDeg > 0 ? whenHigh
                    : whenLow,
                SideQuestion.None,
                false,
                knocked,
                direction
            );
        }
    }

    private static (double[]? Values, string? Problem) Angles(string text)
    {
        string[] figures = text.Split('/', 4);
        if (figures.Length > 2)
        {
            return (null, "Type at most two values, as 0.4/0.5.");
        }

        double[] values = new double[figures.Length];
        for (int i = 0; i < figures.Length; i++)
        {
            string figure = figures[i];
            TypedNumberForm form = TypedNumber.Read(figure, out values[i]);
            if (form != TypedNumberForm.Number)
            {
                return (
                    null,
                    form == TypedNumberForm.SeveralMarks
                        ? $"'{figure}' has more than one decimal mark: put a semicolon between readings, each with its side, as 0.4 "
                            + $"r; 0.5 r."
                        : $"'{figure}' is not an angle: type what the gauge shows, such as 0.4."
                );
            }

            if (figure.Length > 1 && figure[0] == '0' && figure.All(char.IsAsciiDigit))
            {
                return (
                    null,
                    $"'{figure}' may be {figure[0]}.{figure[1..]} or {figure.TrimStart('0').PadLeft(1, '0')}: type it with its "
                        + $"decimal mark."
                );
            }

            if (Math.Abs(values[i]) > SurveyFile.LargestDeg)
            {
                return (null, $"{text}° is over 10°: a typing error?");
            }
        }

        return values.Length == 2 && values[0] * values[1] < 0
            ? (null, "It flickers about level: type 0, or the larger one with its side.")
            : (values, null);
    }
}
