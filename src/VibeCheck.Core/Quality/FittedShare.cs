namespace VibeCheck.Core.Quality;

/// <summary>Share of the power of the spectrum at the lines that the fit of the orders holds: 1 where it holds all.</summary>
/// <param name="Value">The share.</param>
/// <param name="Low">The least that the noise of the spectrum leaves open.</param>
/// <param name="High">The most; infinite where the noise alone may be all the power.</param>
internal readonly record struct FittedShare(double Value, double Low, double High)
{
    /// <summary>The smaller of two.</summary>
    internal static FittedShare Least(FittedShare a, FittedShare b) => a.Value <= b.Value ? a : b;

    /// <summary>The share where other lines may have been counted as power of the orders.</summary>
    /// <param name="without">The share without the power of those lines.</param>
    /// <remarks>Without them the spectrum may have less power than the fit holds in the orders; that is no sign of a fault.</remarks>
    internal FittedShare OrWithout(FittedShare without) =>
        new(
            Math.Min(Math.Max(1, Value), without.Value),
            Math.Min(Math.Max(1, Low), without.Low),
            Math.Min(Math.Max(1, High), without.High)
        );
}
