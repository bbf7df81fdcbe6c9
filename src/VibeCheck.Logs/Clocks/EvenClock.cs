using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Logs.Clocks;

/// <summary>The even clock behind wobbling stamps: where samples are missing, and a robust
/// line through index and time between gaps.</summary>
internal sealed class EvenClock
{
    // So many lost samples in a row, of so long a time, are filled in; more are a gap.
    private const int MostFilled = 24,
        LeastFilled = 2;
    private const double MostFilledS = 0.026;

    // More of the whole than that are not filled.
    private const double MostFilledShare = 1.2;

    // Stamps later than this many periods are looked at as possible losses.
    private const double SuspectPeriods = 1.5;
    private const int Neighbours = 25;
    private const int PointsForLine = 20_000;

    // More samples lost at once than that no wobble feigns.
    private const int MostDoubted = 20;

    private EvenClock() { }

    internal required IReadOnlyList<ContiguousSegment> Blocks { get; init; }

    /// <summary>Row after which samples are missing, and how many are to be filled in; in rising order.</summary>
    internal required IReadOnlyList<(int AfterRow, int Missing)> Holes { get; init; }

    /// <summary>Standard deviation of the stamps against the even clock, s; null where it was not calculated.</summary>
    internal double? JitterS { get; init; }

    /// <summary>Share of steps that were zero: stamps coarser than the sampling.</summary>
    internal double ZeroStepShare { get; init; }

    /// <summary>Finds the clock.</summary>
    /// <param name="timeS">Stamps that never fall, s; two or more.</param>
    internal static EvenClock Find(ReadOnlySpan<double> timeS)
    {
        (double period, double zeroShare) = Period(timeS);
        double? grid = StampGrid.PeriodS(timeS, period);
        period = grid ?? period;
        List<(int After, int Missing)> losses = grid is null ? FindLosses(timeS, period) : StampGrid.Losses(timeS, period);
        int most = MostInARow(period),
            lost = losses.Sum(l => l.Missing <= most ? l.Missing : 0);
        bool fill = lost <= MostFilledShare * timeS.Length;
        var holes = new List<(int, int)>();
        var blocks = new List<ContiguousSegment>();
        var residuals = new Spread();
        int from = 0,
            sample = 0,
            holesFrom = 0;
        foreach ((int after, int missing) in losses.Append((timeS.Length - 1, int.MaxValue)))
        {
            if (fill && missing <= most)
            {
                holes.Add((after, missing));
                continue;
            }

            AddBlocks(timeS[from..(after + 1)], from, sample, holes, holesFrom, period, blocks, residuals, depth: 0);
            sample = blocks[^1].FirstSample + blocks[^1].SampleCount;
            from = after + 1;
            holesFrom = holes.Count;
        }

        return new()
        {
            Blocks = blocks,
            Holes = holes,
            JitterS = residuals.Count > 2 ? residuals.Deviation : null,
            ZeroStepShare = zeroShare,
        };
    }

    /// <summary>How many samples in a row are filled in at most, at a sample period.</summary>
    internal static int MostInARow(double periodS) => (int)Math.Clamp(MostFilledS / periodS, LeastFilled, MostFilled);

    /// <summary>Usual time between samples: the trimmed mean of the steps where they are steady, else the slope over many rows.</summary>
    private static (double PeriodS, double ZeroShare) Period(ReadOnlySpan<double> timeS)
    {
        int n = timeS.Length;
        int stride = Math.Max(1, n / 200_000);
        double[] steps = new double[(n - 2) / stride + 1];
        int zeros = 0;
        for (int i = 1, s = 0; i < n; i += stride, s++)
        {
            double step = timeS[i] - timeS[i - 1];
            zeros += step <= 0 ? 1 : 0;
            steps[s] = step;
        }

        double zeroShare = (double)zeros / steps.Length;
        double median = Selection.Take(steps, steps.Length / 2);
        int near = 0;
        double sum = 0;
        foreach (double step in steps)
        {
            if (Math.Abs(step - median) <= 0.2 * median)
            {
                near++;
                sum += step;
            }
        }

        if (median > 0 && near > 0.8 * steps.Length)
        {
            return (sum / near, zeroShare);
        }

        int window = Math.Clamp(n / 20, 1, 200);
        var slopes = new List<double>();
        int move = Math.Max(1, (n - 1 - window) / 2000);
        for (int i = 0; i + window < n; i += move)
        {
            slopes.Add((timeS[i + window] - timeS[i]) / window);
        }

        slopes.Sort();
        double slope = slopes.Count == 0 ? 0 : slopes[slopes.Count * 4 / 10];
        double whole = (timeS[n - 1] - timeS[0]) / (n - 1);
        double period =
            slope > 0 ? slope
            : median > 0 ? median
            : whole;
        return (period > 0 ? period : 1e-3, zeroShare);
    }

