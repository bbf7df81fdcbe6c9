using System.Text;

namespace VibeCheck.Logs.Text;

/// <summary>Numbers the texts of columns that name a motor or an IMU, from 0 in the order of first appearance; case is ignored.</summary>
internal sealed class ColumnLabels
{
    private const int MostLabels = 256;
    private const int LongestLabel = 64;

    private readonly Dictionary<string, int> _numbers = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>The texts, each at the index given by its number.</summary>
    internal IReadOnlyList<string> InOrder => [.. _numbers.OrderBy(p => p.Value).Select(p => p.Key)];

    /// <summary>Number of a text, of which only the first 64 characters are compared; NaN for a new text after the 256th.</summary>
    internal double NumberOf(ReadOnlySpan<byte> text)
    {
        Span<char> chars = stackalloc char[Math.Min(text.Length, LongestLabel)];
        int count = Encoding.Latin1.GetChars(text[..chars.Length], chars);
        var lookup = _numbers.GetAlternateLookup<ReadOnlySpan<char>>();
        if (lookup.TryGetValue(chars[..count], out int number))
        {
            return number;
        }

        if (_numbers.Count >= MostLabels)
        {
            return double.NaN;
        }

        number = _numbers.Count;
        _numbers[chars[..count].ToString()] = number;
        return number;
    }
}
