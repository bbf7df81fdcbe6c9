using System.Buffers;
using System.Globalization;
using System.Text.RegularExpressions;
using Tomlyn;
using Tomlyn.Parsing;
using Tomlyn.Syntax;
using VibeCheck.Core;

namespace VibeCheck.Logs.Inputs;

/// <summary>A TOML file that keeps the position of every value, so that a fault can give line and column.</summary>
internal sealed partial class TomlSheet
{
    // A job with a hundred flights takes 20 kB.
    private const int MostBytes = 1 << 20;

    // places_mm is a list of lists: 2. Deeper nesting is not read, because a recursive parser would run out of stack.
    private const int DeepestNesting = 16;

    private static readonly TomlSerializerOptions Options = new() { MaxDepth = DeepestNesting };

    private TomlSheet(string path, DocumentSyntax document)
    {
        Path = path;
        Root = new TomlSection(this, "", 1, 1, document.KeyValues);
        Sections =
        [
            .. document.Tables.Select(t => new TomlSection(
                this,
                KeyText(t.Name!),
                t.Span.Start.Line + 1,
                t.Span.Start.Column + 1,
                t.Items,
                t is TableArraySyntax
            )),
        ];
    }

    /// <summary>Path as the user gave it.</summary>
    internal string Path { get; }

    /// <summary>Keys above the first section.</summary>
    internal TomlSection Root { get; }

    /// <summary>Sections in the order of the file.</summary>
    internal IReadOnlyList<TomlSection> Sections { get; }

    /// <summary>Reads and parses a file.</summary>
    /// <exception cref="InputFaultException">The file is missing, unreadable, or not TOML.</exception>
    internal static TomlSheet Read(string path) => ReadText(path, HandWrittenFile.Read(path, MostBytes));

    /// <summary>Parses a text.</summary>
    /// <param name="path">Name to give in faults.</param>
    /// <param name="text">The text.</param>
    /// <exception cref="InputFaultException">It is not TOML.</exception>
    internal static TomlSheet ReadText(string path, string text) => new(path, Document(text, path));

    /// <summary>The syntax tree of a text, with comments and places.</summary>
    /// <exception cref="InputFaultException">It is not TOML.</exception>
    internal static DocumentSyntax Document(string text, string path = "")
    {
        DocumentSyntax document = Parse(path, text);
        if (document.HasErrors)
        {
            DiagnosticMessage first = document.Diagnostics.First(d => d.Kind == DiagnosticMessageKind.Error);
            throw CommaFault(path, text)
                ?? new InputFaultException(
                    new(
                        path,
                        first.Span.Start.Line + 1,
                        first.Span.Start.Column + 1,
                        Cut(first.Message.TrimEnd('.')),
                        "Write key = value, text in \"quotes\", numbers with a point."
                    )
                );
        }

        return document;
    }

    /// <summary>The one section of that name, or null.</summary>
    /// <exception cref="InputFaultException">There are several.</exception>
    internal TomlSection? Section(string name)
    {
        TomlSection[] all = [.. Sections.Where(s => s.Name == name)];
        return all.Length < 2
            ? all.FirstOrDefault()
            : throw all[1]
                .Fault(
                    null,
                    string.Create(CultureInfo.InvariantCulture, $"[{name}] is here a second time, first on line {all[0].Line}"),
                    "Keep one of them."
                );
    }

    /// <summary>Keys and sections that are unknown to the tool, each with its line and the word that was probably meant.</summary>
    /// <param name="knownSections">Known sections.</param>
    internal IEnumerable<string> Unasked(IReadOnlyCollection<string> knownSections) =>
        Root.Unasked(knownSections)
            .Concat(
                Sections.SelectMany(s =>
                    knownSections.Contains(s.Name)
                        ? s.Unasked([])
                        :
                        [
                            string.Create(
                                CultureInfo.InvariantCulture,
                                $"line {s.Line}: section [{Cut(s.Name)}] means nothing here and is not "
                                    + $"used{Suggestion.For(s.Name, knownSections)}"
                            ),
                        ]
                )
            );