    /// <summary>Rows that come late: by their own step where stamps are steady, else by the mean of
    /// the stamps behind against that of those before.</summary>
    private static List<int> Candidates(ReadOnlySpan<double> timeS, double period)
    {
        int most = Math.Max(8, timeS.Length / 25);
        double suspect = SuspectPeriods * period;
        var candidates = new List<int>();
        while (true)
        {
            candidates.Clear();
            for (int i = 1; i < timeS.Length; i++)
            {
                if (timeS[i] - timeS[i - 1] > suspect)
                {
                    candidates.Add(i);
                }
            }

            if (candidates.Count <= most || suspect > 50 * period)
            {
                return candidates;
            }

            // Wobble reaches that far. Means stand out of it where it is white; where they do not
            // either, only what is later still can be told.
            if (suspect == SuspectPeriods * period && LateByMeans(timeS, period) is { } late && late.Count <= most)
            {
                return late;
            }

            suspect *= 1.4;
        }
    }

    /// <summary>Rows at which the mean of the next stamps lies later than that of those before by more than half a period, at their peaks;
    /// null where they stay later, as at another rate.</summary>
    private static List<int>? LateByMeans(ReadOnlySpan<double> timeS, double period)
    {
        var late = new List<int>();
        double before = 0,
            behind = 0,
            top = 0;
        int topAt = -1,
            run = 0;
        for (int i = 0; i < 2 * Neighbours && i < timeS.Length; i++)
        {
            (before, behind) = i < Neighbours ? (before + timeS[i], behind) : (before, behind + timeS[i]);
        }

        for (int at = Neighbours; at + Neighbours <= timeS.Length; at++)
        {
            double shift = (behind - before) / Neighbours - Neighbours * period;
            if (shift > 0.5 * period)
            {
                (top, topAt) = shift > top ? (shift, at) : (top, topAt);
                if (++run > 3 * Neighbours)
                {
                    return null;
                }
            }
            else if (topAt >= 0)
            {
                late.Add(topAt);
                (top, topAt, run) = (0, -1, 0);
            }

            if (at + Neighbours < timeS.Length)
            {
                before += timeS[at] - timeS[at - Neighbours];
                behind += timeS[at + Neighbours] - timeS[at];
            }
        }

        if (topAt >= 0)
        {
            late.Add(topAt);
        }

        return late;
    }

    /// <summary>Rows after which samples are missing: the stamps behind lie later than those
    /// before by whole periods, and stay so.</summary>
    private static List<(int After, int Missing)> FindLosses(ReadOnlySpan<double> timeS, double period)
    {
        List<int> candidates = Candidates(timeS, period);
        var losses = new List<(int, int)>();
        int cleanFrom = 0;
        for (int c = 0; c < candidates.Count; c++)
        {
            int at = candidates[c];
            int until = c + 1 < candidates.Count ? Math.Max(candidates[c + 1], Math.Min(at + 4, timeS.Length)) : timeS.Length;
            int missing = Missing(timeS, at, cleanFrom, until, period);
            if (missing > 0)
            {
                losses.Add((at - 1, missing));
                cleanFrom = at;
            }
        }

        DropFalse(losses, timeS, period);
        return losses;
    }

    /// <summary>Takes out losses that only a late stamp made look so: with all other losses allowed for, the stamps behind must lie later
    /// than those before by more than half a period.</summary>
    private static void DropFalse(List<(int After, int Missing)> losses, ReadOnlySpan<double> timeS, double period)
    {
        Span<double> before = stackalloc double[Neighbours],
            behind = stackalloc double[Neighbours];
        for (int l = losses.Count - 1; l >= 0; l--)
        {
            (int after, int missing) = losses[l];
            if (missing > MostDoubted)
            {
                continue;
            }

            double left = MiddleOf(timeS, after, -1, losses, l, period, before),
                right = MiddleOf(timeS, after + 1, 1, losses, l, period, behind);
            int shift = (int)Math.Round((right - left) / period - 1);
            if (shift <= 0)
            {
                losses.RemoveAt(l);
            }
        }
    }

