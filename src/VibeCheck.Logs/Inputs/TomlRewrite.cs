using Tomlyn.Syntax;

namespace VibeCheck.Logs.Inputs;

/// <summary>Changes values of a TOML file that a person may have written. Each value is changed in its own line. Comments, blank lines,
/// order and keys of other programs are kept.</summary>
/// <remarks>Sections are matched by the key that identifies them (id, imu, header), else by their position. A key or section that is
/// removed takes the comment on its own line with it; a section also takes the comments inside it. Where the result would not have the
/// wanted values, the new text is used as it is.</remarks>
public static class TomlRewrite
{
    private static readonly string[] s_names = ["id", "imu", "header"];

    /// <summary>The text to write.</summary>
    /// <param name="now">Current text of the file; empty where there is none.</param>
    /// <param name="wanted">The wanted text, as the tool writes it.</param>
    /// <param name="written">Keys that the tool reads and writes, with their section, such as <c>gauge.accuracy_deg</c>; all others are
    /// kept.</param>
    /// <param name="keep">Sections that already mean the same in another form, such as a bolt pattern given by its name.</param>
    public static string Of(string now, string wanted, IReadOnlySet<string> written, params IReadOnlyCollection<string> keep)
    {
        ArgumentNullException.ThrowIfNull(now);
        ArgumentNullException.ThrowIfNull(wanted);
        if (string.IsNullOrWhiteSpace(now))
        {
            return wanted;
        }

        try
        {
            string lines = now.ReplaceLineEndings("\n");
            List<Part> old = Part.Of(lines.EndsWith('\n') ? lines : lines + "\n"),
                shall = Part.Of(wanted);
            string text = Join(old, shall, written, keep);
            return Says(text, shall, written, keep)
                ? (now.Contains("\r\n", StringComparison.Ordinal) ? text.ReplaceLineEndings("\r\n") : text)
                : wanted;
        }
        catch (InputFaultException)
        {
            // The present text is not TOML, so nothing can be recognised and kept.
            return wanted;
        }
    }

    private static string Join(List<Part> old, List<Part> shall, IReadOnlySet<string> written, IReadOnlyCollection<string> keep)
    {
        var found = shall.Select(s => (Shall: s, Now: old.Find(o => o.Identity == s.Identity))).ToList();
        HashSet<Part> used = [.. found.Select(f => f.Now).OfType<Part>()];

        // Parts that remain keep their order; new parts are placed after the part that they follow.
        List<(Part? Now, Part? Shall)> order =
        [
            .. old.Where(o => used.Contains(o) || keep.Contains(o.Name) || !o.IsOf(written))
                .Select(o => ((Part?)o, (Part?)found.Find(f => f.Now == o).Shall)),
        ];
        for (int i = 0; i < found.Count; i++)
        {
            if (found[i].Now is null && !keep.Contains(found[i].Shall.Name))
            {
                int at = i == 0 ? -1 : order.FindIndex(o => o.Shall == found[i - 1].Shall);
                order.Insert(at + 1, (null, found[i].Shall));
            }
        }

        return string.Concat(
            order.Select(
                (o, i) =>
                    o.Now is null ? (i > 0 ? "\n" : "") + o.Shall!.Text.Trim('\n') + "\n"
                    : o.Shall is null || keep.Contains(o.Now.Name) ? o.Now.Text
                    : o.Now.With(o.Shall, written)
            )
        );
    }

    /// <summary>Whether a text has the wanted values, section by section and in the same order.</summary>
    private static bool Says(string text, List<Part> shall, IReadOnlySet<string> written, IReadOnlyCollection<string> keep)
    {
        static string Content(Part p, IReadOnlySet<string> written) =>
            p.Name
            + "\n"
            + string.Join(
                '\n',
                p.Items.Where(i => written.Contains(p.Full(i.Key))).Select(i => $"{i.Key}={i.Said}").Order(StringComparer.Ordinal)
            );
        string[] Contents(IEnumerable<Part> parts) =>
            [
                .. parts
                    .Where(p => !keep.Contains(p.Name) && (p.Name.Length == 0 || p.IsOf(written)))
                    .OrderBy(p => p.Name.Split('.')[0], StringComparer.Ordinal)
                    .Select(p => Content(p, written)),
            ];
        return Contents(Part.Of(text)).SequenceEqual(Contents(shall));
    }

    /// <summary>The keys above the first section, or one section, with the lines that belong to it.</summary>
    private sealed record Part(string Name, string Identity, string Text, int From, IReadOnlyList<Item> Items)
    {
        /// <summary>Whether the tool writes sections of this kind.</summary>
        internal bool IsOf(IReadOnlySet<string> written) => Items.Any(i => written.Contains(Full(i.Key)));

        /// <summary>A key with its section.</summary>
        internal string Full(string key) => Name.Length == 0 ? key : $"{Name}.{key}";

