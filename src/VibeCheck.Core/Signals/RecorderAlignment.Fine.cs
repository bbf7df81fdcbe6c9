using System.Numerics;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Signals;

/// <summary>The lag under which lines, demodulated by the reported angles, are constant: to some milliseconds.</summary>
internal sealed class FineAlignment
{
    private const double ReachS = 0.48;
    private const double StepS = 0.04;

    /// <summary>A best lag farther than this from a candidate may be the flank of another, s.</summary>
    internal const double WellWithinS = 0.32;

    // Angles are looked up on a grid that nodes and lags share.
    private const double GridS = 0.005;
    private const double NodeHz = 40;
    private const double WindowS = 1.5;
    private const double PartS = 5;
    private const int LeastOfMany = 20,
        MostParts = 40,
        PartsToOne = 6;

    // A part in which the captured share would hardly change with the lag gives no information.
    private const double LeastPredicted = 0.01;

    // Clocks are looked at for a drift of up to this, as a share; and lags at least this far to either side of the top.
    private const double MostDrift = 200e-6;
    private const double LeastSharpReachS = 0.15;

    private static readonly double[] s_window =
    [
        .. Enumerable.Range(0, (int)(WindowS * NodeHz)).Select(j => 0.5 - 0.5 * Math.Cos(Math.Tau * (j + 0.5) / (int)(WindowS * NodeHz))),
    ];

    private readonly List<Part> _parts = [];
    private readonly IReadOnlyList<RotorSpeed> _rotors;
    private readonly RotorAngle[] _angles;
    private readonly int[] _orders;

    // The curves computed last: the same are asked for to choose, to weigh and to settle.
    private (double CandidateS, double[][] Seen, double[][] Predicted)? _last;

    internal FineAlignment(ImuTrack imu, IReadOnlyList<RotorSpeed> rotors, double aroundS)
    {
        _rotors = rotors;
        _angles = [.. rotors.Select(r => new RotorAngle(r.Rpm))];
        double top = rotors.Average(r => r.Rpm.Values.Max()) / 60;
        int blades = Math.Max(2, rotors.Max(r => r.Blades));
        _orders = [.. ((int[])[1, blades]).Where(k => k == 1 || k * top < 0.45 * imu.RateHz)];
        CutParts(imu, aroundS);
    }

    /// <summary>A lag and how well it is borne out.</summary>
    /// <param name="LagS">Where, s.</param>
    /// <param name="Likeness">Mean over parts of the flight of the correlation between the captured power over the lag and what the
    /// reported speeds predict: near 1 for files of one flight, near 0 for others.</param>
    /// <param name="Parts">Parts in which speeds vary enough to find the lag.</param>
    internal readonly record struct Peak(double LagS, double Likeness, int Parts);

    /// <summary>Share of power captured at the best lag within half a second of a candidate, and that lag, s.</summary>
    internal (double Captured, double LagS) Best(double candidateS)
    {
        if (_parts.Count == 0)
        {
            return (0, candidateS);
        }

        double[] sum = Sum(Curves(candidateS).Seen);
        int best = Array.IndexOf(sum, sum.Max());
        return (sum[best], candidateS - ReachS + StepS * best);
    }

    /// <summary>How well the parts of the flight agree with what the reported speeds predict at a lag.</summary>
    internal Peak Weigh(double lagS)
    {
        (double[][] seen, double[][] predicted) = Curves(lagS);
        var likeness = new List<double>();
        for (int p = 0; p < seen.Length; p++)
        {
            (double r, double size) = Likeness(seen[p], predicted[p]);
            if (size > LeastPredicted)
            {
                likeness.Add(r);
            }
        }

        likeness.Sort();
        double mean = likeness.Count == 0 ? 0 : likeness.Average();
        return new(lagS, mean, likeness.Count);
    }

    /// <summary>Correlation of what is seen with what the speeds predict over all parts at once: parts in which speeds change much count
    /// most, so that take-off and manoeuvres speak even where the hover is too calm to.</summary>
    internal double LikenessTogether(double lagS)
    {
        (double[][] seen, double[][] predicted) = Curves(lagS);
        return Likeness([.. seen.SelectMany(AboutMean)], [.. predicted.SelectMany(AboutMean)]).R;
    }

    private static double[] AboutMean(double[] curve)
    {
        double mean = curve.Average();
        return Array.ConvertAll(curve, c => c - mean);
    }

