using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>A narrow line other than the whole orders.</summary>
/// <param name="Hz">Its mean frequency, Hz.</param>
/// <param name="Path">The rotor that it follows; null for a steady line, and where the rotor is not known.</param>
/// <param name="IsUnambiguous">Whether the data shows that it follows that rotor, or none.</param>
/// <param name="Height">Its density relative to the floor.</param>
internal sealed record FoundLine(double Hz, RotorPath? Path, bool IsUnambiguous, double Height)
{
    /// <summary>Whether whole orders cover its place, so that it is visible only because it stands still.</summary>
    internal bool IsCovered { get; init; }

    internal double Multiple => Path is null ? 0 : Hz / Path.MeanHz;
}

/// <summary>Looks for narrow lines other than the whole orders, and distinguishes those that follow a rotor from those that are
/// steady.</summary>
/// <remarks>A line shows on the axis of frequency, or, where the speed of its rotor varies much, on that of the rotor's orders (frequency
/// over speed). Its frequency from window to window shows which rotor it follows: the one whose speed, times a constant, leaves the
/// smallest residual, or none.</remarks>
internal sealed class LineSearch(ShortSpectra spectra, IReadOnlyList<RotorPath> paths, byte[][] owner, double[] floor, Interval band)
{
    /// <summary>A line must have this ratio to the floor.</summary>
    internal const double Clear = 5;

    private const double LowestMultiple = 0.3,
        HighestMultiple = 8;
    private const double MostScatter = 0.75;
    private const int Most = 8;
    private const int LeastWindows = 6;
    private const double LeastShareOfWindows = 0.3;

    // The residual of a hypothesis must be less than this share of the next one.
    private const double DistinctShare = 0.6;
    private const double ReachShare = 0.012;

    // A line that is covered by whole orders: in a low quantile of the windows the passing orders contribute little. It must stand still
    // within a fraction of a bin where each rotor's line would move several times further.
    private const double LowShare = 0.25;
    private const int CoveredReach = 10;
    private const double StillBins = 0.15,
        MovesMore = 3;

    private readonly double _df = spectra.ResolutionHz;

    internal IReadOnlyList<FoundLine> Find()
    {
        List<(double Hz, double Height)> candidates = [.. Peaks(OnAxis(null), null)];
        foreach (RotorPath path in paths)
        {
            candidates.AddRange(Peaks(OnAxis(path), path));
        }

        List<FoundLine> found = [];
        foreach ((double hz, double height) in candidates.OrderByDescending(c => c.Height))
        {
            if (
                found.Count < Most
                && !found.Exists(f => Math.Abs(f.Hz - hz) < 5 * _df + 2 * ReachShare * hz)
                && Judge(hz, height) is { } line
            )
            {
                // A line that orders pass over in some windows is measured in the same way as one that they always cover.
                bool isSteady = line is { Path: null, IsUnambiguous: true } && SteadyHz((int)Math.Round(line.Hz / _df)) is not null;
                found.Add(line with { IsCovered = isSteady });
            }
        }

        foreach (FoundLine line in Covered())
        {
            if (found.Count < Most && !found.Exists(f => Math.Abs(f.Hz - line.Hz) < 5 * _df))
            {
                found.Add(line);
            }
        }

        return found;
    }

    /// <summary>Steady lines among the whole orders, strongest first: the orders pass over a bin, a steady line stays in it.</summary>
    private IEnumerable<FoundLine> Covered()
    {
        double[] low =
        [
            .. Enumerable.Range(0, spectra.Bins).Select(k => Robust.Quantile([.. spectra.Density.Select(row => (double)row[k])], LowShare)),
        ];
        int first = (int)Math.Ceiling(band.Low / _df) + CoveredReach,
            last = Math.Min(spectra.Bins - 1, (int)(band.High / _df)) - CoveredReach;
        List<FoundLine> lines = [];
        for (int k = first; k <= last; k++)
        {
            double beside = Robust.Median([.. low[(k - CoveredReach)..(k - 2)], .. low[(k + 3)..(k + CoveredReach + 1)]]);
            if (low[k] > Clear * beside && low[k] >= low[k - 1] && low[k] > low[k + 1] && SteadyHz(k) is double hz)
            {
                lines.Add(new(hz, null, true, low[k] / beside) { IsCovered = true });
            }
        }

        return lines.OrderByDescending(l => l.Height);
    }

    /// <summary>Frequency at which a line stands still within a fraction of a bin while the speed of every rotor varies by more; null where
    /// there is none.</summary>
    private double? SteadyHz(int bin)
    {
        double[] track = [.. spectra.Density.Select(row => PlaceIn(row, bin - 1, bin + 1))];
        (double place, double scatter) = Robust.MedianAndMad(track);
        double leastMove = paths.Min(p => bin * _df * Robust.MedianAndMad(p.Hz).ScaledMad / p.MeanHz);
        return scatter < StillBins * _df && leastMove > MovesMore * Math.Max(scatter, 0.01 * _df) ? place : null;
    }

    private IEnumerable<(double Hz, double Height)> Peaks(double[] axis, RotorPath? path)
    {
        for (int k = 4; k < axis.Length - 4; k++)
        {
            bool within = path is null || (k * _df / path.MeanHz is > LowestMultiple and < HighestMultiple);
            if (
                within
                && axis[k] > Clear
                && axis[k] >= axis[k - 1]
                && axis[k] > axis[k + 1]
                && Foot(axis, k, -1) < axis[k] / 4
                && Foot(axis, k, 1) < axis[k] / 4
            )
            {
                yield return (k * _df, axis[k]);
            }
        }
    }

