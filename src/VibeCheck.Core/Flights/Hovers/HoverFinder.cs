using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Hovers;

/// <summary>Finds the intervals of steady hover in a flight.</summary>
/// <remarks>
/// The load of the rotors (speed squared, else command, else current, else the vibration) has one level at which most of the time in the
/// air is spent. Hover is where the mean load and the load of every motor stay close to their level, and the aircraft does not turn, climb
/// or accelerate, with a margin to everything else. All limits follow the scatter of the flight itself within fixed bounds (common
/// practice), so that a hover is found in a gusty or short flight, and bumps are left out of a calm one.
/// </remarks>
public static class HoverFinder
{
    /// <summary>Shortest interval that is used, s.</summary>
    public const double ShortestS = 2;

    // If there are enough long intervals, the short ones are left out: they are more often only pauses in a manoeuvre.
    private const double LongStretchS = 5;
    private const double EnoughS = 20;

    // A shorter hover gives wide intervals, s.
    private const double ShortHoverS = 10;

    private const double MarginS = 0.3;
    private const double GroundMarginS = 1;
    private const double SmoothingS = 0.5;
    private const double LongestBlinkS = 0.35;
    private const double LongestGapS = 1;

    // A motor whose load stays below this share of the busy level stands still or idles.
    private const double FlyingShare = 0.5;

    /// <summary>The hover of a flight; no segments and the reason when there is none.</summary>
    public static HoverTime Find(Flight flight)
    {
        ArgumentNullException.ThrowIfNull(flight);
        HoverTime found = FindInAll(flight);
        if (flight.HoverWithin is not TimeInterval part || found.Segments.Count == 0)
        {
            return found;
        }

        TimeInterval[] within =
        [
            .. found
                .Segments.Select(s => new TimeInterval(Math.Max(s.FromS, part.FromS), Math.Min(s.ToS, part.ToS)))
                .Where(s => s.Seconds >= ShortestS),
        ];
        return within.Length == 0
            ? new([], new NoHoverWithin(part.FromS, part.ToS, ShortestS))
            : new(within, new HoverNarrowed(part.FromS, part.ToS, found.Why));
    }

    private static HoverTime FindInAll(Flight flight)
    {
        HoverGrid grid = HoverGrid.Of(flight);
        SteadyLoad load = SteadyLoad.Of(grid, SmoothingS, FlyingShare);
        if (!load.Flying.Any(f => f))
        {
            return new([], load.Source == HoverSource.Vibration ? new NoFlightInVibration() : new MotorsNeverRun(load.Source));
        }

        (HoverCriterion Criterion, bool[]? Met)[] criteria =
        [
            (HoverCriterion.Load, load.Steady),
            (HoverCriterion.NoTurn, Calm(grid.TurnRadps, load.Flying, 0.35, 6)),
            (HoverCriterion.NoAcceleration, Calm(Departure(grid.AccelerationMps2, load.Flying), load.Flying, 2, 6)),
            (HoverCriterion.SteadyHeight, Height.IsSteady(grid, load.Flying)),
        ];
        List<TimeInterval> stretches = Stretches(flight, grid, load, criteria);
        return stretches.Count == 0
            ? new([], WhyNone(flight, grid, load, criteria))
            : new(
                stretches,
                new HoverFound(
                    load.Source,
                    load.Tolerance,
                    grid.TurnRadps is not null,
                    grid.HeightM is not null,
                    stretches.Sum(s => s.Seconds) < ShortHoverS
                )
            );
    }

    /// <summary>The criterion without which most hover would be found; the load where none alone is the cause.</summary>
    private static NoSteadyHover WhyNone(Flight flight, HoverGrid grid, SteadyLoad load, (HoverCriterion Criterion, bool[]? Met)[] criteria)
    {
        (HoverCriterion Criterion, bool[]? Met) unmet = criteria
            .Where(c => c is { Criterion: not HoverCriterion.Load, Met: not null })
            .Select(c => (Criterion: c, HoverS: Stretches(flight, grid, load, [.. criteria.Where(o => o != c)]).Sum(s => s.Seconds)))
            .Where(c => c.HoverS > 0)
            .OrderByDescending(c => c.HoverS)
            .Select(c => c.Criterion)
            .FirstOrDefault(criteria[0]);
        double share = unmet.Met!.Zip(load.Flying).Count(c => c.Second && !c.First) / (double)load.Flying.Count(f => f);
        return new(ShortestS, load.Source, load.Tolerance, unmet.Criterion, share);
    }

