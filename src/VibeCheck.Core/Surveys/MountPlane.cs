using VibeCheck.Core.Airframes;

namespace VibeCheck.Core.Surveys;

/// <summary>The plane that a motor takes on stacks of given heights under its bolts: least squares over all of them.</summary>
internal sealed class MountPlane
{
    private readonly double[] _x;
    private readonly double[] _y;
    private readonly double[] _toAcross;
    private readonly double[] _toAlong;

    internal MountPlane(BoltPattern pattern)
    {
        double meanX = pattern.Bolts.Average(b => b.AcrossMm),
            meanY = pattern.Bolts.Average(b => b.AlongMm);
        _x = [.. pattern.Bolts.Select(b => b.AcrossMm - meanX)];
        _y = [.. pattern.Bolts.Select(b => b.AlongMm - meanY)];
        double xx = _x.Sum(x => x * x),
            yy = _y.Sum(y => y * y),
            xy = _x.Zip(_y, (x, y) => x * y).Sum(),
            determinant = xx * yy - xy * xy;
        if (pattern.InOneLine)
        {
            // Bolts in one line say nothing about the tilt about it: the least slope that fits them, which is along the line.
            double scale = (xx + yy) * (xx + yy);
            _toAcross = [.. _x.Select((x, i) => (xx * x + xy * _y[i]) / scale)];
            _toAlong = [.. _y.Select((y, i) => (yy * y + xy * _x[i]) / scale)];
        }
        else
        {
            _toAcross = [.. _x.Select((x, i) => (yy * x - xy * _y[i]) / determinant)];
            _toAlong = [.. _y.Select((y, i) => (xx * y - xy * _x[i]) / determinant)];
        }

        SpanningFirst = Order(pattern);
    }

    /// <summary>Numbers of the bolts, the three that span the largest triangle first (or the two ends of a line).</summary>
    internal int[] SpanningFirst { get; }

    private int SpanningCount => SpanningFirst.Length < 3 || Area(SpanningFirst[0], SpanningFirst[1], SpanningFirst[2]) < 1e-6 ? 2 : 3;

    internal (double Across, double Along) Slopes(ReadOnlySpan<double> heightsMm)
    {
        double across = 0,
            along = 0;
        for (int i = 0; i < heightsMm.Length; i++)
        {
            across += _toAcross[i] * heightsMm[i];
            along += _toAlong[i] * heightsMm[i];
        }

        return (across, along);
    }

    /// <summary>Largest distance of a stack from the plane, mm.</summary>
    internal double Rocking(ReadOnlySpan<double> heightsMm, double across, double along)
    {
        double mean = 0,
            largest = 0;
        for (int i = 0; i < heightsMm.Length; i++)
        {
            mean += heightsMm[i] / heightsMm.Length;
        }

        for (int i = 0; i < heightsMm.Length; i++)
        {
            largest = Math.Max(largest, Math.Abs(heightsMm[i] - mean - across * _x[i] - along * _y[i]));
        }

        return largest < 1e-12 ? 0 : largest;
    }

    /// <summary>Weights that give a bolt's height on the plane through the spanning bolts; null for those bolts themselves.</summary>
    internal double[]? WeightsFromSpanning(int bolt)
    {
        int[] s = [.. SpanningFirst.Take(SpanningCount)];
        if (s.Contains(bolt))
        {
            return null;
        }

        if (s.Length == 2)
        {
            double dx = _x[s[1]] - _x[s[0]],
                dy = _y[s[1]] - _y[s[0]];
            double t = ((_x[bolt] - _x[s[0]]) * dx + (_y[bolt] - _y[s[0]]) * dy) / (dx * dx + dy * dy);
            return [1 - t, t];
        }

        double whole = SignedArea(s[0], s[1], s[2]);
        return [SignedArea(bolt, s[1], s[2]) / whole, SignedArea(s[0], bolt, s[2]) / whole, SignedArea(s[0], s[1], bolt) / whole];
    }

    private int[] Order(BoltPattern pattern)
    {
        int n = pattern.Bolts.Count;
        int[] first = [0, 1];
        double largest = -1;
        bool inOneLine = pattern.InOneLine;
        for (int a = 0; a < n; a++)
        {
            for (int b = a + 1; b < n; b++)
            {
                for (int c = b + 1; c < n && !inOneLine; c++)
                {
                    if (Area(a, b, c) > largest + 1e-9)
                    {
                        (largest, first) = (Area(a, b, c), [a, b, c]);
                    }
                }
            }
        }

        return [.. first, .. Enumerable.Range(0, n).Except(first)];
    }

    private double Area(int a, int b, int c) => Math.Abs(SignedArea(a, b, c));

    private double SignedArea(int a, int b, int c) => ((_x[b] - _x[a]) * (_y[c] - _y[a]) - (_x[c] - _x[a]) * (_y[b] - _y[a])) / 2;
}
