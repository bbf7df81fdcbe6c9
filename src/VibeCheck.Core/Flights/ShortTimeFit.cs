using System.Numerics.Tensors;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>Least-squares fit of one order of all motors together in one window, on every channel; its buffers are reused for each
/// window.</summary>
/// <param name="rpm">Speeds of the motors, rpm.</param>
/// <param name="orders">Orders, rising.</param>
/// <param name="channels">Samples of the channels.</param>
/// <param name="length">Samples of a window.</param>
internal sealed class ShortTimeFit(Series[] rpm, int[] orders, double[][] channels, int length)
{
    private const int SpeedKnots = 33;

    // Diagonal loading of the normal matrix, relative: close motors share their power and do not cancel each other.
    private const double Loading = 0.02;

    // Factors of an order's phase at which the floor is fitted, on either side of the order.
    private const double LowBeside = 0.93;

    private readonly double[] _weights = Signals.Window.Hann.Values(length);
    private readonly double[][] _cycles = [.. rpm.Select(_ => new double[length])],
        _detrended = [.. channels.Select(_ => new double[length])];

    // For each motor: cosine and sine of its phase times a factor, and of the current order.
    private readonly double[][] _cos = [.. rpm.Select(_ => new double[length])],
        _sin = [.. rpm.Select(_ => new double[length])];
    private readonly double[][] _orderCos = [.. rpm.Select(_ => new double[length])],
        _orderSin = [.. rpm.Select(_ => new double[length])];
    private readonly double[] _columns = new double[2 * rpm.Length * length],
        _scratch = new double[length],
        _turned = new double[length];
    private readonly double[] _normal = new double[4 * rpm.Length * rpm.Length],
        _inverse = new double[4 * rpm.Length * rpm.Length];

    /// <summary>The higher of the two factors at which the floor is fitted.</summary>
    internal const double HighestBeside = 1.07;

    /// <summary>Fits the window that starts at a sample.</summary>
    /// <param name="first">Its index in the arrays of the track.</param>
    /// <param name="segment">The contiguous segment that contains the window.</param>
    internal ShortTimeOrders.Window At(int first, ContiguousSegment segment)
    {
        for (int m = 0; m < rpm.Length; m++)
        {
            Cycles(rpm[m], segment.TimeOf(first), segment.PeriodS, _cycles[m]);
        }

        for (int c = 0; c < channels.Length; c++)
        {
            ReadOnlySpan<double> samples = channels[c].AsSpan(first, length);
            TensorPrimitives.Subtract(samples, TensorPrimitives.Sum(samples) / length, _detrended[c]);
            TensorPrimitives.Multiply<double>(_detrended[c], _weights, _detrended[c]);
        }

        double[] power = new double[orders.Length * rpm.Length * channels.Length],
            floor = new double[power.Length],
            other = new double[power.Length];
        FitAll(1, power);
        FitAll(LowBeside, floor);
        FitAll(HighestBeside, other);
        TensorPrimitives.Min<double>(floor, other, floor);
        return new(segment.TimeOf(first), segment.TimeOf(first + length - 1), power, floor);
    }

    /// <summary>Turns of a rotor since the start of the window, from its speed at knots.</summary>
    private static void Cycles(Series rpm, double startS, double periodS, double[] cycles)
    {
        int n = cycles.Length;
        double turns = 0,
            knotStep = (n - 1.0) / (SpeedKnots - 1);
        double from = rpm.At(startS) / 60,
            to = from;
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

    /// <summary>Fits all orders at a factor of their phases. The phasors of an order are those of the previous order multiplied by those of
    /// order 1.</summary>
    private void FitAll(double factor, Span<double> power)
    {
        for (int m = 0; m < rpm.Length; m++)
        {
            TensorPrimitives.Multiply(_cycles[m], 2 * Math.PI * factor, _scratch);
            TensorPrimitives.SinCos<double>(_scratch, _sin[m], _cos[m]);
            _orderCos[m].AsSpan().Fill(1);
            _orderSin[m].AsSpan().Clear();
        }

        int count = rpm.Length * channels.Length,
            at = 0;
        for (int k = 0; k < orders.Length; k++)
        {
            for (; at < orders[k]; at++)
            {
                for (int m = 0; m < rpm.Length; m++)
                {
                    Turn(_orderCos[m], _orderSin[m], _cos[m], _sin[m]);
                }
            }

            Fit(power.Slice(k * count, count));
        }
    }

    /// <summary>Multiplies phasors by others of size 1.</summary>
    private void Turn(double[] cos, double[] sin, double[] byCos, double[] bySin)
    {
        TensorPrimitives.Multiply<double>(sin, bySin, _scratch);
        TensorPrimitives.Multiply<double>(sin, byCos, _turned);
        TensorPrimitives.MultiplyAdd<double>(cos, bySin, _turned, sin);
        TensorPrimitives.Multiply<double>(cos, byCos, cos);
        TensorPrimitives.Subtract<double>(cos, _scratch, cos);
    }

    private void Fit(Span<double> power)
    {
        int unknowns = 2 * rpm.Length;
        for (int m = 0; m < rpm.Length; m++)
        {
            TensorPrimitives.Multiply<double>(_orderCos[m], _weights, Column(2 * m));
            TensorPrimitives.Multiply<double>(_orderSin[m], _weights, Column(2 * m + 1));
        }

        for (int a = 0; a < unknowns; a++)
        {
            for (int b = 0; b <= a; b++)
            {
                _normal[a * unknowns + b] = _normal[b * unknowns + a] = TensorPrimitives.Dot<double>(Column(a), Column(b));
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
            for (int a = 0; a < unknowns; a++)
            {
                right[a] = TensorPrimitives.Dot<double>(Column(a), _detrended[c]);
            }

            for (int m = 0; m < rpm.Length; m++)
            {
                double cos = Solved(2 * m, right),
                    sin = Solved(2 * m + 1, right);
                power[m * channels.Length + c] = (cos * cos + sin * sin) / 2;
            }
        }
    }

    private Span<double> Column(int unknown) => _columns.AsSpan(unknown * length, length);

    private double Solved(int row, ReadOnlySpan<double> right) =>
        TensorPrimitives.Dot(_inverse.AsSpan(row * right.Length, right.Length), right);
}
