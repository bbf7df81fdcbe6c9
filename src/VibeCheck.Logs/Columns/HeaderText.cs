using System.Text;

namespace VibeCheck.Logs.Columns;

/// <summary>A header split into parts: its words in lower case, with numbers separated, and the text that may be a unit.</summary>
internal sealed record HeaderText(IReadOnlyList<string> Words, IReadOnlyList<string> UnitCandidates)
{
    private static readonly HashSet<string> Vocabulary =
    [
        "acc",
        "accel",
        "accelerometer",
        "acceleration",
        "accl",
        "gyro",
        "gyr",
        "gyroscope",
        "rate",
        "omega",
        "angular",
        "velocity",
        "vel",
        "motor",
        "mot",
        "mtr",
        "esc",
        "rotor",
        "prop",
        "propeller",
        "engine",
        "eng",
        "rpm",
        "erpm",
        "krpm",
        "speed",
        "temp",
        "temperature",
        "tmp",
        "current",
        "curr",
        "cur",
        "voltage",
        "volt",
        "volts",
        "vbat",
        "vbatt",
        "battery",
        "batt",
        "bat",
        "pack",
        "cmd",
        "command",
        "throttle",
        "thr",
        "pwm",
        "output",
        "out",
        "duty",
        "time",
        "timestamp",
        "stamp",
        "ts",
        "imu",
        "roll",
        "pitch",
        "yaw",
        "pos",
        "position",
        "height",
        "altitude",
        "alt",
        "ambient",
        "air",
        "x",
        "y",
        "z",
        "raw",
        "filt",
        "filtered",
        "unfilt",
        "unfiltered",
        "adc",
        "upper",
        "lower",
        "front",
        "rear",
        "back",
        "left",
        "right",
        "top",
        "bottom",
        "id",
        "index",
        "number",
        "sensor",
        "setpoint",
        "local",
        "boot",
        "since",
        "mos",
        "fet",
        "winding",
        "coil",
        "ms",
        "us",
        "ns",
        "sec",
        "date",
        "utc",
        "elapsed",
        "amps",
        "freq",
        "frequency",
        "hz",
        "dps",
        "radps",
        "mps2",
        "bus",
        "m",
        "log",
        "system",
        "sys",
        "value",
        "data",
        "level",
        "baro",
        "telemetry",
        "tlm",
        "fl",
        "fr",
        "rl",
        "rr",
        "bl",
        "br",
    ];

    /// <summary>Ways to read a header, best first: what may be the unit is removed in brackets, at the end, or not at all.</summary>
    internal static IReadOnlyList<HeaderText> WaysToRead(string header)
    {
        var brackets = new List<string>();
        string name = TakeBrackets(header.Trim().Trim('"', '\'').Trim(), brackets).Trim();
        var ways = new List<HeaderText>();
        AddMarked(name, ways);
        AddTails(name, ways);
        ways.Add(new(SplitWords(name), []));
        return brackets.Count == 0 ? ways : [.. ways.Select(w => new HeaderText(w.Words, [.. brackets, .. w.UnitCandidates]))];
    }

    /// <summary>Removes brackets with a unit from the text; other text in brackets stays as a word.</summary>
    private static string TakeBrackets(string text, List<string> units)
    {
        for (int guard = 0; guard < 8; guard++)
        {
            int open = text.IndexOfAny(['[', '(', '{', '<']);
            if (open < 0)
            {
                break;
            }

            char closing = text[open] switch
            {
                '[' => ']',
                '(' => ')',
                '{' => '}',
                _ => '>',
            };
            int close = text.IndexOf(closing, open);
            string inside = close < 0 ? text[(open + 1)..] : text[(open + 1)..close];
            string after = close < 0 ? "" : text[(close + 1)..];
            bool isUnit = UnitTable.Find(inside).Count > 0;
            if (isUnit)
            {
                units.Add(inside.Trim());
            }

            text = text[..open] + " " + (isUnit ? "" : inside) + " " + after;
        }

        return text;
    }

