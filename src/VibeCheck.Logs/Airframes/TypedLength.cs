using VibeCheck.Core;

namespace VibeCheck.Logs.Airframes;

/// <summary>A length as a person types it: a number with mm, cm, m, in or ", or a bare one in the unit that was asked for.</summary>
public static class TypedLength
{
    private static readonly (string Word, double Mm)[] _units =
    [
        ("mm", 1),
        ("cm", 10),
        ("inches", 25.4),
        ("inch", 25.4),
        ("in", 25.4),
        ("\"", 25.4),
        ("m", 1000),
    ];

    /// <summary>Reads a length.</summary>
    /// <param name="text">As typed.</param>
    /// <param name="inch">Whether a bare number is in inches; else in millimetres.</param>
    /// <returns>Millimetres, above 0; null where it is no length.</returns>
    public static double? ReadMm(string? text, bool inch)
    {
        string rest = (text ?? "").Trim().ToLowerInvariant();
        double factor = inch ? 25.4 : 1;
        foreach ((string word, double mm) in _units)
        {
            if (rest.EndsWith(word, StringComparison.Ordinal))
            {
                (rest, factor) = (rest[..^word.Length].TrimEnd(), mm);
                break;
            }
        }

        return TypedNumber.Read(rest, out double value) == TypedNumberForm.Number && value > 0 && double.IsFinite(value * factor)
            ? value * factor
            : null;
    }
}
