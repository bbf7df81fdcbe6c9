using System.Text.RegularExpressions;

namespace VibeCheck.FlightMaker.Pipeline;

/// <summary>Files typed by a user, with the usual mistakes of typing and of editors.</summary>
public static partial class TypedMutations
{
    private static readonly string[] s_values =
    [
        "",
        "0",
        "-1",
        "1e308",
        "-1e308",
        "1e400",
        "1e-320",
        "nan",
        "inf",
        "-inf",
        "0x1f",
        "0b1",
        "9223372036854775807",
        "99999999999999999999",
        "28,6",
        "1.234,5",
        "1_000",
        "true",
        "\"\"",
        "\"x\"",
        "\"21,5\"",
        "\"1,234.5\"",
        "\"NaN\"",
        "\"\\u0000\"",
        "\"\\u001b[31m\"",
        "'''x'''",
        "[]",
        "[[]]",
        "[1, \"x\"]",
        "[1e308, 1e308]",
        "[[1, 2]]",
        "[[1, 2], [1, 2]]",
        "{}",
        "{ a = 1 }",
        "2026-06-01",
        "1979-05-27T07:32:00Z",
        "\"",
        "[",
        "]",
        "=",
        "#",
        "\"../../x\"",
        "\"/\"",
        "\"\u202e\"",
        "\ud83d\ude01",
        "[[[[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]]]",
    ];

    private static readonly string[] s_cells =
    [
        "",
        "-",
        "*",
        "0",
        "-0.4",
        "0,4",
        "0.4/0.5",
        "0.4/0.5/0.6",
        "1e308",
        "1e400",
        "NaN",
        "Infinity",
        "0x1",
        "1.234,5",
        "99999",
        "°",
        "left",
        "LEFT",
        "out",
        "level",
        "M1",
        "m1",
        "M99",
        "as-left",
        "\"",
        "\"\"",
        "\"a",
        "a\"b",
        "\"a\"b",
        "\"0,4\"",
        ";",
        "\t",
        "#",
        "\0",
        "\u001b[31m",
        "\ufeff",
        "right 0,2; left 0,1",
        "none",
        "right 9",
        "right 0.2+",
        "+",
        "mount",
        "frame",
        "after",
        "turned",
        "?",
    ];

    /// <summary>Changes one key of a TOML file: gives it another value, repeats it, cuts it off or moves it.</summary>
    public static string Toml(string text, Random random)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(random);
        string[] lines = text.ReplaceLineEndings("\n").Split('\n');
        int[] keys = [.. Enumerable.Range(0, lines.Length).Where(i => KeyValue().IsMatch(lines[i]))];
        int at = keys[random.Next(keys.Length)];
        string key = lines[at].Split('=')[0].Trim();
        switch (random.Next(7))
        {
            case <= 3:
                lines[at] = $"{key} = {Pick(random, s_values)}";
                break;
            case 4:
                lines[at] = lines[at] + "\n" + lines[keys[random.Next(keys.Length)]];
                break;
            case 5:
                lines[at] = lines[at][..random.Next(lines[at].Length + 1)];
                break;
            default:
                int other = random.Next(lines.Length);
                (lines[at], lines[other]) = (lines[other], lines[at]);
                break;
        }

        return string.Join('\n', lines);
    }

    /// <summary>Changes one or two cells of a survey, or cuts off a line.</summary>
    public static string Survey(string text, Random random)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(random);
        string[] lines = text.ReplaceLineEndings("\n").Split('\n');
        int at = random.Next(lines.Length - 1);
        string[] cells = lines[at].Split(',');
        for (int n = random.Next(1, 3); n > 0; n--)
        {
            cells[random.Next(cells.Length)] = Pick(random, s_cells);
        }

        lines[at] = random.Next(10) == 0 ? lines[at][..random.Next(lines[at].Length + 1)] : string.Join(',', cells);
        return string.Join('\n', lines);
    }

    private static string Pick(Random random, string[] from) => from[random.Next(from.Length)];

    [GeneratedRegex(@"^\s*\w+\s*=")]
    private static partial Regex KeyValue();
}