    /// <summary>A line decreases to the floor within four bins; a mode of the structure does not.</summary>
    private static double Foot(double[] axis, int k, int step)
    {
        double least = double.PositiveInfinity;
        for (int i = 2; i <= 4; i++)
        {
            double at = axis[k + i * step];
            least = at == 0 ? least : Math.Min(least, at);
        }

        return double.IsFinite(least) ? least : 0;
    }

    /// <summary>The rotor that a line follows; null where its size varies too much for a line.</summary>
    private FoundLine? Judge(double hz, double height)
    {
        List<(int Window, double Hz, double Power)> track = Track(hz);
        if (track.Count < LeastWindows)
        {
            return null;
        }

        if (Scatter(track) > MostScatter)
        {
            // A line that began during the hover is steady from then on.
            int began = PowerStep.Up([.. track.Select(t => t.Power)]) ?? track.Count;
            track.RemoveRange(0, began);
            if (track.Count < LeastWindows || Scatter(track) > MostScatter)
            {
                return null;
            }
        }

        double place = track.Average(t => t.Hz),
            steady = track.Average(t => Math.Pow(t.Hz - place, 2));
        (RotorPath Path, double Left)[] rotors = [.. paths.Select(p => (p, Left(track, p))).OrderBy(r => r.Item2)];
        double best = rotors[0].Left,
            next = rotors.Length > 1 ? rotors[1].Left : double.PositiveInfinity;

        // Noise causes an error of a hundredth of a bin for a clear line.
        double noise = Math.Pow(0.01 * _df, 2);
        bool follows = best + noise < DistinctShare * (steady + noise),
            stays = steady + noise < DistinctShare * (best + noise);
        return follows
            ? new(place, rotors[0].Path, best + noise < DistinctShare * (next + noise), height)
            : new(place, null, stays, height);
    }

    private static double Scatter(List<(int Window, double Hz, double Power)> track)
    {
        double mean = track.Average(t => t.Power);
        return Math.Sqrt(track.Average(t => Math.Pow(t.Power - mean, 2))) / mean;
    }

    /// <summary>Residual of the line's frequency relative to a rotor's speed, mean square, Hz².</summary>
    private static double Left(List<(int Window, double Hz, double Power)> track, RotorPath path)
    {
        double ratio = track.Sum(t => t.Hz) / track.Sum(t => path.Hz[t.Window]);
        return track.Average(t => Math.Pow(t.Hz - ratio * path.Hz[t.Window], 2));
    }

    /// <summary>The line's frequency and power in each window without a whole order close to it.</summary>
    private List<(int Window, double Hz, double Power)> Track(double hz)
    {
        int middle = (int)Math.Round(hz / _df),
            reach = 2 + (int)(ReachShare * middle);
        List<(int Window, double Hz, double Power)> track = [];
        for (int w = 0; w < owner.Length; w++)
        {
            float[] row = spectra.Density[w];
            int at = middle;
            bool free = true;
            for (int k = middle - reach; k <= middle + reach; k++)
            {
                free &= k > 1 && k + 1 < row.Length && owner[w][k] == 0;
                at = free && row[k] > row[at] ? k : at;
            }

            if (free && row[at] > 0 && row[at - 1] > 0 && row[at + 1] > 0)
            {
                track.Add((w, Vertex(row, at), row[at - 1] + row[at] + row[at + 1]));
            }
        }

        return track;
    }

    /// <summary>Frequency of the highest of some bins, Hz.</summary>
    private double PlaceIn(float[] row, int from, int to)
    {
        int at = from;
        for (int k = from; k <= to; k++)
        {
            at = row[k] > row[at] ? k : at;
        }

        return Vertex(row, at);
    }

    /// <summary>Frequency of a peak between bins, Hz: vertex of the parabola through three logarithms.</summary>
    private double Vertex(float[] row, int at)
    {
        double a = Math.Log(row[at - 1]),
            b = Math.Log(row[at]),
            c = Math.Log(row[at + 1]),
            bend = a - 2 * b + c;
        return (at + (bend < 0 ? Math.Clamp(0.5 * (a - c) / bend, -0.5, 0.5) : 0)) * _df;
    }

    /// <summary>Mean power relative to the floor, without whole orders, on the axis of a rotor's orders (scaled so that a bin is a bin at
    /// its mean speed), or on that of frequency.</summary>
    private double[] OnAxis(RotorPath? path)
    {
        double[] sum = new double[spectra.Bins];
        int[] count = new int[sum.Length];
        int first = (int)Math.Ceiling(band.Low / _df),
            last = Math.Min(sum.Length - 2, (int)(band.High / _df));
        for (int w = 0; w < owner.Length; w++)
        {
            double ratio = path is null ? 1 : path.Hz[w] / path.MeanHz;
            for (int i = first; i <= last; i++)
            {
                double bin = i * ratio;
                int k = (int)bin;
                if (k + 1 < sum.Length && owner[w][k] == 0 && owner[w][k + 1] == 0)
                {
                    double u = bin - k;
                    sum[i] += (1 - u) * spectra.Density[w][k] / floor[k] + u * spectra.Density[w][k + 1] / floor[k + 1];
                    count[i]++;
                }
            }
        }

        double least = LeastShareOfWindows * owner.Length;
        for (int i = 0; i < sum.Length; i++)
        {
            sum[i] = count[i] > least ? sum[i] / count[i] : 0;
        }

        return sum;
    }
}
