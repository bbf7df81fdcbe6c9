using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using VibeCheck.Core.Signals;

namespace VibeCheck.Core.Orders;

/// <summary>A stretch with the angle of every rotor and the node sums of every line; angles can be corrected in place.</summary>
internal sealed class DemodulatedSegment
{
    private static readonly ParallelOptions s_all = new(), s_one = new() { MaxDegreeOfParallelism = 1 };

    private readonly Workspace _memory;
    private readonly double[][] _halfNodeAngles;
    private readonly int[][] _lineOfRotor;
    private readonly int[]? _lineOfSource;
    private Complex[][]? _rest;
    private Complex[][]? _envelopes;

    /// <param name="stretch">The samples.</param>
    /// <param name="lines">All lines, those of one rotor in rising order.</param>
    /// <param name="angles">One a rotor.</param>
    /// <param name="memory">Lends the memory.</param>
    internal DemodulatedSegment(DetrendedSegment stretch, IReadOnlyList<Line> lines, IReadOnlyList<RotorAngle> angles, Workspace memory)
    {
        _memory = memory;
        Stretch = stretch;
        Lines = lines;
        _halfNodeAngles = new double[angles.Count][];
        _lineOfRotor = new int[angles.Count][];
        for (int rotor = 0; rotor < angles.Count; rotor++)
        {
            _halfNodeAngles[rotor] = new double[2 * stretch.Blocks + 1];
            _lineOfRotor[rotor] = [.. Enumerable.Range(0, lines.Count).Where(l => lines[l].Rotor == rotor)];
        }

        Sums = Planes(3 * lines.Count);
        Units = Planes(lines.Count);
        Speeds = new double[angles.Count][];
        Turned = [.. angles.Select(_ => new double[stretch.Nodes])];
        Doubts = [.. angles.Select(_ => new double[stretch.Nodes])];
        Begin(angles);
    }

    /// <summary>Follows the angles as given, and goes through all samples.</summary>
    internal void Begin(IReadOnlyList<RotorAngle> angles)
    {
        for (int rotor = 0; rotor < angles.Count; rotor++)
        {
            angles[rotor].Fill(Stretch.StartS, Stretch.NodeS / 2, _halfNodeAngles[rotor]);
            Array.Clear(Turned[rotor]);
            Array.Clear(Doubts[rotor]);
        }

        Sum();
    }

    private DemodulatedSegment(DemodulatedSegment from, int blocks, int[] keep)
    {
        _memory = from._memory;
        Stretch = from.Stretch.Head(blocks);
        Lines = [.. keep.Select(l => from.Lines[l])];
        _lineOfSource = keep;
        _halfNodeAngles = [.. from._halfNodeAngles.Select(a => a[..(2 * Stretch.Blocks + 1)])];
        _lineOfRotor = [.. Enumerable.Range(0, Rotors).Select(r => Enumerable.Range(0, keep.Length).Where(l => Lines[l].Rotor == r).ToArray())];
        Sums = Planes(3 * keep.Length);
        Units = Planes(keep.Length);
        Speeds = from.Speeds;
        Turned = [.. from.Turned.Select(t => t[..Stretch.Nodes])];
        Doubts = from.Doubts;
        TakeFrom(from);
    }

    internal DetrendedSegment Stretch { get; }

    /// <summary>Whether what is reckoned of it may use all cores; not where other stretches are reckoned at the same time.</summary>
    internal bool IsAlone { get; set; } = true;

    /// <summary>How many threads what is reckoned of it may use.</summary>
    internal ParallelOptions Threads => IsAlone ? s_all : s_one;

    internal IReadOnlyList<Line> Lines { get; }

    internal int Rotors => _halfNodeAngles.Length;

    /// <summary>Node sums, [3 · line + axis][node]: the line's phasor and whatever else lies near.</summary>
    internal Complex[][] Sums { get; }

    /// <summary>exp(i · turn · angle), [line][node].</summary>
    internal Complex[][] Units { get; }

    /// <summary>Smoothed frequency of a rotor, Hz, [rotor][node].</summary>
    internal double[][] Speeds { get; }

    /// <summary>What has been added to each rotor's reported angle so far, rad, [rotor][node].</summary>
    internal double[][] Turned { get; }

    /// <summary>Variance of each rotor's angle as it is now, rad², [rotor][node].</summary>
    internal double[][] Doubts { get; }