    private static List<TimeInterval> Stretches(
        Flight flight,
        HoverGrid grid,
        SteadyLoad load,
        (HoverCriterion Criterion, bool[]? Met)[] criteria
    )
    {
        bool[] steady = [.. load.Steady];
        foreach ((_, bool[]? met) in criteria)
        {
            And(steady, met);
        }

        FillBlinks(steady, (int)(LongestBlinkS / HoverGrid.CellS));
        return Stretches(grid, steady, load.Flying, flight.Imu);
    }

    private static void And(bool[] steady, bool[]? also)
    {
        for (int cell = 0; also is not null && cell < steady.Length; cell++)
        {
            steady[cell] &= also[cell];
        }
    }

    /// <summary>Where a quantity stays below a limit: a fixed one, or this many scatters above the median of the flight.</summary>
    private static bool[]? Calm(double[]? values, bool[] flying, double least, double scatters)
    {
        if (values is null)
        {
            return null;
        }

        double[] inFlight = Robust.Where(values, flying);
        if (inFlight.Length == 0)
        {
            return null;
        }

        (double middle, double scatter) = Robust.MedianAndMad(inFlight);
        double limit = Math.Max(least, middle + scatters * scatter);

        // An unknown value (a gap in the IMU) does not exclude a cell: gaps are handled by their length.
        return Array.ConvertAll(values, v => double.IsNaN(v) || v <= limit);
    }

    private static double[] Departure(double[] values, bool[] flying)
    {
        double middle = Robust.MedianAndMad(Robust.Where(values, flying)).Median;
        return Array.ConvertAll(values, v => Math.Abs(v - middle));
    }

    private static void FillBlinks(bool[] steady, int longest)
    {
        int lastSteady = -1;
        for (int cell = 0; cell < steady.Length; cell++)
        {
            if (!steady[cell])
            {
                continue;
            }

            if (lastSteady >= 0 && cell - lastSteady - 1 <= longest)
            {
                Array.Fill(steady, true, lastSteady, cell - lastSteady);
            }

            lastSteady = cell;
        }
    }

    private static List<TimeInterval> Stretches(HoverGrid grid, bool[] steady, bool[] flying, ImuTrack imu)
    {
        List<TimeInterval> all = [];
        for (int cell = 0; cell < steady.Length; cell++)
        {
            if (!steady[cell])
            {
                continue;
            }

            int first = cell;
            while (cell + 1 < steady.Length && steady[cell + 1])
            {
                cell++;
            }

            double from = grid.EdgeS(first) + Margin(flying, first, -1),
                to = grid.EdgeS(cell + 1) - Margin(flying, cell, 1);
            all.AddRange(WithoutGaps(new(from, Math.Min(to, imu.EndS)), imu));
        }

        List<TimeInterval> longOnes = [.. all.Where(s => s.Seconds >= LongStretchS)];
        return longOnes.Sum(s => s.Seconds) >= EnoughS ? longOnes : [.. all.Where(s => s.Seconds >= ShortestS)];
    }

    /// <summary>Wider next to the ground, where speeds still settle; none at the end of the record.</summary>
    private static double Margin(bool[] flying, int cell, int step)
    {
        int near = (int)(3 / HoverGrid.CellS);
        for (int i = 1; i <= near; i++)
        {
            int at = cell + i * step;
            if (at < 0 || at >= flying.Length)
            {
                return i == 1 ? 0 : MarginS;
            }

            if (!flying[at])
            {
                return GroundMarginS;
            }
        }

        return MarginS;
    }

    private static IEnumerable<TimeInterval> WithoutGaps(TimeInterval segment, ImuTrack imu)
    {
        double from = segment.FromS;
        for (int i = 1; i < imu.Blocks.Count; i++)
        {
            double gapFrom = imu.Blocks[i - 1].EndS,
                gapTo = imu.Blocks[i].StartS;
            if (gapTo - gapFrom > LongestGapS && gapTo > from && gapFrom < segment.ToS)
            {
                if (gapFrom > from)
                {
                    yield return new(from, gapFrom);
                }

                from = gapTo;
            }
        }

        if (segment.ToS > from)
        {
            yield return new(from, segment.ToS);
        }
    }
}
