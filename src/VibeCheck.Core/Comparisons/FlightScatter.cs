using MathNet.Numerics.Distributions;

namespace VibeCheck.Core.Comparisons;

/// <summary>How far flights made alike scatter in a quantity: standard deviation of one flight, and
/// the freedom of Student's law it is used with.</summary>
/// <remarks>
/// With one flight on each side there is only the stated allowance, taken as known. Several flights on a side show their scatter
/// themselves; a few flights show it badly, so it is blended with the allowance as if that came from eight flights more than one. Where the
/// flights scatter by clearly more than the allowance says (chi-square, 1 %), they alone are believed.
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

        // Quantities of one flight may move together, so many of them sharpen the estimate but count as one in its freedom.
        int freedom = shown.Max(r => r.Freedom);
        double between = Math.Max(0, shown.Sum(r => r.SquaresBetween) / shown.Sum(r => r.Freedom) - shown.Average(r => r.VarianceWithin));
        double allowed = allowance * allowance;
        bool beyond = between > allowed * ChiSquared.InvCDF(freedom, 0.99) / freedom;
        double variance = beyond ? between : (FreedomOfAllowance * allowed + freedom * between) / (FreedomOfAllowance + freedom);
        return new(Math.Sqrt(variance), FreedomOfAllowance + freedom);
    }
}
