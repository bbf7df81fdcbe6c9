using System.Numerics.Tensors;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Mean square of each order of each motor on each IMU channel, window by window, at the phase of the reported speed.</summary>
/// <remarks>A plain least-squares fit in windows of 2 s. Errors of the reported speed weaken all channels alike, so the ratios between
/// channels and between windows are right where the levels are not: they test the results of <see cref="OrderAnalysis"/>, they do not
/// replace them. The floor is fitted in the same way beside the order, at 0.93 and 1.07 times its phase.</remarks>
internal sealed class ShortTimeOrders
{
    private const double WindowS = 2, LeastRpm = 300, TopShare = 0.9;
    private const int MostWindows = 40, LeastWindows = 8, SpeedKnots = 33;

    // Diagonal loading of the normal matrix, relative: close motors share their power instead of making it up.
    private const double Loading = 0.02;

    private static readonly double[] Beside = [0.93, 1.07];

    private ShortTimeOrders(IReadOnlyList<MotorOrder> lines, int channels, IReadOnlyList<Window> windows) =>
        (Lines, Channels, Windows) = (lines, channels, windows);

    /// <summary>The lines, in the order of the values of a window.</summary>
    internal IReadOnlyList<MotorOrder> Lines { get; }

    /// <summary>3 with acceleration alone, 6 with rates.</summary>
    internal int Channels { get; }

    /// <summary>Windows in order of time.</summary>
    internal IReadOnlyList<Window> Windows { get; }

    /// <summary>One window.</summary>
    /// <param name="FromS">Its start, s.</param>
    /// <param name="ToS">Its end, s.</param>
    /// <param name="Power">Mean square by line, then channel: (m/s²)² and (rad/s)².</param>
    /// <param name="Floor">Mean square that the floor alone gives.</param>
    internal sealed record Window(double FromS, double ToS, double[] Power, double[] Floor);

    /// <summary>Fits the orders that the analysis knows; null without speeds or with too short a hover.</summary>
    internal static ShortTimeOrders? Of(Flight flight, FlightAnalysis analysis)
    {
        ImuTrack imu = flight.Imu;
        (string Id, Series Rpm)[] motors =
        [
            .. analysis.Airframe.Motors.Select(m => (m.Id, flight.Track(m.Id)?.Rpm)).Where(m => m.Rpm is { Count: > 1 }).Select(m => (m.Id, Spikes.Without(m.Rpm!)))
                .Where(m => m.Item2.MeanOver(analysis.Hover.Segments) > LeastRpm),
        ];
        int[] orders = [.. analysis.Motors.SelectMany(m => m.Orders).Where(o => o.RmsMps2.IsKnown || o.GroupMps2 is { IsKnown: true }).Select(o => o.Order).Distinct().Order()];
        int length = (int)(WindowS * imu.RateHz);
        if (motors.Length == 0 || length < 64)
        {
            return null;
        }

        double fastestHz = motors.Max(m => m.Rpm.MeanOver(analysis.Hover.Segments)!.Value) / 60;
        orders = [.. orders.Where(k => k * fastestHz * Beside[^1] < TopShare * imu.RateHz / 2)];
        IReadOnlyList<ContiguousSegment> runs = ContiguousSegment.Within(imu, analysis.Hover.Segments);
        double[][] channels = imu.RateXRadps is { } x && imu.RateYRadps is { } y && imu.RateZRadps is { } z ? [.. imu.Acceleration, x, y, z] : [.. imu.Acceleration];
        if (orders.Length == 0)
        {
            return null;
        }

        var fit = new WindowFit([.. motors.Select(m => m.Rpm)], orders, channels, length);
        int step = Math.Max(length, (int)(runs.Sum(r => (long)r.SampleCount) / MostWindows));
        var windows = new List<Window>();
        foreach (ContiguousSegment run in runs)
        {
            for (int first = run.FirstSample; first + length <= run.FirstSample + run.SampleCount; first += step)
            {
                Window window = fit.At(first, run);
                if (window.Power.All(double.IsFinite) && window.Floor.All(double.IsFinite))
                {
                    windows.Add(window);
                }
            }
        }

        return windows.Count < LeastWindows ? null : new([.. orders.SelectMany(k => motors.Select(m => new MotorOrder(m.Id, k)))], channels.Length, windows);
    }

    /// <summary>Mean over some windows of the power above the floor of a line on the acceleration (0 to 2) or the rates (3 to 5).</summary>
    internal (double Power, double Floor) Mean(int line, int fromChannel, IEnumerable<Window> windows)
    {
        double power = 0, floor = 0;
        int n = 0;
        foreach (Window window in windows)
        {
            for (int c = fromChannel; c < fromChannel + 3; c++)
            {
                power += window.Power[line * Channels + c];
                floor += window.Floor[line * Channels + c];
            }

            n++;
        }

        return (power / n, floor / n);
    }