    /// <summary>Correlation of two curves, and how much the second varies (rms).</summary>
    private static (double R, double Size) Likeness(double[] seen, double[] predicted)
    {
        double ms = seen.Average(),
            mf = predicted.Average(),
            sf = 0,
            ss = 0,
            ff = 0;
        for (int i = 0; i < seen.Length; i++)
        {
            sf += (seen[i] - ms) * (predicted[i] - mf);
            ss += (seen[i] - ms) * (seen[i] - ms);
            ff += (predicted[i] - mf) * (predicted[i] - mf);
        }

        return (sf / Math.Sqrt(Math.Max(1e-30, ss * ff)), Math.Sqrt(ff / seen.Length));
    }

    /// <summary>Offset, drift and their intervals from the parts of the flight.</summary>
    internal ClockAlignment Settle(Peak peak)
    {
        double topS = peak.LagS - ReachS + StepS * SharpAlignment.TopOf(Sum(Curves(peak.LagS).Seen));
        double[] timeS = [.. _parts.Select(p => p.MiddleS)];
        double spanS = timeS.Max() - timeS.Min();
        double reachS =
            SharpAlignment.StepS * Math.Round(Math.Clamp(0.05 + MostDrift * spanS / 2, LeastSharpReachS, ReachS) / SharpAlignment.StepS);
        double[][] seen = new double[_parts.Count][],
            predicted = new double[_parts.Count][];
        Parallel.For(0, _parts.Count, p => (seen[p], predicted[p]) = Curves(_parts[p], topS, SharpAlignment.StepS, reachS));
        return new SharpAlignment(seen, predicted, timeS, topS - reachS).Settle();
    }

    private static double[] Sum(double[][] curves)
    {
        double[] sum = new double[curves[0].Length];
        for (int p = 0; p < curves.Length; p++)
        {
            for (int i = 0; i < sum.Length; i++)
            {
                sum[i] += curves[p][i] / curves.Length;
            }
        }

        return sum;
    }

    /// <summary>For each part the share of power captured at each lag around a candidate, and
    /// what the reported speeds predict of it.</summary>
    private (double[][] Seen, double[][] Predicted) Curves(double candidateS)
    {
        if (_last is { } last && last.CandidateS == candidateS)
        {
            return (last.Seen, last.Predicted);
        }

        double[][] seen = new double[_parts.Count][],
            predicted = new double[_parts.Count][];
        Parallel.For(0, _parts.Count, p => (seen[p], predicted[p]) = Curves(_parts[p], candidateS, StepS, ReachS));
        _last = (candidateS, seen, predicted);
        return (seen, predicted);
    }

    private (double[] Seen, double[] Predicted) Curves(Part part, double candidateS, double stepS, double reachS)
    {
        int lags = 2 * (int)Math.Round(reachS / stepS) + 1;
        double[] seen = new double[lags],
            predicted = new double[lags];
        double all = 0,
            allPredicted = 0;
        int nodes = part.Nodes,
            perNode = (int)Math.Round(1 / (NodeHz * GridS)),
            perLag = (int)Math.Round(stepS / GridS),
            reach = (int)Math.Round(reachS / GridS);
        double[] grid = new double[nodes * perNode + 1 + 2 * reach],
            angle = new double[nodes + 1];
        Complex[] middles = new Complex[grid.Length - perNode];
        double[] cos = new double[nodes * _orders.Length],
            sin = new double[nodes * _orders.Length];
        double[][] still = part.StandingStill(_orders),
            sums = [.. Enumerable.Range(0, 6 * _orders.Length).Select(_ => new double[nodes])];
        for (int r = 0; r < _rotors.Count; r++)
        {
            double middle = part.StartS + part.Seconds / 2 - candidateS;
            if (_rotors[r].Rpm.At(middle) < RecorderAlignment.LeastRpm)
            {
                continue;
            }

            double stretch = part.NodeS * NodeHz;
            _angles[r].Fill(part.StartS - candidateS - reachS * stretch, GridS * stretch, grid);
            for (int b = 0; b <= nodes; b++)
            {
                angle[b] = grid[reach + b * perNode];
            }

            for (int x = 0; x < middles.Length; x++)
            {
                middles[x] = Complex.FromPolarCoordinates(1, (grid[x] + grid[x + perNode]) / 2);
            }

            part.TurnBack(angle, _orders, sums);
            all += Squares(sums);
            allPredicted += Squares(still);
            for (int lag = 0; lag < lags; lag++)
            {
                // A lag above the candidate's looks at earlier reports.
                int shift = reach - (lag * perLag - reach);
                Turns(middles.AsSpan(reach), middles.AsSpan(shift), perNode, cos, sin);
                seen[lag] += Captured(nodes, sums, cos, sin);
                predicted[lag] += Captured(nodes, still, cos, sin);
            }
        }

        return (
            Array.ConvertAll(seen, c => all > 0 ? c / all : 0),
            Array.ConvertAll(predicted, c => allPredicted > 0 ? c / allPredicted : 0)
        );
    }