    /// <summary>Median of the stamps from a row on, in one direction, against a line of that period through the row, other losses on
    /// the way allowed for.</summary>
    private static double MiddleOf(
        ReadOnlySpan<double> timeS,
        int row,
        int way,
        List<(int After, int Missing)> losses,
        int own,
        double period,
        Span<double> offsets
    )
    {
        int count = 0,
            lost = 0,
            other = own + way;
        for (int i = row; i >= 0 && i < timeS.Length && count < offsets.Length; i += way)
        {
            // A loss lies between its row and the next one.
            while (other >= 0 && other < losses.Count && (way > 0 ? losses[other].After < i : losses[other].After >= i))
            {
                lost += Math.Min(losses[other].Missing, 1_000_000);
                other += way;
            }

            offsets[count++] = timeS[i] - period * (i - row + way * lost);
        }

        Span<double> used = offsets[..count];
        used.Sort();
        return (used[(count - 1) / 2] + used[count / 2]) / 2;
    }

    private static int Missing(ReadOnlySpan<double> timeS, int at, int cleanFrom, int until, double period)
    {
        double step = (timeS[at] - timeS[at - 1]) / period;
        if (step > 100)
        {
            return (int)Math.Min(int.MaxValue - 1, Math.Round(step) - 1);
        }

        double shift =
            Offset(timeS, at, at, Math.Min(until, at + Neighbours), period)
            - Offset(timeS, at, Math.Max(cleanFrom, at - Neighbours), at, period);
        return Math.Max(0, (int)Math.Round(shift / period));
    }

    /// <summary>Median of the stamps against a line of that period through row <paramref name="at"/>.</summary>
    private static double Offset(ReadOnlySpan<double> timeS, int at, int from, int to, double period)
    {
        Span<double> offsets = stackalloc double[Neighbours];
        int count = Math.Min(to - from, Neighbours);
        for (int i = 0; i < count; i++)
        {
            offsets[i] = timeS[from + i] - period * (from + i - at);
        }

        Span<double> used = offsets[..count];
        used.Sort();
        return (used[(count - 1) / 2] + used[count / 2]) / 2;
    }

    /// <summary>Adds the block of a stretch; parts it where the sample rate changes within.</summary>
    private static void AddBlocks(
        ReadOnlySpan<double> timeS,
        int row,
        int sample,
        List<(int After, int Missing)> holes,
        int holesFrom,
        double period,
        List<ContiguousSegment> blocks,
        Spread residuals,
        int depth
    )
    {
        (int hole, int to) = (holesFrom, holes.Count);
        int filled = 0;
        for (int i = hole; i < to; i++)
        {
            filled += holes[i].After >= row && holes[i].After < row + timeS.Length - 1 ? holes[i].Missing : 0;
        }

        int count = timeS.Length + filled;
        if (timeS.Length < 8)
        {
            double start = Offset(timeS, 0, 0, timeS.Length, period);
            blocks.Add(new(sample, count, AfterBefore(blocks, start, period), period));
            return;
        }

        (double slope, double intercept, double bend, int bendAt) = Line(timeS, row, holes, hole, to, period, residuals);

        // Wobble averages out over the parts of a block; what stays above its deviation is a bend.
        double tolerance = Math.Max(Math.Max(3 * period, 0.005), residuals.LastDeviation);
        if (bend > tolerance && depth < 6 && bendAt > 16 && bendAt < timeS.Length - 16)
        {
            holes.RemoveAll(h => h.After == row + bendAt - 1);
            AddBlocks(timeS[..bendAt], row, sample, holes, holesFrom, period, blocks, residuals, depth + 1);
            sample = blocks[^1].FirstSample + blocks[^1].SampleCount;
            AddBlocks(timeS[bendAt..], row + bendAt, sample, holes, holesFrom, period, blocks, residuals, depth + 1);
            return;
        }

        residuals.Keep();
        blocks.Add(new(sample, count, AfterBefore(blocks, intercept, slope), slope));
    }

    private static double AfterBefore(List<ContiguousSegment> blocks, double start, double period) =>
        blocks.Count == 0 ? start : Math.Max(start, blocks[^1].EndS + 0.5 * period);

