using System.Runtime.CompilerServices;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Signals;

/// <summary>Lags at which reported speeds fall on lines of the vibration, to a tenth of a second.</summary>
internal sealed class CoarseAlignment
{
    internal const double StepS = 0.1;
    private const double WindowS = 0.5;
    private const int MostWindows = 3000;

    // Half a second at any rate that a track may have.
    private const int MostSamples = 1 << 20;

    // Of the windows, that must lie within the reports.
    private const double LeastShare = 0.3;

    private readonly IReadOnlyList<RotorSpeed> _rotors;
    private readonly double _binHz;

    // Time of each window's middle, its level in ln of rms, and the height of each bin over its neighbours.
    private readonly List<double> _timeS = [];
    private readonly List<double> _level = [];
    private readonly List<float[]> _height = [];

    internal CoarseAlignment(ImuTrack imu, IReadOnlyList<RotorSpeed> rotors)
    {
        _rotors = rotors;
        int length = 1 << (int)Math.Round(Math.Log2(Math.Clamp(imu.RateHz * WindowS, 16, MostSamples)));
        _binHz = imu.RateHz / length;
        if (imu.Blocks.Max(b => b.SampleCount) >= length)
        {
            Fill(imu, length);
        }
    }

    /// <summary>The best lags within the search, best first; the middle of the search is always among them.</summary>
    internal IReadOnlyList<double> Candidates(AlignmentSearch search)
    {
        int count = 2 * (int)Math.Ceiling(search.ReachS / StepS) + 1;
        double from = search.AroundS - (count - 1) / 2 * StepS;
        double[] score = new double[count];
        Parallel.For(0, count, i => score[i] = SharesEnough(from + i * StepS) ? Score(from + i * StepS) : double.NegativeInfinity);
        var found = new List<double>();
        int most = search.ReachS > 3 ? 6 : 2;
        foreach (int i in Enumerable.Range(0, count).OrderByDescending(i => score[i]))
        {
            double lag = from + i * StepS;
            if (double.IsFinite(score[i]) && found.All(f => Math.Abs(f - lag) > 0.35))
            {
                found.Add(lag);
            }

            if (found.Count == most)
            {
                break;
            }
        }

        if (found.All(f => Math.Abs(f - search.AroundS) > 0.35))
        {
            found.Add(search.AroundS);
        }

        return found;
    }

    /// <summary>Whether lines stand out near the reported speeds, wherever exactly: the mean, over the time rotors turn, of the highest
    /// bin within 15 % of the reported speed, ln over its neighbours. Noise alone gives about 0.9.</summary>
    internal bool LinesShow(double lagS)
    {
        const double Reach = 0.15,
            Clear = 1.5;
        double sum = 0;
        int n = 0,
            at = 0;
        for (int w = 0; w < _timeS.Count; w++)
        {
            double hz = Hz(_rotors[0].Rpm, _timeS[w] - lagS, ref at);
            if (hz * 60 > RecorderAlignment.LeastRpm)
            {
                float highest = 0;
                for (int b = (int)(hz * (1 - Reach) / _binHz); b <= hz * (1 + Reach) / _binHz && b < _height[w].Length; b++)
                {
                    highest = Math.Max(highest, _height[w][b]);
                }

                sum += highest;
                n++;
            }
        }

        return n > 0 && sum / n > Clear;
    }

    private void Fill(ImuTrack imu, int length)
    {
        double seconds = imu.Blocks.Sum(b => b.SampleCount * b.PeriodS);
        int hop = Math.Max(length / 2, (int)(seconds * imu.RateHz / MostWindows));
        var fft = new RealFft(length);
        double[] window = new double[length],
            power = new double[length / 2 + 1],
            axis = new double[length];
        for (int i = 0; i < length; i++)
        {
            window[i] = 0.5 - 0.5 * Math.Cos(Math.Tau * i / length);
        }

        foreach (ContiguousSegment block in imu.Blocks)
        {
            for (int first = block.FirstSample; first + length <= block.FirstSample + block.SampleCount; first += hop)
            {
                Array.Clear(power);
                double square = 0;
                foreach (double[] acceleration in imu.Acceleration)
                {
                    ReadOnlySpan<double> part = acceleration.AsSpan(first, length);
                    double mean = Mean(part);
                    for (int i = 0; i < length; i++)
                    {
                        double value = part[i] - mean;
                        square += value * value;
                        axis[i] = value * window[i];
                    }

                    fft.Transform(axis);
                    for (int b = 0; b < power.Length; b++)
                    {
                        power[b] += fft.Re[b] * fft.Re[b] + fft.Im[b] * fft.Im[b];
                    }
                }

                _timeS.Add(block.TimeOf(first) + 0.5 * (length - 1) * block.PeriodS);
                _level.Add(Math.Log(Math.Max(square / length, 1e-12)) / 2);
                _height.Add(Heights(power));
            }
        }
    }

