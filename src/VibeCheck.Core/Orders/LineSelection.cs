using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using Tuning = VibeCheck.Core.Orders.OrderTuning.Selection;

namespace VibeCheck.Core.Orders;

/// <summary>Which lines can be measured, and why the others cannot.</summary>
internal sealed class LineSelection
{
    private readonly IReadOnlyList<DetrendedSegment> _segments;
    private readonly OrderOptions _options;
    private readonly List<Line> _lines = [];
    private readonly List<RotorSpeed> _rotors = [];
    private readonly List<Series> _speeds = [];
    private readonly Dictionary<(string MotorId, int Order), Reason> _whyNoLine = [];
    private readonly Dictionary<string, Reason> _whyNot = [];

    private LineSelection(IReadOnlyList<RotorSpeed> rotors, IReadOnlyList<DetrendedSegment> segments, OrderOptions options)
    {
        (All, _segments, _options) = (rotors, segments, options);
        foreach (RotorSpeed rotor in rotors)
        {
            if (WhyNot(rotor.Rpm) is { } why)
            {
                _whyNot[rotor.MotorId] = why;
            }
            else
            {
                AddLines(rotor, SpeedSmoothing.Clean(rotor.Rpm));
            }
        }
    }

    /// <summary>All requested rotors.</summary>
    internal IReadOnlyList<RotorSpeed> All { get; }

    /// <summary>Rotors with a line or more; the other lists and the lines count along it.</summary>
    internal IReadOnlyList<RotorSpeed> Rotors => _rotors;

    /// <summary>Their speeds, cleaned.</summary>
    internal IReadOnlyList<Series> Speeds => _speeds;

    /// <summary>The lines of all rotors, those of one rotor in rising order.</summary>
    internal IReadOnlyList<Line> Lines => _lines;

    /// <summary>Sample rate of the segments, Hz; NaN where there are none.</summary>
    internal double RateHz => _segments.Count == 0 ? double.NaN : 1 / _segments[0].PeriodS;

    internal static LineSelection Of(IReadOnlyList<RotorSpeed> rotors, IReadOnlyList<DetrendedSegment> segments, OrderOptions options) =>
        new(rotors, segments, options);

    /// <summary>Requested orders of a rotor, ascending.</summary>
    internal IReadOnlyList<int> Orders(RotorSpeed rotor) => _options.For(rotor.Blades);

    /// <summary>Index of a rotor in <see cref="Rotors"/>; below 0 when it has no line.</summary>
    internal int IndexOf(RotorSpeed rotor) => _rotors.IndexOf(rotor);

    /// <summary>Index of a line; below 0 when it is not measured.</summary>
    internal int IndexOf(int rotor, int order) => _lines.FindIndex(l => l.Rotor == rotor && l.Order == order);

    /// <summary>Why nothing of a rotor can be measured; null when something can.</summary>
    internal Reason? WhyNot(RotorSpeed rotor) => _whyNot.GetValueOrDefault(rotor.MotorId);

    /// <summary>Why an order of a rotor is not measured.</summary>
    internal Reason WhyNot(RotorSpeed rotor, int order) => WhyNot(rotor) ?? _whyNoLine[(rotor.MotorId, order)];

    private void AddLines(RotorSpeed rotor, Series rpm)
    {
        double hz = MeanRpm(rpm) / 60,
            rateHz = RateHz;
        int before = _lines.Count;
        foreach (int order in Orders(rotor))
        {
            var line = Line.Of(_rotors.Count, order, hz, rateHz);
            if (WhyNoLine(line, hz, rateHz) is { } reason)
            {
                _whyNoLine[(rotor.MotorId, order)] = reason;
            }
            else
            {
                _lines.Add(line);
            }
        }

        if (_lines.Count > before)
        {
            _rotors.Add(rotor);
            _speeds.Add(rpm);
        }
    }

    private double MeanRpm(Series rpm) =>
        rpm.MeanOver([.. _segments.Select(s => new TimeInterval(s.StartS, s.StartS + s.Seconds))]) ?? rpm.Values.Average();

    private static Reason? WhyNoLine(Line line, double rotorHz, double rateHz)
    {
        double at = line.ApparentHz(rotorHz);
        return line.Hz > Tuning.MostSampleRates * rateHz ? new OrderAboveSampleRate(line.Hz, rateHz)
            : at < Tuning.NearestToFoldHz || at > rateHz / 2 - Tuning.NearestToFoldHz ? new OrderAtFold(line.Hz, rateHz)
            : null;
    }

    private Reason? WhyNot(Series rpm)
    {
        if (_segments.Count == 0)
        {
            return new HoverWithoutSegment(Tuning.ShortestSegmentS);
        }

        (int turning, int standing, double coveredS) = Coverage(rpm);
        double allS = _segments.Sum(s => s.Seconds);
        return turning == 0
            ? standing > 0
                ? new MotorStoodStill()
                : new SpeedReadingsMissing()
            : turning < Tuning.LeastReadings || coveredS < Tuning.LeastCoverage * allS
                ? new SpeedReadingsSparse(coveredS / allS)
                : null;
    }

    /// <summary>Readings at which the rotor turns and at which it is stopped, and the time covered by the first.</summary>
    private (int Turning, int Standing, double CoveredS) Coverage(Series rpm)
    {
        int turning = 0,
            standing = 0;
        double covered = 0;
        foreach (DetrendedSegment s in _segments)
        {
            double last = double.NaN,
                end = s.StartS + s.Seconds;
            for (int i = Math.Max(0, rpm.FirstAtOrAfter(s.StartS) - 1); i < rpm.Count && rpm.TimeS[i] <= end; i++)
            {
                double t = rpm.TimeS[i],
                    v = rpm.Values[i];
                if (double.IsFinite(v) && v >= Tuning.LeastRpm)
                {
                    turning++;
                    covered += double.IsNaN(last) ? 0 : Math.Min(1, t - Math.Max(last, s.StartS));
                    last = t;
                }
                else if (double.IsFinite(v))
                {
                    standing++;
                    last = double.NaN;
                }
            }
        }

        return (turning, standing, covered);
    }
}