    /// <summary>Least squares line through index and stamp, outliers left out in turn; also how
    /// far and where the stamps bend away from it.</summary>
    private static (double Slope, double Intercept, double Bend, int BendAt) Line(
        ReadOnlySpan<double> timeS,
        int row,
        List<(int After, int Missing)> holes,
        int hole,
        int holesTo,
        double period,
        Spread residuals
    )
    {
        int stride = Math.Max(1, timeS.Length / PointsForLine);
        int points = (timeS.Length + stride - 1) / stride;
        double[] x = new double[points],
            y = new double[points];
        int extra = 0;
        for (int i = 0, p = 0; i < timeS.Length; i++)
        {
            if (i % stride == 0)
            {
                (x[p], y[p]) = (i + extra, timeS[i] - timeS[0]);
                p++;
            }

            while (hole < holesTo && holes[hole].After < row + i)
            {
                hole++;
            }

            if (hole < holesTo && holes[hole].After == row + i)
            {
                extra += holes[hole].Missing;
            }
        }

        double slope = period,
            intercept = 0,
            limit = double.PositiveInfinity;
        double[] rest = new double[points];
        double[] sizes = new double[points];
        for (int pass = 0; pass < 5; pass++)
        {
            (slope, intercept) = Fit(x, y, rest, limit, slope, intercept);
            for (int i = 0; i < points; i++)
            {
                rest[i] = y[i] - intercept - slope * x[i];
                sizes[i] = Math.Abs(rest[i]);
            }

            limit = Math.Max(4 * 1.4826 * Selection.Take(sizes, points / 2), 1e-12);
        }

        residuals.Take(rest, limit * 2);
        (double bend, int at) = Bend(rest);
        return (slope, timeS[0] + intercept, bend, Math.Min(timeS.Length - 1, at * stride));
    }

    private static (double Slope, double Intercept) Fit(
        double[] x,
        double[] y,
        double[] rest,
        double limit,
        double slopeBefore,
        double interceptBefore
    )
    {
        double n = 0,
            mx = 0,
            my = 0;
        for (int i = 0; i < x.Length; i++)
        {
            if (Math.Abs(rest[i]) <= limit)
            {
                n++;
                mx += x[i];
                my += y[i];
            }
        }

        if (n < 3)
        {
            return (slopeBefore, interceptBefore);
        }

        mx /= n;
        my /= n;
        double sxx = 0,
            sxy = 0;
        for (int i = 0; i < x.Length; i++)
        {
            if (Math.Abs(rest[i]) <= limit)
            {
                double dx = x[i] - mx;
                sxx += dx * dx;
                sxy += dx * (y[i] - my);
            }
        }

        double slope = sxx > 0 ? sxy / sxx : slopeBefore;
        return slope > 0 ? (slope, my - slope * mx) : (slopeBefore, interceptBefore);
    }

    /// <summary>Largest departure of the residuals' averages from the line, and the corner
    /// where a bent line would best be parted.</summary>
    private static (double Size, int At) Bend(double[] rest)
    {
        const int Parts = 20;
        if (rest.Length < 10 * Parts)
        {
            return (0, 0);
        }

        double size = 0;
        int corner = 0;
        for (int part = 0; part < Parts; part++)
        {
            int from = (int)((long)rest.Length * part / Parts),
                to = (int)((long)rest.Length * (part + 1) / Parts);
            double mean = 0;
            for (int i = from; i < to; i++)
            {
                mean += rest[i] / (to - from);
            }

            if (Math.Abs(mean) > size)
            {
                size = Math.Abs(mean);
                corner = part is 0 or Parts - 1 ? corner : (from + to) / 2;
            }
        }

        if (corner == 0)
        {
            return (size, 0);
        }

        // The sharpest corner near there: the largest or least residual.
        int span = rest.Length / Parts,
            best = corner;
        for (int i = Math.Max(0, corner - span); i < Math.Min(rest.Length, corner + span); i++)
        {
            best = Math.Abs(rest[i]) > Math.Abs(rest[best]) ? i : best;
        }

        return (size, best);
    }

    /// <summary>Collects residuals over blocks.</summary>
    private sealed class Spread
    {
        private double _sum;
        private double _lastSum;
        private long _lastCount;

        internal long Count { get; private set; }

        internal double Deviation => Math.Sqrt(_sum / Math.Max(1, Count));

        internal double LastDeviation => Math.Sqrt(_lastSum / Math.Max(1, _lastCount));

        internal void Take(double[] rest, double limit)
        {
            (_lastSum, _lastCount) = (0, 0);
            foreach (double r in rest)
            {
                if (Math.Abs(r) <= Math.Max(limit, 0))
                {
                    _lastSum += r * r;
                    _lastCount++;
                }
            }
        }

        internal void Keep()
        {
            _sum += _lastSum;
            Count += _lastCount;
        }
    }
}