    internal static string KeyText(KeySyntax key) => string.Join('.', key.DotKeys.Select(d => PartText(d.Key)).Prepend(PartText(key.Key)));

    /// <summary>Text from the file, short enough for a message and on one line.</summary>
    internal static string Cut(string text)
    {
        string line = text.ReplaceLineEndings(" ");
        return line.Length <= 120 ? line : line[..120] + "...";
    }

    private static DocumentSyntax Parse(string path, string text)
    {
        try
        {
            return SyntaxParser.Parse(text, Options, path, validate: true);
        }
        catch (TomlException e)
        {
            (int Line, int Column)? deep = e.Line is null ? DeepPlace(text) : null;
            throw new InputFaultException(
                new(
                    path,
                    e.Line ?? deep?.Line,
                    e.Column ?? deep?.Column,
                    deep is null
                        ? Cut(e.Message.TrimEnd('.'))
                        : string.Create(CultureInfo.InvariantCulture, $"lists are nested more than {DeepestNesting} deep"),
                    "Write key = value, text in \"quotes\", numbers with a point."
                )
            );
        }
    }

    /// <summary>The first place where brackets are nested deeper than is read, lines and columns from 1; null where there is
    /// none.</summary>
    private static (int Line, int Column)? DeepPlace(string text)
    {
        int depth = 0,
            line = 1,
            lineStart = 0;
        for (int i = 0; i < text.Length; i++)
        {
            depth += text[i] switch
            {
                '[' or '{' => 1,
                ']' or '}' => -1,
                _ => 0,
            };
            if (depth > DeepestNesting)
            {
                return (line, i - lineStart + 1);
            }

            if (text[i] == '\n')
            {
                (line, lineStart) = (line + 1, i + 1);
            }
        }

        return null;
    }

    /// <summary>A number with a decimal comma is the most frequent syntax error in TOML; the fault says what to write instead.</summary>
    private static InputFaultException? CommaFault(string path, string text)
    {
        string[] lines = text.Split('\n');
        for (int i = 0; i < lines.Length; i++)
        {
            if (CommaNumber().Match(lines[i]) is { Success: true } match)
            {
                Group number = match.Groups["number"];
                return new(
                    new InputFault(
                        path,
                        i + 1,
                        number.Index + 1,
                        $"'{Cut(number.Value)}' has a decimal comma, which TOML does not know",
                        $"Write {Cut(number.Value.Replace(',', '.'))}, with a point."
                    )
                );
            }
        }

        return null;
    }

    [GeneratedRegex(@"^\s*[\w.\-""']+\s*=\s*(?<number>[+-]?\d+,\d+)\s*(#.*)?$", RegexOptions.NonBacktracking)]
    private static partial Regex CommaNumber();

    private static string PartText(SyntaxNode? part) =>
        part switch
        {
            StringValueSyntax s => s.Value ?? "",
            _ => part?.ToString()?.Trim() ?? "",
        };
}

/// <summary>One section of a TOML file. Its keys are read by name; it remembers which were read.</summary>
internal sealed class TomlSection
{
    // 0x1f, 0o17 and 0b11 are valid TOML, but nobody measures in them.
    private static readonly SearchValues<char> OtherBases = SearchValues.Create("xob");

    private readonly TomlSheet _sheet;
    private readonly Dictionary<string, KeyValueSyntax> _items = [];
    private readonly HashSet<string> _asked = [];

    internal TomlSection(TomlSheet sheet, string name, int line, int column, IEnumerable<KeyValueSyntax> items, bool repeated = false)
    {
        _sheet = sheet;
        (Name, Line, Column, IsRepeated) = (name, line, column, repeated);
        foreach (KeyValueSyntax item in items)
        {
            _items[TomlSheet.KeyText(item.Key!)] = item;
        }
    }

    /// <summary>Name in brackets; empty for the keys above the first section.</summary>
    internal string Name { get; }

    /// <summary>Line of the header, from 1.</summary>
    internal int Line { get; }