    /// <summary>The fit of all motors at one order in one window.</summary>
    private sealed class WindowFit(Series[] rpm, int[] orders, double[][] channels, int length)
    {
        private readonly double[] _weights = Signals.Window.Hann.Values(length);
        private readonly double[][] _cycles = [.. rpm.Select(_ => new double[length])];
        private readonly double[] _columns = new double[2 * rpm.Length * length];
        private readonly double[] _normal = new double[4 * rpm.Length * rpm.Length], _inverse = new double[4 * rpm.Length * rpm.Length];
        private readonly double[] _means = new double[channels.Length];
        private readonly double[] _angles = new double[length], _weighted = new double[length];

        internal Window At(int first, ContiguousSegment block)
        {
            for (int m = 0; m < rpm.Length; m++)
            {
                Cycles(rpm[m], block.TimeOf(first), block.PeriodS, _cycles[m]);
            }

            for (int c = 0; c < channels.Length; c++)
            {
                _means[c] = TensorPrimitives.Sum<double>(channels[c].AsSpan(first, length)) / length;
            }

            double[] power = new double[orders.Length * rpm.Length * channels.Length], floor = new double[power.Length], beside = new double[power.Length];
            for (int k = 0; k < orders.Length; k++)
            {
                int at = k * rpm.Length * channels.Length, count = rpm.Length * channels.Length;
                Fit(orders[k], first, power.AsSpan(at, count));
                Fit(orders[k] * Beside[0], first, floor.AsSpan(at, count));
                Fit(orders[k] * Beside[1], first, beside.AsSpan(at, count));
            }

            for (int i = 0; i < floor.Length; i++)
            {
                floor[i] = Math.Min(floor[i], beside[i]);
            }

            return new(block.TimeOf(first), block.TimeOf(first + length - 1), power, floor);
        }

        /// <summary>Turns of a rotor since the start of the window, from its speed at knots.</summary>
        private static void Cycles(Series rpm, double startS, double periodS, double[] cycles)
        {
            int n = cycles.Length;
            double turns = 0, knotStep = (n - 1.0) / (SpeedKnots - 1);
            double from = rpm.At(startS) / 60, to = from;
            int knot = 0;
            for (int i = 0; i < n; i++)
            {
                if (i >= knot * knotStep && knot < SpeedKnots - 1)
                {
                    knot++;
                    (from, to) = (to, rpm.At(startS + knot * knotStep * periodS) / 60);
                }

                cycles[i] = turns;
                double share = (i - (knot - 1) * knotStep) / knotStep;
                turns += (from + (to - from) * share) * periodS;
            }
        }

        private void Fit(double order, int first, Span<double> power)
        {
            int unknowns = 2 * rpm.Length;
            for (int m = 0; m < rpm.Length; m++)
            {
                Span<double> cos = _columns.AsSpan(2 * m * length, length), sin = _columns.AsSpan((2 * m + 1) * length, length);
                TensorPrimitives.Multiply(_cycles[m], 2 * Math.PI * order, _angles);
                TensorPrimitives.SinCos<double>(_angles, sin, cos);
                TensorPrimitives.Multiply<double>(cos, _weights, cos);
                TensorPrimitives.Multiply<double>(sin, _weights, sin);
            }

            for (int a = 0; a < unknowns; a++)
            {
                for (int b = 0; b <= a; b++)
                {
                    _normal[a * unknowns + b] = _normal[b * unknowns + a] =
                        TensorPrimitives.Dot<double>(_columns.AsSpan(a * length, length), _columns.AsSpan(b * length, length));
                }
            }

            for (int a = 0; a < unknowns; a++)
            {
                _normal[a * unknowns + a] *= 1 + Loading;
            }

            SmallInverse.Of(_normal, _inverse, unknowns);
            Span<double> right = stackalloc double[unknowns];
            for (int c = 0; c < channels.Length; c++)
            {
                TensorPrimitives.Subtract(channels[c].AsSpan(first, length), _means[c], _weighted);
                TensorPrimitives.Multiply<double>(_weighted, _weights, _weighted);

                for (int a = 0; a < unknowns; a++)
                {
                    right[a] = TensorPrimitives.Dot<double>(_columns.AsSpan(a * length, length), _weighted);
                }

                for (int m = 0; m < rpm.Length; m++)
                {
                    double cos = Solved(2 * m, right, unknowns), sin = Solved(2 * m + 1, right, unknowns);
                    power[m * channels.Length + c] = (cos * cos + sin * sin) / 2;
                }
            }
        }

        private double Solved(int row, ReadOnlySpan<double> right, int unknowns)
        {
            double sum = 0;
            for (int b = 0; b < unknowns; b++)
            {
                sum += _inverse[row * unknowns + b] * right[b];
            }

            return sum;
        }
    }
}
