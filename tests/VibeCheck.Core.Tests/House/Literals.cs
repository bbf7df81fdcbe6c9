using System.Text.RegularExpressions;

namespace VibeCheck.Core.Tests.House;

/// <summary>A string literal of a source file.</summary>
/// <param name="Text">The text between the quotes; for an interpolated literal the text between its values.</param>
/// <param name="Line">Line, counted from 1.</param>
/// <param name="IsForProgrammers">Whether it belongs to an exception or an attribute.</param>
internal sealed record Literal(string Text, int Line, bool IsForProgrammers)
{
    /// <summary>Number of words of two letters or more, separated by spaces.</summary>
    internal int Words => Text.Split(' ', StringSplitOptions.RemoveEmptyEntries).Count(w => w.Count(char.IsLetter) >= 2);
}

/// <summary>Finds the string literals of C# source; covers as much of the language as the sources of Core use.</summary>
internal static partial class Literals
{
    internal static IEnumerable<Literal> Of(string source)
    {
        int line = 0;
        bool inException = false;
        foreach (string text in source.Split('\n'))
        {
            line++;
            string code = Comment().Replace(text, "");
            inException |= Thrown().IsMatch(code);
            bool isForProgrammers = inException || Attribute().IsMatch(code);
            // The message of an exception may be some lines below its name: its statement ends with a semicolon.
            inException &= !code.TrimEnd().EndsWith(';');
            foreach (Match match in Quoted().Matches(code))
            {
                string told = Value().Replace(match.Groups[1].Value, "{}");
                yield return new(told, line, isForProgrammers);
            }
        }
    }

    [GeneratedRegex(@"^\s*//.*$")]
    private static partial Regex Comment();

    [GeneratedRegex(@"Exception\(")]
    private static partial Regex Thrown();

    [GeneratedRegex(@"^\s*\[[A-Z]")]
    private static partial Regex Attribute();

    // The values of an interpolated literal may themselves contain literals; braces are balanced one level deep.
    [GeneratedRegex(
        """
            "((?:[^"\\{]|\\.|\{(?:[^{}"]|"(?:[^"\\]|\\.)*"|\{[^{}]*\})*\})*)"
            """,
        RegexOptions.IgnorePatternWhitespace
    )]
    private static partial Regex Quoted();

    [GeneratedRegex(@"\{(?:[^{}]|\{[^{}]*\})*\}")]
    private static partial Regex Value();
}
