using System.CommandLine;
using System.CommandLine.Parsing;
using VibeCheck.Core;

namespace VibeCheck.Cli;

/// <summary>Options that take a number: point or comma as decimal mark, a range, and a message
/// that gives the text found and what to enter.</summary>
internal static class NumberOption
{
    /// <summary>An option that takes a number, or null where it is not given.</summary>
    /// <param name="name">With its dashes.</param>
    /// <param name="description">For the help.</param>
    /// <param name="helpName">Name of the value in the help.</param>
    /// <param name="lowest">Lowest value that makes sense.</param>
    /// <param name="highest">Highest value that makes sense.</param>
    /// <param name="give">What to give instead of a wrong one, such as "degrees from 0.001 to 10".</param>
    internal static Option<double?> Of(string name, string description, string helpName, double lowest, double highest, string give) =>
        new(name)
        {
            Description = description,
            HelpName = helpName,
            CustomParser = result => Number(result, name, lowest, highest, give),
        };

    /// <summary>An option that takes a whole number, or null where it is not given.</summary>
    /// <inheritdoc cref="Of"/>
    internal static Option<int?> WholeOf(string name, string description, string helpName, int lowest, int highest, string give) =>
        new(name)
        {
            Description = description,
            HelpName = helpName,
            CustomParser = result =>
                Number(result, name, lowest, highest, give) is not double value ? null
                : value == Math.Floor(value) ? (int)value
                : Refused<int?>(result, name, $"'{Typed(result)}' is not a whole number", give),
        };

    private static double? Number(ArgumentResult result, string name, double lowest, double highest, string give)
    {
        string text = Typed(result);
        return TypedNumber.Read(WholeText(result), out double value) switch
        {
            TypedNumberForm.SeveralMarks => Refused<double?>(
                result,
                name,
                $"'{text}' has more than one decimal mark",
                give + ", without marks between thousands"
            ),
            TypedNumberForm.TooLarge => Refused<double?>(result, name, $"'{text}' is too large for any computer", give),
            TypedNumberForm.NotANumber => Refused<double?>(result, name, $"'{text}' is not a number", give),
            _ when value < lowest || value > highest => Refused<double?>(result, name, $"'{text}' is out of range", give),
            _ => value,
        };
    }

    private static T? Refused<T>(ArgumentResult result, string name, string problem, string give)
    {
        result.AddError($"{name}: {problem}. Give {give}.");
        return default;
    }

    private static string WholeText(ArgumentResult result) => result.Tokens.Count > 0 ? result.Tokens[^1].Value : "";

    private static string Typed(ArgumentResult result) => Cut(WholeText(result));

    /// <summary>The text found, short enough for a message.</summary>
    internal static string Cut(string text) => text.Length <= 40 ? text : text[..40] + "...";
}