        internal static List<Part> Of(string text)
        {
            DocumentSyntax document = TomlSheet.Document(text);
            List<(string Name, int Start, IEnumerable<KeyValueSyntax> Items, bool Repeated)> heads =
            [
                ("", 0, document.KeyValues, false),
                .. document.Tables.Select(t =>
                    (
                        TomlSheet.KeyText(t.Name!),
                        LineStart(text, t.OpenBracket!.Span.Start.Offset),
                        t.Items.AsEnumerable(),
                        t is TableArraySyntax
                    )
                ),
            ];
            var parts = new List<Part>();
            string above = "";
            int start = 0;
            for (int i = 0; i < heads.Count; i++)
            {
                (string name, _, IEnumerable<KeyValueSyntax> items, bool repeated) = heads[i];
                int end = i + 1 < heads.Count ? WithComments(text, heads[i + 1].Start) : text.Length;
                Item[] all = [.. items.Select(k => Item.Of(text, k, start))];
                string by = all.FirstOrDefault(k => s_names.Contains(k.Key))?.Said ?? "";

                // A section that belongs to one of several sections, such as [motor.bolts], is identified by that section.
                string identity =
                    repeated && by.Length > 0 ? by
                    : name.Contains('.') && !repeated ? $"{above}/{name}"
                    : name;
                identity += string.Concat(Enumerable.Repeat("'", parts.Count(p => p.Identity.TrimEnd('\'') == identity)));
                above = repeated ? identity : above;
                parts.Add(new(name, identity, text[start..end], start, all));
                start = end;
            }

            return parts;
        }

        /// <summary>The same lines with the values of another part.</summary>
        internal string With(Part shall, IReadOnlySet<string> written)
        {
            string text = Text;
            foreach (Item now in Items.Where(i => written.Contains(Full(i.Key))).OrderByDescending(i => i.LineFrom))
            {
                Item? then = shall.Items.FirstOrDefault(i => i.Key == now.Key);
                text =
                    then is null ? text.Remove(now.LineFrom, now.LineTo - now.LineFrom)
                    : then.Said == now.Said ? text
                    : string.Concat(text.AsSpan(0, now.ValueFrom), then.Value, text.AsSpan(now.ValueTo));
            }

            if (shall.Name != Name)
            {
                text = text.Replace($"[[{Name}]]", $"[[{shall.Name}]]", StringComparison.Ordinal);
            }

            foreach (Item added in shall.Items.Where(i => Items.All(n => n.Key != i.Key)))
            {
                text = Insert(text, $"{added.Key} = {added.Value}\n", added.Key);
            }

            return text;
        }

        /// <summary>A key replaces its own line where that line is present as a comment; else it is placed after the last line that is a
        /// key of the part.</summary>
        private static string Insert(string text, string line, string key)
        {
            string[] lines = text.Split('\n');
            int commented = Array.FindIndex(
                lines,
                l =>
                    l.StartsWith('#')
                    && l.TrimStart('#', ' ').StartsWith(key, StringComparison.Ordinal)
                    && l.TrimStart('#', ' ')[key.Length..].TrimStart().StartsWith('=')
            );
            if (commented >= 0)
            {
                lines[commented] = line.TrimEnd('\n');
                return string.Join('\n', lines);
            }

            int last = Array.FindLastIndex(lines, l => l.Trim().Length > 0 && !l.TrimStart().StartsWith('#'));
            return string.Join('\n', [.. lines[..(last + 1)], line.TrimEnd('\n'), .. lines[(last + 1)..]]);
        }

        private static int LineStart(string text, int at) => at == 0 ? 0 : text.LastIndexOf('\n', at - 1) + 1;

        /// <summary>Comments directly above a header belong to it, up to the blank line above them.</summary>
        private static int WithComments(string text, int header)
        {
            int start = header;
            while (start > 0)
            {
                int above = LineStart(text, start - 1);
                if (!text[above..start].TrimStart().StartsWith('#'))
                {
                    return start;
                }

                start = above;
            }

            return header;
        }
    }

    /// <summary>A key with its value; positions count from the start of its part.</summary>
    private sealed record Item(string Key, string Value, string Said, int ValueFrom, int ValueTo, int LineFrom, int LineTo)
    {
        internal static Item Of(string text, KeyValueSyntax item, int start)
        {
            int from = item.Value!.Span.Start.Offset,
                to = item.Value.Span.End.Offset + 1,
                key = item.Key!.Span.Start.Offset,
                line = key == 0 ? 0 : text.LastIndexOf('\n', key - 1) + 1,
                end = text.IndexOf('\n', to);
            return new(
                TomlSheet.KeyText(item.Key),
                text[from..to],
                SaidBy(item.Value, text),
                from - start,
                to - start,
                line - start,
                (end < 0 ? text.Length : end + 1) - start
            );
        }

        /// <summary>The meaning of a value, independent of how it is written: one text equals a list of one, 21 equals 21.0.</summary>
        private static string SaidBy(SyntaxNode value, string text) =>
            value switch
            {
                StringValueSyntax s => "'" + s.Value + "'",
                IntegerValueSyntax i => ((double)i.Value).ToString("R", System.Globalization.CultureInfo.InvariantCulture),
                FloatValueSyntax f => f.Value.ToString("R", System.Globalization.CultureInfo.InvariantCulture),
                ArraySyntax { Items.ChildrenCount: 1 } list => SaidBy(list.Items.First().Value!, text),
                ArraySyntax list => $"[{string.Join(", ", list.Items.Select(i => SaidBy(i.Value!, text)))}]",
                _ => text[value.Span.Start.Offset..(value.Span.End.Offset + 1)],
            };
    }
}
