using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Hovers;

/// <summary>Finds the stretches of steady hover in a flight.</summary>
/// <remarks>
/// The load of the rotors (speed squared, else command, else current, else the vibration) has one level that most of the time in the
/// air is spent at. Hover is where the mean load and every motor's own stay near their level, the aircraft neither turns, nor climbs,
/// nor is thrown about, and a margin is kept to everything else. All limits follow the scatter of the flight itself between fixed
/// bounds (common practice), so that a gusty or short flight still has a hover and a calm one keeps its bumps out.
/// </remarks>
public static class HoverFinder
{
    /// <summary>Shortest stretch that is used, s.</summary>
    public const double ShortestS = 2;

    // With enough long stretches the short ones, more often mere pauses in a manoeuvre, are left out.
    private const double LongStretchS = 5;
    private const double EnoughS = 20;

    // A hover shorter than that gives wide intervals, s.
    private const double ShortHoverS = 10;

    private const double MarginS = 0.3;
    private const double GroundMarginS = 1;
    private const double SmoothingS = 0.5;
    private const double LongestBlinkS = 0.35;
    private const double LongestGapS = 1;

    // A motor whose load stays below this share of the busy level stands or idles.
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

        bool[] steady = load.Steady;
        And(steady, Calm(grid.TurnRadps, load.Flying, 0.35, 6));
        And(steady, Calm(Departure(grid.AccelerationMps2, load.Flying), load.Flying, 2, 6));
        And(steady, Height.IsSteady(grid, load.Flying));
        FillBlinks(steady, (int)(LongestBlinkS / HoverGrid.CellS));
        List<TimeInterval> stretches = Stretches(grid, steady, load.Flying, flight.Imu);
        return stretches.Count == 0
            ? new([], new NoSteadyHover(ShortestS, load.Source, load.Tolerance))
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

    private static void And(bool[] steady, bool[]? also)
    {
        for (int cell = 0; also is not null && cell < steady.Length; cell++)
        {
            steady[cell] &= also[cell];
        }
    }

    /// <summary>Where a quantity stays below a limit: a fixed one, or so many scatters above the middle of the flight.</summary>
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

        // Not known (a gap in the IMU) is no reason against: gaps are dealt with by their length.
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

    /// <summary>Wider next to the ground, where speeds still settle; none at the record's own end.</summary>
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