    private static double Squares(double[][] sums)
    {
        double squares = 0;
        foreach (double[] line in sums)
        {
            foreach (double value in line)
            {
                squares += value * value;
            }
        }

        return squares;
    }

    /// <summary>Turns of each order at each node, from the candidate's angles to those of another lag.</summary>
    private void Turns(ReadOnlySpan<Complex> here, ReadOnlySpan<Complex> late, int perNode, double[] cos, double[] sin)
    {
        int nodes = cos.Length / _orders.Length;
        for (int b = 0; b < nodes; b++)
        {
            Complex a = here[b * perNode],
                z = late[b * perNode];
            double c1 = a.Real * z.Real + a.Imaginary * z.Imaginary,
                s1 = a.Imaginary * z.Real - a.Real * z.Imaginary;
            double c = c1,
                s = s1;
            int order = 1;
            for (int o = 0; o < _orders.Length; o++)
            {
                for (; order < _orders[o]; order++)
                {
                    (c, s) = (c * c1 - s * s1, c * s1 + s * c1);
                }

                (cos[o * nodes + b], sin[o * nodes + b]) = (c, s);
            }
        }
    }

    private double Captured(int nodes, double[][] sums, double[] cos, double[] sin)
    {
        int half = s_window.Length / 2,
            lines = sums.Length / (2 * _orders.Length);
        double captured = 0;
        ReadOnlySpan<Vector256<double>> w = MemoryMarshal.Cast<double, Vector256<double>>(s_window);
        for (int o = 0; o < _orders.Length; o++)
        {
            for (int line = 0; line < lines; line++)
            {
                double[] re = sums[2 * (lines * o + line)],
                    im = sums[2 * (lines * o + line) + 1];
                for (int from = 0; from + 2 * half <= nodes; from += half)
                {
                    ReadOnlySpan<Vector256<double>> r = Vectors(re, from),
                        i = Vectors(im, from),
                        c = Vectors(cos, o * nodes + from),
                        s = Vectors(sin, o * nodes + from);
                    Vector256<double> real = default,
                        imaginary = default;
                    for (int j = 0; j < w.Length; j++)
                    {
                        real += w[j] * (r[j] * c[j] - i[j] * s[j]);
                        imaginary += w[j] * (r[j] * s[j] + i[j] * c[j]);
                    }

                    double a = Vector256.Sum(real),
                        b = Vector256.Sum(imaginary);
                    captured += (a * a + b * b) / half;
                }
            }
        }

        return captured;
    }

    /// <summary>As many values as the window has, a multiple of four.</summary>
    private static ReadOnlySpan<Vector256<double>> Vectors(double[] values, int from) =>
        MemoryMarshal.Cast<double, Vector256<double>>(values.AsSpan(from, s_window.Length));

    /// <summary>Takes parts of some seconds in which rotors turn, spread over the flight.</summary>
    private void CutParts(ImuTrack imu, double aroundS)
    {
        var all = new List<Part>();
        foreach (ContiguousSegment block in imu.Blocks)
        {
            int length = (int)(PartS / block.PeriodS);
            for (int first = block.FirstSample; first + length / 2 <= block.FirstSample + block.SampleCount; first += length)
            {
                int count = Math.Min(length, block.FirstSample + block.SampleCount - first);
                all.Add(new Part(imu, first, count, block.TimeOf(first), block.PeriodS));
            }
        }

        // Rotors at rest shake nothing: parts far quieter than the flight are left out.
        double[] levels = [.. all.Select(p => p.Rms).Order()];
        double loud = levels.Length == 0 ? 0 : levels[levels.Length * 3 / 4];
        List<Part> flying = [.. all.Where(p => p.Rms > 0.3 * loud)];

        // One of each equal stretch: the one in which speeds change most is the most informative.
        int take = Math.Min(Math.Clamp(flying.Count / PartsToOne, LeastOfMany, MostParts), flying.Count);
        for (int i = 0; i < take; i++)
        {
            int from = (int)((long)flying.Count * i / take),
                to = (int)((long)flying.Count * (i + 1) / take);
            _parts.Add(flying[from..to].MaxBy(p => Liveliness(p, aroundS))!);
        }
    }