    /// <summary>What the nodes' triangle leaves, node by node, of one line seen along another: sinc² of their distance.</summary>
    internal void Response(int line, int other, int fromNode, Span<double> response)
    {
        Line a = Lines[line], b = Lines[other];
        if (a.Rotor == b.Rotor && a.Turn == b.Turn)
        {
            response.Fill(1);
            return;
        }

        ReadOnlySpan<double> own = Speeds[a.Rotor].AsSpan(fromNode, response.Length), its = Speeds[b.Rotor].AsSpan(fromNode, response.Length);
        double scale = Math.PI * Stretch.NodeS, ownScale = scale * a.Turn, itsScale = scale * b.Turn, shift = scale * (b.ShiftHz - a.ShiftHz);
        Span<Vector256<double>> to = MemoryMarshal.Cast<double, Vector256<double>>(response);
        ReadOnlySpan<Vector256<double>> x = MemoryMarshal.Cast<double, Vector256<double>>(own), y = MemoryMarshal.Cast<double, Vector256<double>>(its);
        for (int v = 0; v < to.Length; v++)
        {
            to[v] = SincSquared(itsScale * y[v] - ownScale * x[v] + Vector256.Create(shift));
        }

        for (int k = 4 * to.Length; k < response.Length; k++)
        {
            response[k] = SincSquared(itsScale * its[k] - ownScale * own[k] + shift);
        }
    }

    /// <summary>The same at one node.</summary>
    internal double Response(int line, int other, int node)
    {
        Line a = Lines[line], b = Lines[other];
        return a.Rotor == b.Rotor && a.Turn == b.Turn
            ? 1
            : SincSquared(Math.PI * Stretch.NodeS * (b.Turn * Speeds[b.Rotor][node] - a.Turn * Speeds[a.Rotor][node] + b.ShiftHz - a.ShiftHz));
    }

    // (sin x / x)², by its series up to the first zero; beyond, what passes turns too fast to matter.
    private static double SincSquared(double x) => SincSquared(Vector256.Create(x))[0];

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> SincSquared(Vector256<double> x)
    {
        Vector256<double> y = x * x, one = Vector256<double>.One;
        Vector256<double> sinc = one - y * (1 / 6.0) * (one - y * (1 / 20.0) * (one - y * (1 / 42.0) * (one - y * (1 / 72.0) * (one - y * (1 / 110.0)))));
        return Vector256.ConditionalSelect(Vector256.GreaterThan(y, Vector256.Create(9.0)), default, sinc * sinc);
    }

    /// <summary>Beats that two lines go through, by the angles as reported: how far their phases come apart between any two nodes, turns.</summary>
    internal double Beats(int line, int other)
    {
        Line a = Lines[line], b = Lines[other];
        double least = double.PositiveInfinity, most = double.NegativeInfinity, perNode = (b.ShiftHz - a.ShiftHz) * Stretch.NodeS;
        for (int k = 0; k < Stretch.Nodes; k++)
        {
            double own = a.Turn * (Angle(a.Rotor, k) - Turned[a.Rotor][k]), its = b.Turn * (Angle(b.Rotor, k) - Turned[b.Rotor][k]);
            double apart = (its - own) / Math.Tau + perNode * k;
            (least, most) = (Math.Min(least, apart), Math.Max(most, apart));
        }

        return most - least;
    }

    /// <summary>A copy of the first part, with some of the lines.</summary>
    internal DemodulatedSegment Copy(double mostS, Func<Line, bool> keep) => new(
        this, (int)(mostS / Stretch.NodeS), [.. Enumerable.Range(0, Lines.Count).Where(l => keep(Lines[l]))]);

    /// <summary>Brings a copy back to what it was copied from.</summary>
    internal void TakeFrom(DemodulatedSegment from)
    {
        for (int rotor = 0; rotor < Rotors; rotor++)
        {
            from._halfNodeAngles[rotor].AsSpan(0, _halfNodeAngles[rotor].Length).CopyTo(_halfNodeAngles[rotor]);
            from.Turned[rotor].AsSpan(0, Turned[rotor].Length).CopyTo(Turned[rotor]);
        }

        for (int line = 0; line < Lines.Count; line++)
        {
            int its = _lineOfSource![line];
            from.Units[its].AsSpan(0, Stretch.Nodes).CopyTo(Units[line]);
            for (int axis = 0; axis < 3; axis++)
            {
                from.Sums[3 * its + axis].AsSpan(0, Stretch.Nodes).CopyTo(Sums[3 * line + axis]);
            }
        }
    }

    /// <summary>Angle of a rotor at a node, rad.</summary>
    internal double Angle(int rotor, int node) => _halfNodeAngles[rotor][2 * node];

    /// <summary>Mean frequency of a rotor between two nodes, Hz.</summary>
    internal double RotorHz(int rotor, int fromNode, int toNode) =>
        (Angle(rotor, toNode) - Angle(rotor, fromNode)) / (Math.Tau * (toNode - fromNode) * Stretch.NodeS);

    /// <summary>Memory for one residual at a time: a long flight makes ten of them, each of many megabytes.</summary>
    internal (Complex[][] Nodes, Complex[][] Envelopes) ResidualMemory()
    {
        _rest ??= Planes(3 * Lines.Count);
        _envelopes ??= Planes(3 * Lines.Count);
        return (_rest, _envelopes);
    }

    /// <summary>Lets the memory of residuals go, for the next stretch.</summary>
    internal void GiveBackResidual()
    {
        _memory.GiveBack(_rest ?? []);
        _memory.GiveBack(_envelopes ?? []);
        (_rest, _envelopes) = (null, null);
    }

