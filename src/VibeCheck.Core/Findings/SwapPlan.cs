using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;

namespace VibeCheck.Core.Findings;

/// <summary>One swap of two propellers.</summary>
/// <param name="Flight">Number of the flight from now: 1 is the next.</param>
/// <param name="Suspect">A motor that stands out.</param>
/// <param name="Calm">A motor that does not stand out, with the same spin and blades; null where there is none, so another propeller is
/// fitted.</param>
public sealed record PropellerSwap(int Flight, string Suspect, string? Calm);

/// <summary>Chooses which propellers to swap, so that every motor that stands out is separated from its propeller, and no two of them are
/// swapped with each other.</summary>
internal static class SwapPlan
{
    /// <summary>Swaps for all suspects, worst first; a calm motor is used once per flight.</summary>
    internal static IReadOnlyList<PropellerSwap> Of(FlightAnalysis analysis, IReadOnlyList<string> suspects)
    {
        List<PropellerSwap> plan = [];
        foreach (string suspect in suspects)
        {
            string[] calm = [.. Calm(analysis, suspect, suspects)];
            (int flight, string? with) = (1, null);
            if (calm.Length > 0)
            {
                while (calm.All(c => plan.Exists(p => p.Flight == flight && p.Calm == c)))
                {
                    flight++;
                }

                with = calm.First(c => !plan.Exists(p => p.Flight == flight && p.Calm == c));
            }

            plan.Add(new(flight, suspect, with));
        }

        return plan;
    }

    /// <summary>Motors that can provide their propeller, calmest first. Without an airframe file spins are not known.</summary>
    private static IEnumerable<string> Calm(FlightAnalysis analysis, string suspect, IReadOnlyList<string> suspects)
    {
        Motor own = analysis.Airframe.Motors.First(m => m.Id == suspect);
        return !analysis.Airframe.HasLayout
            ? []
            : analysis
                .Airframe.Motors.Zip(analysis.Motors)
                .Where(m => !suspects.Contains(m.First.Id) && m.First.Spin == own.Spin && m.First.Blades == own.Blades)
                .OrderBy(m => m.Second.Orders.FirstOrDefault(o => o.Order == 1)?.RmsMps2.Value ?? double.PositiveInfinity)
                .Select(m => m.First.Id);
    }
}