    private static void AddMarked(string name, List<HeaderText> ways)
    {
        foreach (string mark in (string[])[" / ", " in ", ", ", " - ", ": ", "/"])
        {
            int at = name.IndexOf(mark, StringComparison.Ordinal);
            if (at > 0 && UnitTable.Find(name[(at + mark.Length)..]).Count > 0)
            {
                ways.Add(new(SplitWords(name[..at]), [name[(at + mark.Length)..].Trim()]));
            }
        }
    }

    /// <summary>The last one to four parts of a name may be a unit, or a unit may be attached with a capital: timeMs, m1TempC.</summary>
    private static void AddTails(string name, List<HeaderText> ways)
    {
        string[] parts = name.Split(['_', ' ', '.', '-', ':', ',', '/'], StringSplitOptions.RemoveEmptyEntries);
        AddTails(parts, "", ways);
        if (parts.Length > 2 && parts[^1].Length == 1)
        {
            // The axis or index may follow the unit: accelerometer_m_s2[0].
            AddTails(parts[..^1], " " + parts[^1], ways);
        }

        int capital = name.Length - 1;
        while (capital > 0 && !char.IsUpper(name[capital]))
        {
            capital--;
        }

        if (
            capital > 0
            && (char.IsLower(name[capital - 1]) || char.IsAsciiDigit(name[capital - 1]))
            && UnitTable.Find(name[capital..]).Count > 0
        )
        {
            ways.Add(new(SplitWords(name[..capital]), [name[capital..]]));
        }
    }

    private static void AddTails(string[] parts, string behind, List<HeaderText> ways)
    {
        for (int count = Math.Min(4, parts.Length - 1); count >= 1; count--)
        {
            string[] tail = parts[^count..];
            List<string> units = [string.Concat(tail)];
            if (count > 1)
            {
                units.Add(tail[0] + "/" + string.Concat(tail[1..]));
                units.Add(string.Join("/", tail));
            }

            units.RemoveAll(u => UnitTable.Find(u).Count == 0);
            if (units.Count > 0)
            {
                ways.Add(new(SplitWords(string.Join(' ', parts[..^count]) + behind), units));
            }
        }
    }

    private static List<string> SplitWords(string text)
    {
        var words = new List<string>();
        var word = new StringBuilder();
        char before = ' ';
        foreach (char raw in text)
        {
            char c = Letters.Plain(raw);
            bool part = !char.IsAsciiLetterOrDigit(c) && !char.IsLetter(c);
            bool edge = (char.IsUpper(c) && char.IsLower(before)) || (char.IsAsciiDigit(c) != char.IsAsciiDigit(before));
            if ((part || edge) && word.Length > 0)
            {
                Add(words, word.ToString());
                word.Clear();
            }

            if (!part)
            {
                word.Append(char.ToLowerInvariant(c));
            }

            before = c;
        }

        if (word.Length > 0)
        {
            Add(words, word.ToString());
        }

        return words;
    }

    /// <summary>Adds a word, or the words of which it is composed: accx, motortemp, ax.</summary>
    private static void Add(List<string> words, string word)
    {
        if (word.Length == 2 && word[1] is 'x' or 'y' or 'z' && word[0] is 'a' or 'g' or 'w' or 'p')
        {
            words.Add(word[..1]);
            words.Add(word[1..]);
        }
        else if (Vocabulary.Contains(word) || word.Length is < 4 or > 30 || !TrySplit(word, 0, words))
        {
            words.Add(word);
        }
    }

    private static bool TrySplit(string word, int from, List<string> words)
    {
        if (from == word.Length)
        {
            return true;
        }

        int mark = words.Count;
        for (int length = word.Length - from; length >= 1; length--)
        {
            string head = word.Substring(from, length);
            if (Vocabulary.Contains(head) && (length > 1 || from == 0 || from + 1 == word.Length))
            {
                words.Add(head);
                if (TrySplit(word, from + length, words))
                {
                    return true;
                }

                words.RemoveRange(mark, words.Count - mark);
            }
        }

        return false;
    }
}