    /// <summary>Lets all memory go; nothing of this may be used after.</summary>
    internal void GiveBack()
    {
        GiveBackResidual();
        _memory.GiveBack(Sums);
        _memory.GiveBack(Units);
    }

    private Complex[][] Planes(int count) => _memory.Take(count, Stretch.Nodes);

    /// <summary>Goes through all samples with the angles as they are now.</summary>
    internal void Sum()
    {
        Parallel.For(0, Rotors, Threads, rotor =>
        {
            int[] lines = _lineOfRotor[rotor];
            if (lines.Length == 0)
            {
                return;
            }

            Complex[][] sums = [.. lines.SelectMany(l => Sums[(3 * l)..(3 * l + 3)])];
            Demodulator.Fill(Stretch, _halfNodeAngles[rotor], [.. lines.Select(l => Lines[l].Order)], sums);
            for (int i = 0; i < lines.Length; i++)
            {
                for (int axis = 0; axis < 3 && Lines[lines[i]].Mirrored; axis++)
                {
                    Conjugate(sums[3 * i + axis]);
                }

                FillUnits(rotor, Lines[lines[i]].Turn, Units[lines[i]]);
            }

            Speeds[rotor] = SpeedsOf(rotor);
        });
    }

    /// <summary>Adds a slow correction to a rotor's angle and turns its sums accordingly, without going through the samples.</summary>
    /// <param name="rotor">The rotor.</param>
    /// <param name="correction">rad, one a node.</param>
    internal void TurnBy(int rotor, ReadOnlySpan<double> correction)
    {
        double[] angles = _halfNodeAngles[rotor];
        double[] turned = Turned[rotor];
        for (int b = 0; b < correction.Length; b++)
        {
            turned[b] += correction[b];
            angles[2 * b] += correction[b];
            if (b + 1 < correction.Length)
            {
                angles[2 * b + 1] += Midway(correction, b);
            }
        }

        var turns = new Complex[correction.Length];
        for (int b = 0; b < turns.Length; b++)
        {
            (double sin, double cos) = Math.SinCos(correction[b]);
            turns[b] = new Complex(cos, sin);
        }

        foreach (int line in _lineOfRotor[rotor])
        {
            Turn(line, turns);
        }
    }

    private void Turn(int line, ReadOnlySpan<Complex> turns)
    {
        Complex[] units = Units[line], x = Sums[3 * line], y = Sums[3 * line + 1], z = Sums[3 * line + 2];
        int times = Math.Abs(Lines[line].Turn);
        bool mirrored = Lines[line].Turn < 0;
        for (int b = 0; b < turns.Length; b++)
        {
            Complex turn = turns[b];
            for (int k = 1; k < times; k++)
            {
                turn *= turns[b];
            }

            Complex back = Complex.Conjugate(turn);
            (turn, back) = mirrored ? (back, turn) : (turn, back);
            units[b] *= turn;
            x[b] *= back;
            y[b] *= back;
            z[b] *= back;
        }
    }

    /// <summary>Brings the angles to what stood in <see cref="Turned"/> at some time, and sums anew.</summary>
    internal void TurnTo(double[][] turned)
    {
        double[] by = new double[Stretch.Nodes];
        for (int rotor = 0; rotor < Rotors; rotor++)
        {
            for (int b = 0; b < by.Length; b++)
            {
                by[b] = turned[rotor][b] - Turned[rotor][b];
            }

            TurnBy(rotor, by);
        }

        Sum();
    }

    /// <summary>Takes the speeds anew from the angles as they are now.</summary>
    internal void Follow()
    {
        for (int rotor = 0; rotor < Rotors; rotor++)
        {
            Speeds[rotor] = SpeedsOf(rotor);
        }
    }

    // Speed over some 0.13 s: what shakes faster is the angle's noise rather than the rotor, and the airframe does not follow it.
    private double[] SpeedsOf(int rotor)
    {
        int half = Math.Max(1, (int)Math.Round(0.064 / Stretch.NodeS));
        double[] speeds = new double[Stretch.Nodes];
        for (int b = 0; b < speeds.Length; b++)
        {
            speeds[b] = RotorHz(rotor, Math.Max(0, b - half), Math.Min(Stretch.Blocks, b + half));
        }

        return speeds;
    }

    // Cubic through four nodes where there are four: a straight line would leave corners in the angle.
    private static double Midway(ReadOnlySpan<double> values, int left) => left > 0 && left + 2 < values.Length
        ? (9 * (values[left] + values[left + 1]) - values[left - 1] - values[left + 2]) / 16
        : (values[left] + values[left + 1]) / 2;

    private void FillUnits(int rotor, int turn, Complex[] units)
    {
        for (int b = 0; b < units.Length; b++)
        {
            (double sin, double cos) = Math.SinCos(turn * Angle(rotor, b));
            units[b] = new Complex(cos, sin);
        }
    }

    private static void Conjugate(Complex[] values)
    {
        for (int i = 0; i < values.Length; i++)
        {
            values[i] = Complex.Conjugate(values[i]);
        }
    }
}