    private static double Mean(ReadOnlySpan<double> values)
    {
        double sum = 0;
        foreach (double value in values)
        {
            sum += value;
        }

        return sum / values.Length;
    }

    /// <summary>ln of each bin's power over the mean ln power of its neighbours, at most 5.</summary>
    private static float[] Heights(double[] power)
    {
        const int Reach = 12;
        double[] sums = new double[power.Length + 1];
        for (int b = 0; b < power.Length; b++)
        {
            sums[b + 1] = sums[b] + Math.Log(power[b] + 1e-12);
        }

        float[] height = new float[power.Length];
        for (int b = 0; b < power.Length; b++)
        {
            int from = Math.Max(0, b - Reach),
                to = Math.Min(power.Length, b + Reach + 1);
            height[b] = (float)Math.Clamp(Math.Log(power[b] + 1e-12) - (sums[to] - sums[from]) / (to - from), -1, 5);
        }

        return height;
    }

    /// <summary>Whether as many windows lie within the first rotor's readings as a score needs;
    /// it spares most lags of clocks far apart.</summary>
    private bool SharesEnough(double lagS)
    {
        double[] times = _rotors[0].Rpm.TimeS;
        return FirstAtOrAfter(times[^1] + lagS + StepS) - FirstAtOrAfter(times[0] + lagS - StepS) >= LeastShare * _timeS.Count;
    }

    private int FirstAtOrAfter(double timeS)
    {
        int at = _timeS.BinarySearch(timeS);
        return at >= 0 ? at : ~at;
    }

    /// <summary>How well a lag fits: mean height at the reported lines while rotors turn, and how the level varies with the
    /// speeds.</summary>
    private double Score(double lagS)
    {
        int[] at = new int[_rotors.Count];
        double heights = 0,
            lines = 0;
        double n = 0,
            sx = 0,
            sy = 0,
            sxx = 0,
            syy = 0,
            sxy = 0;
        for (int w = 0; w < _timeS.Count; w++)
        {
            double speed = 0;
            bool known = true;
            for (int r = 0; r < _rotors.Count; r++)
            {
                double hz = Hz(_rotors[r].Rpm, _timeS[w] - lagS, ref at[r]);
                known &= !double.IsNaN(hz);
                speed += hz;
                if (hz * 60 > RecorderAlignment.LeastRpm)
                {
                    heights += HeightAt(w, hz) + HeightAt(w, hz * Math.Max(2, _rotors[r].Blades));
                    lines += 2;
                }
            }

            if (known)
            {
                double x = speed / _rotors.Count,
                    y = _level[w];
                n++;
                sx += x;
                sy += y;
                sxx += x * x;
                syy += y * y;
                sxy += x * y;
            }
        }

        // Too little in common: a lag that hangs on a few windows.
        if (n < LeastShare * _timeS.Count || lines < 20 * _rotors.Count)
        {
            return double.NegativeInfinity;
        }

        double spread = (sxx - sx * sx / n) * (syy - sy * sy / n);
        double correlation = spread > 1e-9 ? (sxy - sx * sy / n) / Math.Sqrt(spread) : 0;
        return heights / lines + 2 * correlation;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private double HeightAt(int window, double hz)
    {
        double bin = hz / _binHz;
        int low = (int)bin;
        float[] height = _height[window];
        return low + 1 < height.Length ? height[low] + (bin - low) * (height[low + 1] - height[low]) : 0;
    }

    /// <summary>Reported speed at a time, Hz; NaN outside the readings. Times asked for must rise.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static double Hz(Series rpm, double timeS, ref int at)
    {
        double[] times = rpm.TimeS;
        if (timeS < times[0] || timeS > times[^1])
        {
            return double.NaN;
        }

        while (at + 2 < times.Length && times[at + 1] < timeS)
        {
            at++;
        }

        double share = (timeS - times[at]) / (times[at + 1] - times[at]);
        return (rpm.Values[at] + share * (rpm.Values[at + 1] - rpm.Values[at])) / 60;
    }
}
