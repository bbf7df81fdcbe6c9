using System.Runtime.InteropServices;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Logs.Clocks;

/// <summary>Builds the contiguous segments of a clock from the rows between gaps, in rising order. Where the sample rate changes within the
/// rows, they become two segments.</summary>
/// <param name="periodS">Usual time between samples, s.</param>
internal sealed class ClockSegments(double periodS)
{
    // With fewer rows than this no line is fitted, and the usual period is used.
    private const int LeastRows = 8;

    // A segment is divided at most this many times, and never closer to its ends than this many rows.
    private const int MostDivisions = 6,
        LeastRowsAside = 16;

    // The stamps may bend away from a line by this much: in periods, and in seconds.
    private const double BendPeriods = 3,
        BendS = 0.005;

    private readonly List<ContiguousSegment> _segments = [];
    private readonly List<SampleLoss> _holes = [];
    private ResidualSpread _residuals;
    private int _firstHole;

    internal IReadOnlyList<ContiguousSegment> Segments => _segments;

    internal IReadOnlyList<SampleLoss> Holes => _holes;

    /// <summary>Standard deviation of the stamps against the lines of all segments, s; null where there are too few.</summary>
    internal double? JitterS => _residuals.Count > 2 ? _residuals.DeviationS : null;

    private int NextSample => _segments.Count == 0 ? 0 : _segments[^1].FirstSample + _segments[^1].SampleCount;

    /// <summary>Adds a hole that is to be filled in. It must lie within the rows that are added next.</summary>
    internal void AddHole(SampleLoss hole) => _holes.Add(hole);

    /// <summary>Adds the rows up to the next gap.</summary>
    /// <param name="timeS">Stamps of all rows, s.</param>
    /// <param name="from">The first row to add.</param>
    /// <param name="to">The row after the last one to add.</param>
    internal void AddRows(ReadOnlySpan<double> timeS, int from, int to)
    {
        Add(timeS[from..to], from, divisions: 0);
        _firstHole = _holes.Count;
    }

    private void Add(ReadOnlySpan<double> timeS, int row, int divisions)
    {
        ReadOnlySpan<SampleLoss> holes = CollectionsMarshal.AsSpan(_holes)[_firstHole..];
        int count = timeS.Length;
        foreach (SampleLoss hole in holes)
        {
            count += hole.AfterRow >= row && hole.AfterRow < row + timeS.Length - 1 ? hole.Missing : 0;
        }

        if (timeS.Length < LeastRows)
        {
            AddSegment(count, StampOffset.MedianS(timeS, 0, 0, timeS.Length, periodS), periodS);
            return;
        }

        ClockLine line = ClockLine.Fit(timeS, row, holes, periodS);

        // Jitter averages out over the parts of a segment. What exceeds the standard deviation of the jitter is a bend.
        double toleranceS = Math.Max(Math.Max(BendPeriods * periodS, BendS), line.Residuals.DeviationS);
        bool canDivide = divisions < MostDivisions && line.BendRow > LeastRowsAside && line.BendRow < timeS.Length - LeastRowsAside;
        if (line.BendS > toleranceS && canDivide)
        {
            _holes.RemoveAll(h => h.AfterRow == row + line.BendRow - 1);
            Add(timeS[..line.BendRow], row, divisions + 1);
            Add(timeS[line.BendRow..], row + line.BendRow, divisions + 1);
            return;
        }

        _residuals += line.Residuals;
        AddSegment(count, line.StartS, line.PeriodS);
    }

    /// <summary>Adds a segment; it starts after the end of the previous one.</summary>
    private void AddSegment(int count, double startS, double segmentPeriodS)
    {
        double laterS = _segments.Count == 0 ? startS : Math.Max(startS, _segments[^1].EndS + 0.5 * segmentPeriodS);
        _segments.Add(new(NextSample, count, laterS, segmentPeriodS));
    }
}