    /// <summary>Column of the header, from 1.</summary>
    internal int Column { get; }

    /// <summary>Whether it was written in double brackets, as one of several.</summary>
    internal bool IsRepeated { get; }

    /// <summary>Keys that were never read, each with its line and the key or section that was probably meant.</summary>
    internal IEnumerable<string> Unasked(IReadOnlyCollection<string> knownSections) =>
        _items
            .Where(i => !_asked.Contains(i.Key))
            .Select(i =>
                $"line {(i.Value.Span.Start.Line + 1).ToString(CultureInfo.InvariantCulture)}: '{TomlSheet.Cut(i.Key)}' "
                + "means nothing here and is not used"
                + (
                    knownSections.Contains(i.Key.Split('.')[0])
                        ? $"; write it below a line [{i.Key.Split('.')[0]}]"
                        : Suggestion.For(i.Key, _asked.Where(k => !_items.ContainsKey(k)))
                )
            );

    /// <summary>Whether the section has the key.</summary>
    internal bool Has(string key) => _items.ContainsKey(key);

    /// <summary>A text, or null where the key is missing.</summary>
    internal string? Text(string key) =>
        Value(key) switch
        {
            null => null,
            StringValueSyntax s => s.Value,
            _ => throw Fault(key, $"'{key}' is not a text", "Write it in \"quotes\"."),
        };

    /// <summary>One text or a list of texts; empty where the key is missing.</summary>
    internal IReadOnlyList<string> Texts(string key) =>
        Value(key) switch
        {
            null => [],
            StringValueSyntax s => [s.Value ?? ""],
            ArraySyntax list =>
            [
                .. list.Items.Select(i =>
                    i.Value is StringValueSyntax { Value: string text }
                        ? text
                        : throw Fault(
                            key,
                            $"'{key}' holds something that is not a text",
                            $"Write it as {key} = [\"one.csv\", \"two.csv\"]."
                        )
                ),
            ],
            _ => throw Fault(key, $"'{key}' is not a text", "Write it in \"quotes\"."),
        };

    /// <summary>A number within its range, or null where the key is missing.</summary>
    /// <param name="key">The key.</param>
    /// <param name="lowest">Lowest value that makes sense.</param>
    /// <param name="highest">Highest value that makes sense.</param>
    /// <param name="unit">Unit with a blank before it, such as " mm"; empty for none.</param>
    /// <exception cref="InputFaultException">It is not a number, or out of its range.</exception>
    internal double? Number(string key, double lowest, double highest, string unit = "") =>
        Value(key) is ValueSyntax v ? InRange(key, NumberOf(v, key), lowest, highest, unit) : null;

    /// <summary>A whole number within its range, or null where the key is missing.</summary>
    /// <inheritdoc cref="Number"/>
    internal int? Whole(string key, int lowest, int highest) =>
        Value(key) is not ValueSyntax v ? null
        : NumberOf(v, key) is double n && n == Math.Floor(n) ? (int)InRange(key, n, lowest, highest, "")
        : throw Fault(key, $"'{key}' is not a whole number", "Write it without a fraction.");

    /// <summary>true or false, or null where the key is missing.</summary>
    internal bool? Flag(string key) =>
        Value(key) switch
        {
            null => null,
            BooleanValueSyntax flag => flag.Value,
            _ => throw Fault(key, $"'{key}' is neither true nor false", $"Write {key} = true, or leave it out."),
        };

    /// <summary>A list of numbers, each within its range, or null where the key is missing.</summary>
    /// <param name="key">The key.</param>
    /// <param name="lowest">Lowest value that makes sense.</param>
    /// <param name="highest">Highest value that makes sense.</param>
    /// <param name="most">Most items that are read.</param>
    /// <param name="unit">Unit with a blank before it; empty for none.</param>
    internal IReadOnlyList<double>? Numbers(string key, double lowest, double highest, int most, string unit = "") =>
        Value(key) switch
        {
            null => null,
            ArraySyntax list => [.. Items(list, key, most).Select(i => InRange(key, NumberOf(i.Value!, key), lowest, highest, unit))],
            _ => throw Fault(key, $"'{key}' is not a list of numbers", $"Write it as {key} = [0.1, 0.2]."),
        };

