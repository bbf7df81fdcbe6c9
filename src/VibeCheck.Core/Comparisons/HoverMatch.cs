using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Comparisons;

/// <summary>The hover of one flight that is compared with the others.</summary>
/// <param name="Found">Hover as found in the flight by itself.</param>
/// <param name="Used">The part of it at the operating point that all flights share.</param>
/// <param name="Level">Mean rotor speed, rpm, or command, 0 to 1, over the part that is used; null without telemetry.</param>
internal sealed record MatchedHover(HoverTime Found, HoverTime Used, double? Level);

/// <summary>Matches the hover of all flights by rotor speed, else by command.</summary>
/// <remarks>The mean over the motors that are in all flights is smoothed over 4 s, so that only lasting departures count (gusts, a lighter
/// or discharging battery, a slow climb). Short departures are part of hovering and are handled by the hover finder.</remarks>
internal static class HoverMatch
{
    /// <summary>Half width of the window around the shared operating point, as a share of it.</summary>
    private const double Window = 0.03;

    private const double SmoothingS = 4;
    private const double StepS = 0.5;
    private const double ShortestS = 4;

    /// <summary>Where any flight would keep less than this share of its hover, all flights are used completely, and the difference is
    /// corrected or reported.</summary>
    private const double LeastKept = 0.6;

    internal static IReadOnlyList<MatchedHover> Of(IReadOnlyList<Flight> flights, out HoverBasis basis)
    {
        HoverTime[] found = new HoverTime[flights.Count];
        Parallel.For(0, found.Length, i => found[i] = HoverFinder.Find(flights[i]));
        HoverBasis by = basis = BasisOf(flights);
        string[] motors = Shared(flights, by);
        double?[] levels = [.. flights.Select((f, i) => Level(f, by, motors, found[i].Segments))];
        if (levels.Any(l => l is null))
        {
            return [.. flights.Select((_, i) => new MatchedHover(found[i], found[i], levels[i]))];
        }

        double centre = levels.OfType<double>().Average();
        List<TimeInterval>[] kept = [.. flights.Select((f, i) => Within(f, by, motors, found[i].Segments, centre))];
        bool enough = kept.Select((k, i) => k.Sum(s => s.Seconds) >= LeastKept * found[i].SecondsUsed).All(b => b);
        return
        [
            .. flights.Select(
                (f, i) => enough ? Matched(f, by, motors, found[i], kept[i], centre) : new MatchedHover(found[i], found[i], levels[i])
            ),
        ];
    }

    private static MatchedHover Matched(
        Flight flight,
        HoverBasis by,
        string[] motors,
        HoverTime found,
        List<TimeInterval> kept,
        double centre
    )
    {
        double share = kept.Sum(s => s.Seconds) / found.SecondsUsed;
        HoverMatched why = new(found.Why, share, Window, centre, by);
        return new(found, new HoverTime(kept, why), Level(flight, by, motors, kept));
    }

    private static HoverBasis BasisOf(IReadOnlyList<Flight> flights) =>
        Shared(flights, HoverBasis.Rpm).Length > 0 ? HoverBasis.Rpm
        : Shared(flights, HoverBasis.Command).Length > 0 ? HoverBasis.Command
        : HoverBasis.None;

    /// <summary>Motors for which every flight has the quantity.</summary>
    private static string[] Shared(IReadOnlyList<Flight> flights, HoverBasis by) =>
        by == HoverBasis.None
            ? []
            : [.. flights[0].Motors.Select(m => m.MotorId).Where(id => flights.All(f => SeriesOf(f.Track(id), by) is { Count: > 1 }))];

    private static Series? SeriesOf(MotorTrack? track, HoverBasis by) => by == HoverBasis.Rpm ? track?.Rpm : track?.Command;

    private static double? Level(Flight flight, HoverBasis by, string[] motors, IReadOnlyList<TimeInterval> over)
    {
        double[] means = [.. motors.Select(m => SeriesOf(flight.Track(m), by)!.MeanOver(over)).OfType<double>()];
        return means.Length > 0 && means.Length == motors.Length ? means.Average() : null;
    }

    private static List<TimeInterval> Within(
        Flight flight,
        HoverBasis by,
        string[] motors,
        IReadOnlyList<TimeInterval> found,
        double centre
    )
    {
        Series[] series = [.. motors.Select(m => SeriesOf(flight.Track(m), by)!)];
        var kept = new List<TimeInterval>();
        foreach (TimeInterval segment in found)
        {
            double from = double.NaN;
            for (int step = 0; ; step++)
            {
                double t = segment.FromS + step * StepS;
                double to = Math.Min(t + StepS, segment.ToS);
                bool inside = t < segment.ToS && Math.Abs(Smoothed(series, segment, (t + to) / 2) / centre - 1) <= Window;
                from = inside && double.IsNaN(from) ? t : from;
                if (!inside && !double.IsNaN(from))
                {
                    Keep(kept, segment, from, Math.Min(t, segment.ToS));
                    from = double.NaN;
                }

                if (t >= segment.ToS)
                {
                    break;
                }
            }
        }

        return kept;
    }

    /// <summary>Keeps pieces that are long enough for the order fit; an interval that was already short when found and is kept completely
    /// remains.</summary>
    private static void Keep(List<TimeInterval> kept, TimeInterval found, double from, double to)
    {
        if (to - from >= ShortestS || (from == found.FromS && to == found.ToS))
        {
            kept.Add(new(from, to));
        }
    }

    private static double Smoothed(Series[] series, TimeInterval segment, double atS)
    {
        TimeInterval[] about = [new(Math.Max(segment.FromS, atS - SmoothingS / 2), Math.Min(segment.ToS, atS + SmoothingS / 2))];
        return series.Average(s => s.MeanOver(about) ?? s.At(atS));
    }
}

/// <summary>The quantity by which the hover was matched.</summary>
public enum HoverBasis
{
    /// <summary>Rotor speed.</summary>
    Rpm,

    /// <summary>Motor command.</summary>
    Command,

    /// <summary>Neither is known in all flights.</summary>
    None,
}
