using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Change of the vibration of the rotors as a group, where not every flight has rotor speeds.</summary>
internal static class GroupChanges
{
    // The centres of the bands that the rotors fill have an uncertainty of about 1.5 % each. A ratio closer to 1 than both together is not
    // corrected.
    private const double SpeedU = 0.015;
    private const double CorrectedFrom = 0.02;

    /// <summary>The values and their change; null where the group is not measured in any flight.</summary>
    internal static (FlightValues Values, Change? Change)? Of(FlightSet flights, ComparisonOptions options)
    {
        if (flights.All.All(f => f.Analysis.Group is null))
        {
            return null;
        }

        GroupResult[] groups = [.. flights.All.Select(f => f.Analysis.Group).OfType<GroupResult>()];
        int[] shared =
        [
            .. groups
                .Where(g => g.TotalMps2.IsKnown)
                .Select(g => g.Counted.AsEnumerable())
                .DefaultIfEmpty([])
                .Aggregate((a, b) => a.Intersect(b)),
        ];
        FlightValues values = flights.Read(f => Read(f, shared));
        double ratio = Ratio(flights),
            correction = Math.Abs(ratio - 1) > CorrectedFrom ? -2 * FlightValue.Db(ratio) : 0;
        double u =
            correction == 0
                ? 2 * FlightValue.Db(1 + CorrectedFrom / 2)
                : Math.Sqrt(Math.Pow(correction / 2, 2) + 2 * Math.Pow(2 * FlightValue.Db(1 + SpeedU), 2));
        double own = Math.Max(1, flights.All.First().Analysis.Motors.Count / 2.0),
            allowance = options.FlightScatterDb * Math.Sqrt(0.5 + 0.5 / own);
        return (values, Change.Of(values, FlightScatter.Of(allowance, [values]), correction, u));
    }

    /// <summary>Rotor frequency after divided by that before; 1 where it is not known.</summary>
    internal static double Ratio(FlightSet flights)
    {
        double? Mean(IReadOnlyList<AnalysedFlight> side) =>
            side.All(f => f.Analysis.Group?.BaseHz is not null) ? side.Average(f => f.Analysis.Group!.BaseHz!.Value) : null;
        return Mean(flights.Before) is double before && Mean(flights.After) is double after ? after / before : 1;
    }

    private static (FlightValue? Known, Reason? Why) Read(AnalysedFlight flight, int[] shared)
    {
        if (flight.Analysis.Group is not { } group)
        {
            return (null, new GroupNotMeasured());
        }

        Estimate size = group.SizeOf(shared);
        return FlightValue.InDb(size) is { } value
            ? (value with { U = Math.Sqrt(value.U * value.U + group.AddedDb * group.AddedDb) }, null)
            : (null, size.Why ?? new RotorsInNoise());
    }
}