    /// <summary>A list of pairs of numbers, each within its range, or null where the key is missing.</summary>
    /// <inheritdoc cref="Numbers"/>
    internal IReadOnlyList<(double First, double Second)>? Pairs(string key, double lowest, double highest, int most, string unit = "") =>
        Value(key) switch
        {
            null => null,
            ArraySyntax list =>
            [
                .. Items(list, key, most)
                    .Select(i =>
                        i.Value is ArraySyntax { Items.ChildrenCount: 2 } pair
                            ? (
                                InRange(key, NumberOf(pair.Items.First().Value!, key), lowest, highest, unit),
                                InRange(key, NumberOf(pair.Items.Last().Value!, key), lowest, highest, unit)
                            )
                            : throw Fault(
                                key,
                                $"'{key}' holds something that is not a pair",
                                $"Write it as {key} = [[8, 9.5], [-8, 9.5]], decimals with a point."
                            )
                    ),
            ],
            _ => throw Fault(key, $"'{key}' is not a list of pairs", $"Write it as {key} = [[8, 9.5], [-8, 9.5]]."),
        };

    /// <summary>Line of a key, or of the section's header where the key is missing, from 1.</summary>
    internal int LineOf(string key) => _items.TryGetValue(key, out KeyValueSyntax? item) ? item.Span.Start.Line + 1 : Line;

    /// <summary>A fault at a key, or at the section's header where the key is missing.</summary>
    internal InputFaultException Fault(string? key, string problem, string remedy)
    {
        (int line, int column) =
            key is not null && _items.TryGetValue(key, out KeyValueSyntax? item)
                ? (item.Span.Start.Line + 1, item.Span.Start.Column + 1)
                : (Line, Column);
        return new(new(_sheet.Path, line, column, problem, remedy));
    }

    private ValueSyntax? Value(string key)
    {
        _asked.Add(key);
        return _items.TryGetValue(key, out KeyValueSyntax? item) ? item.Value : null;
    }

    private SyntaxList<ArrayItemSyntax> Items(ArraySyntax list, string key, int most) =>
        list.Items.ChildrenCount <= most
            ? list.Items
            : throw Fault(
                key,
                string.Create(CultureInfo.InvariantCulture, $"'{key}' lists {list.Items.ChildrenCount} items"),
                string.Create(CultureInfo.InvariantCulture, $"Give {most} or fewer.")
            );

    private double InRange(string key, double value, double lowest, double highest, string unit) =>
        value >= lowest && value <= highest ? value
        : value <= 0 && lowest > 0
            ? throw Fault(
                key,
                string.Create(CultureInfo.InvariantCulture, $"'{key}' is {value}, not above 0"),
                "Give a number above 0, or leave the key out."
            )
        : throw Fault(
            key,
            string.Create(CultureInfo.InvariantCulture, $"'{key}' is {value}{unit}, which is not between {lowest} and {highest}{unit}"),
            "Check the decimal mark and the unit of the key."
        );

    private double NumberOf(ValueSyntax value, string key)
    {
        string text = TomlSheet.Cut(value.ToString()?.Trim() ?? "");
        double number = value switch
        {
            FloatValueSyntax f => f.Value,
            IntegerValueSyntax i when !text.AsSpan().ContainsAny(OtherBases) => i.Value,
            StringValueSyntax typed => TypedNumber.Read(typed.Value, out double read) switch
            {
                TypedNumberForm.Number => read,
                TypedNumberForm.SeveralMarks => throw Fault(
                    key,
                    $"'{text}' under '{key}' has more than one decimal mark",
                    "Write it with one point, without marks between thousands."
                ),
                _ => double.NaN,
            },
            _ => double.NaN,
        };
        return double.IsFinite(number)
            ? number
            : throw Fault(key, $"'{text}' under '{key}' is not a number", "Write a number with a decimal point and no unit.");
    }
}
