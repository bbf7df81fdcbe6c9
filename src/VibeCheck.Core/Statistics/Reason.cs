using System.Text;

namespace VibeCheck.Core.Statistics;

/// <summary>A cause as a value: the type is what happened, its properties are the numbers. Reports turns it into text.</summary>
public abstract record Reason
{
    /// <summary>Fixed name for scripts: the type's name in kebab case, such as <c>gravity-off</c> for <c>GravityOff</c>.</summary>
    public string Code => KebabCase(GetType().Name);

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
