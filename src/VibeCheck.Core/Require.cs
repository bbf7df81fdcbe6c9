using System.Runtime.CompilerServices;

namespace VibeCheck.Core;

/// <summary>Guards for arguments: a violation is a bug of the caller; the message holds the value.</summary>
internal static class Require
{
    internal static double Finite(double value, [CallerArgumentExpression(nameof(value))] string? name = null) =>
        double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(name, value, "must be finite");

    internal static double Positive(double value, [CallerArgumentExpression(nameof(value))] string? name = null) =>
        value > 0 && double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(name, value, "must be finite and above 0");

    internal static void SameLength(int expected, int actual, [CallerArgumentExpression(nameof(actual))] string? name = null)
    {
        if (expected != actual)
        {
            throw new ArgumentException($"must have length {expected}, has {actual}", name);
        }
    }
}
