using System.Text;

namespace VibeCheck.Core.Statistics;

/// <summary>A cause as a value: the type says what happened, its properties hold the numbers. Its words are made in Reports.</summary>
public abstract record Reason
{
    /// <summary>Fixed name for scripts: the type's name in kebab case, such as <c>gravity-off</c> for <c>GravityOff</c>.</summary>
    public string Code => KebabCase(GetType().Name);

    /// <summary>A sentence as a cause, as long as there is no record with numbers for it.</summary>
    public static implicit operator Reason(string text) => new Sentence(text);

    private static string KebabCase(string name)
    {
        var code = new StringBuilder(name.Length + 8);
        for (int i = 0; i < name.Length; i++)
        {
            if (i > 0 && char.IsUpper(name[i]) && !char.IsUpper(name[i - 1]))
            {
                code.Append('-');
            }

            code.Append(char.ToLowerInvariant(name[i]));
        }

        return code.ToString();
    }
}

/// <summary>A cause that is still held as a sentence. Being replaced, one by one, by records with numbers.</summary>
/// <param name="Text">The sentence.</param>
public sealed record Sentence(string Text) : Reason
{
    /// <inheritdoc/>
    public override string ToString() => Text;
}