    /// <summary>How much the reported speeds change within a part, mean square over the rotors, (rpm)².</summary>
    private double Liveliness(Part part, double lagS)
    {
        const double StepS = 0.5;
        double sum = 0;
        foreach (RotorSpeed rotor in _rotors)
        {
            for (double t = part.StartS - lagS; t + StepS < part.StartS - lagS + part.Seconds; t += StepS)
            {
                double change = rotor.Rpm.At(t + StepS) - rotor.Rpm.At(t);
                sum += change * change;
            }
        }

        return sum;
    }

    /// <summary>Some seconds of acceleration.</summary>
    private sealed class Part
    {
        private readonly ImuTrack _imu;
        private readonly int _first;
        private readonly int _perNode;

        internal Part(ImuTrack imu, int first, int count, double startS, double periodS)
        {
            (_imu, _first) = (imu, first);
            _perNode = Math.Max(1, (int)Math.Round(1 / (NodeHz * periodS)));
            Nodes = count / _perNode;
            StartS = startS - periodS / 2;
            NodeS = _perNode * periodS;
            double square = 0;
            foreach (double[] axis in imu.Acceleration)
            {
                square += SquareOfSteps(axis.AsSpan(first, count));
            }

            Rms = Math.Sqrt(square / count);
        }

        /// <summary>Differences leave gravity and slow manoeuvres out.</summary>
        private static double SquareOfSteps(ReadOnlySpan<double> values)
        {
            double square = 0;
            for (int i = 1; i < values.Length; i++)
            {
                double step = values[i] - values[i - 1];
                square += step * step;
            }

            return square;
        }

        internal int Nodes { get; }

        internal double StartS { get; }

        internal double NodeS { get; }

        internal double Seconds => Nodes * NodeS;

        internal double MiddleS => StartS + Seconds / 2;

        internal double Rms { get; }

        /// <summary>What <see cref="TurnBack"/> would give along one axis if the lines followed the reported angles without fault; all
        /// axes are alike.</summary>
        internal double[][] StandingStill(int[] orders)
        {
            double[] ones = new double[Nodes],
                none = new double[Nodes];
            Array.Fill(ones, 1);
            return [.. Enumerable.Range(0, 2 * orders.Length).Select(i => i % 2 == 0 ? ones : none)];
        }

        /// <summary>Sums of acceleration times exp(-ikφ) over each node, for each order and
        /// axis; the angle is linear within a node.</summary>
        internal void TurnBack(double[] angle, int[] orders, double[][] sums)
        {
            double[][] axes = [_imu.AccXMps2, _imu.AccYMps2, _imu.AccZMps2];
            Span<double> mean = stackalloc double[3];
            for (int b = 0; b < Nodes; b++)
            {
                int from = _first + b * _perNode;
                for (int axis = 0; axis < 3; axis++)
                {
                    double total = 0;
                    for (int i = 0; i < _perNode; i++)
                    {
                        total += axes[axis][from + i];
                    }

                    mean[axis] = total / _perNode;
                }

                double step = (angle[b + 1] - angle[b]) / _perNode;
                for (int o = 0; o < orders.Length; o++)
                {
                    (double us, double uc) = Math.SinCos(-orders[o] * (angle[b] + step / 2));
                    (double ts, double tc) = Math.SinCos(-orders[o] * step);
                    double xr = 0,
                        xi = 0,
                        yr = 0,
                        yi = 0,
                        zr = 0,
                        zi = 0;
                    for (int i = from; i < from + _perNode; i++)
                    {
                        double x = axes[0][i] - mean[0],
                            y = axes[1][i] - mean[1],
                            z = axes[2][i] - mean[2];
                        xr += x * uc;
                        xi += x * us;
                        yr += y * uc;
                        yi += y * us;
                        zr += z * uc;
                        zi += z * us;
                        (uc, us) = (uc * tc - us * ts, uc * ts + us * tc);
                    }

                    (sums[6 * o][b], sums[6 * o + 1][b], sums[6 * o + 2][b]) = (xr, xi, yr);
                    (sums[6 * o + 3][b], sums[6 * o + 4][b], sums[6 * o + 5][b]) = (yi, zr, zi);
                }
            }
        }
    }
}
