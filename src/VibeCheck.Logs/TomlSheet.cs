using System.Globalization;
using Tomlyn.Parsing;
using Tomlyn.Syntax;

namespace VibeCheck.Logs;

/// <summary>A TOML file read with the place of every value kept, so that a fault can be told with line and column.</summary>
internal sealed class TomlSheet
{
    private TomlSheet(string path, DocumentSyntax document)
    {
        Path = path;
        Root = new TomlSection(this, "", 1, 1, document.KeyValues);
        Sections = [.. document.Tables.Select(t => new TomlSection(this, KeyText(t.Name!), t.Span.Start.Line + 1, t.Span.Start.Column + 1, t.Items,
            t is TableArraySyntax))];
    }

    /// <summary>Path as the user gave it.</summary>
    internal string Path { get; }

    /// <summary>Keys above the first section.</summary>
    internal TomlSection Root { get; }

    /// <summary>Sections in the order of the file.</summary>
    internal IReadOnlyList<TomlSection> Sections { get; }

    /// <summary>Reads and parses a file.</summary>
    /// <exception cref="InputFaultException">The file is missing, unreadable, or not TOML.</exception>
    internal static TomlSheet Read(string path)
    {
        string text;
        try
        {
            text = File.ReadAllText(path);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new InputFaultException(new(path, null, null, e is FileNotFoundException or DirectoryNotFoundException
                ? "there is no such file" : $"the file cannot be read ({e.Message})", "Check the path."));
        }

        DocumentSyntax document = SyntaxParser.Parse(text, path, validate: true);
        if (document.HasErrors)
        {
            DiagnosticMessage first = document.Diagnostics.First(d => d.Kind == DiagnosticMessageKind.Error);
            throw new InputFaultException(new(path, first.Span.Start.Line + 1, first.Span.Start.Column + 1,
                first.Message.TrimEnd('.'), "Write key = value, text in \"quotes\", numbers with a point."));
        }

        return new(path, document);
    }

    /// <summary>The one section of that name, or null.</summary>
    internal TomlSection? Section(string name) => Sections.FirstOrDefault(s => s.Name == name);

    internal static string KeyText(KeySyntax key)
    {
        string text = PartText(key.Key);
        foreach (DottedKeyItemSyntax part in key.DotKeys)
        {
            text += "." + PartText(part.Key);
        }

        return text;
    }

    private static string PartText(SyntaxNode? part) => part switch
    {
        StringValueSyntax s => s.Value ?? "",
        _ => part?.ToString()?.Trim() ?? "",
    };
}

/// <summary>One section of a TOML file: its keys, read by name, each known to have been asked for.</summary>
internal sealed class TomlSection
{
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

    /// <summary>Keys that nobody asked for, each with its line.</summary>
    internal IEnumerable<string> Unasked => _items.Where(i => !_asked.Contains(i.Key))
        .Select(i => string.Create(CultureInfo.InvariantCulture, $"line {i.Value.Span.Start.Line + 1}: '{i.Key}' means nothing here and is not used"));

    /// <summary>Whether the key stands in this section.</summary>
    internal bool Has(string key) => _items.ContainsKey(key);

    /// <summary>A text, or null where the key is missing.</summary>
    internal string? Text(string key) => Value(key) switch
    {
        null => null,
        StringValueSyntax s => s.Value,
        _ => throw Fault(key, $"'{key}' is not a text", "Write it in \"quotes\"."),
    };

    /// <summary>One text or a list of texts; empty where the key is missing.</summary>
    internal IReadOnlyList<string> Texts(string key) => Value(key) switch
    {
        null => [],
        StringValueSyntax s => [s.Value ?? ""],
        ArraySyntax list => [.. list.Items.Select(i => i.Value is StringValueSyntax { Value: string text }
            ? text
            : throw Fault(key, $"'{key}' holds something that is not a text", $"Write it as {key} = [\"one.csv\", \"two.csv\"]."))],
        _ => throw Fault(key, $"'{key}' is not a text", "Write it in \"quotes\"."),
    };

    /// <summary>A finite number, or null where the key is missing.</summary>
    internal double? Number(string key) => Value(key) is ValueSyntax v ? NumberOf(v, key) : null;

    /// <summary>A whole number, or null where the key is missing.</summary>
    internal int? Whole(string key) => Number(key) is not double v ? null
        : v == Math.Floor(v) && Math.Abs(v) < 1e9 ? (int)v
        : throw Fault(key, $"'{key}' is not a whole number", "Write it without a fraction.");

    /// <summary>A list of finite numbers, or null where the key is missing.</summary>
    internal IReadOnlyList<double>? Numbers(string key) => Value(key) switch
    {
        null => null,
        ArraySyntax list => [.. list.Items.Select(i => NumberOf(i.Value!, key))],
        _ => throw Fault(key, $"'{key}' is not a list of numbers", $"Write it as {key} = [0.1, 0.2]."),
    };

    /// <summary>A list of pairs of finite numbers, or null where the key is missing.</summary>
    internal IReadOnlyList<(double First, double Second)>? Pairs(string key) => Value(key) switch
    {
        null => null,
        ArraySyntax list => [.. list.Items.Select(i => i.Value is ArraySyntax { Items.ChildrenCount: 2 } pair
            ? (NumberOf(pair.Items.First().Value!, key), NumberOf(pair.Items.Last().Value!, key))
            : throw Fault(key, $"'{key}' holds something that is not a pair", $"Write it as {key} = [[8, 9.5], [-8, 9.5]]."))],
        _ => throw Fault(key, $"'{key}' is not a list of pairs", $"Write it as {key} = [[8, 9.5], [-8, 9.5]]."),
    };

    /// <summary>A fault at a key, or at the section's header where the key is missing.</summary>
    internal InputFaultException Fault(string? key, string problem, string remedy)
    {
        (int line, int column) = key is not null && _items.TryGetValue(key, out KeyValueSyntax? item)
            ? (item.Span.Start.Line + 1, item.Span.Start.Column + 1)
            : (Line, Column);
        return new(new(_sheet.Path, line, column, problem, remedy));
    }

    private ValueSyntax? Value(string key)
    {
        _asked.Add(key);
        return _items.TryGetValue(key, out KeyValueSyntax? item) ? item.Value : null;
    }

    private double NumberOf(ValueSyntax value, string key)
    {
        double? number = value switch { FloatValueSyntax f => f.Value, IntegerValueSyntax i => i.Value, _ => null };
        return number is double n && double.IsFinite(n)
            ? n
            : throw Fault(key, $"'{value.ToString()?.Trim()}' under '{key}' is not a number", "Write a number with a decimal point and no unit.");
    }
}
