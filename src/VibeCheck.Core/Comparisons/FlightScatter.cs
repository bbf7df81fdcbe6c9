using MathNet.Numerics.Distributions;

namespace VibeCheck.Core.Comparisons;

/// <summary>Scatter of a quantity between flights under the same conditions: standard deviation of one flight, and the degrees of freedom
/// of Student's t with which it is used.</summary>
/// <remarks>
/// With one flight on each side there is only the given allowance, which is treated as known. Several flights on a side show their own
/// scatter. A few flights give a poor estimate of it, so it is blended with the allowance as if that had eight degrees of freedom. Where
/// the flights scatter by clearly more than the allowance (chi-square, 1 %), their own scatter is used. The degrees of freedom stay those of the blend: with one or two, Student's t would make
/// every interval useless.
/// </remarks>
internal sealed record FlightScatter(double Sigma, double Freedom)
{
    private const int FreedomOfAllowance = 8;

    internal static FlightScatter Of(double allowance, IReadOnlyCollection<FlightValues> alike)
    {
        FlightValues[] shown = [.. alike.Where(r => r.AreKnown && r.Freedom > 0)];
        if (shown.Length == 0)
        {
            return new(allowance, double.PositiveInfinity);
        }

        // Quantities of one flight may be correlated, so several of them improve the estimate but do not add degrees of freedom.
        int freedom = shown.Max(r => r.Freedom);
        double between = Math.Max(0, shown.Sum(r => r.SquaresBetween) / shown.Sum(r => r.Freedom) - shown.Average(r => r.VarianceWithin));
        double allowed = allowance * allowance;
        bool beyond = between > allowed * ChiSquared.InvCDF(freedom, 0.99) / freedom;
        double variance = beyond ? between : (FreedomOfAllowance * allowed + freedom * between) / (FreedomOfAllowance + freedom);
        return new(Math.Sqrt(variance), FreedomOfAllowance + freedom);
    }
}
