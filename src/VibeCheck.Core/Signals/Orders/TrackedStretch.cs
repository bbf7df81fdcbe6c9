using System.Numerics;

namespace VibeCheck.Core.Signals.Orders;

/// <summary>A stretch with the angle of every rotor and the node sums of every line; angles can be corrected in place.</summary>
internal sealed class TrackedStretch
{
    private readonly double[][] _halfNodeAngles;
    private readonly int[][] _lineOfRotor;

    /// <param name="stretch">The samples.</param>
    /// <param name="lines">All lines, those of one rotor in rising order.</param>
    /// <param name="angles">One a rotor.</param>
    internal TrackedStretch(Stretch stretch, IReadOnlyList<Line> lines, IReadOnlyList<RotorAngle> angles)
    {
        Stretch = stretch;
        Lines = lines;
        _halfNodeAngles = new double[angles.Count][];
        _lineOfRotor = new int[angles.Count][];
        for (int rotor = 0; rotor < angles.Count; rotor++)
        {
            _halfNodeAngles[rotor] = new double[2 * stretch.Blocks + 1];
            angles[rotor].Fill(stretch.StartS, stretch.NodeS / 2, _halfNodeAngles[rotor]);
            _lineOfRotor[rotor] = [.. Enumerable.Range(0, lines.Count).Where(l => lines[l].Rotor == rotor)];
        }

        Sums = new Complex[3 * lines.Count][];
        Units = new Complex[lines.Count][];
    }

    internal Stretch Stretch { get; }

    internal IReadOnlyList<Line> Lines { get; }

    internal int Rotors => _halfNodeAngles.Length;

    /// <summary>Node sums, [3 · line + axis][node]: the line's phasor and whatever else lies near.</summary>
    internal Complex[][] Sums { get; }

    /// <summary>exp(i · turn · angle), [line][node].</summary>
    internal Complex[][] Units { get; }

    /// <summary>Angle of a rotor at a node, rad.</summary>
    internal double Angle(int rotor, int node) => _halfNodeAngles[rotor][2 * node];

    /// <summary>Mean frequency of a rotor between two nodes, Hz.</summary>
    internal double RotorHz(int rotor, int fromNode, int toNode) =>
        (Angle(rotor, toNode) - Angle(rotor, fromNode)) / (Math.Tau * (toNode - fromNode) * Stretch.NodeS);

    /// <summary>Goes through all samples with the angles as they are now.</summary>
    internal void Sum()
    {
        Parallel.For(0, Rotors, rotor =>
        {
            int[] lines = _lineOfRotor[rotor];
            if (lines.Length == 0)
            {
                return;
            }

            Complex[][] sums = LineSums.Of(Stretch, _halfNodeAngles[rotor], [.. lines.Select(l => Lines[l].Order)]);
            for (int i = 0; i < lines.Length; i++)
            {
                for (int axis = 0; axis < 3; axis++)
                {
                    Complex[] own = sums[3 * i + axis];
                    Sums[3 * lines[i] + axis] = own;
                    if (Lines[lines[i]].Mirrored)
                    {
                        Conjugate(own);
                    }
                }

                Units[lines[i]] = UnitsOf(rotor, Lines[lines[i]].Turn);
            }
        });
    }

    /// <summary>Adds a slow correction to a rotor's angle and turns its sums accordingly, without going through the samples.</summary>
    /// <param name="rotor">The rotor.</param>
    /// <param name="correction">rad, one a node.</param>
    internal void TurnBy(int rotor, ReadOnlySpan<double> correction)
    {
        double[] angles = _halfNodeAngles[rotor];
        for (int b = 0; b < correction.Length; b++)
        {
            angles[2 * b] += correction[b];
            if (b + 1 < correction.Length)
            {
                angles[2 * b + 1] += Midway(correction, b);
            }
        }

        foreach (int line in _lineOfRotor[rotor])
        {
            for (int b = 0; b < correction.Length; b++)
            {
                (double sin, double cos) = Math.SinCos(Lines[line].Turn * correction[b]);
                var turn = new Complex(cos, sin);
                Units[line][b] *= turn;
                turn = Complex.Conjugate(turn);
                for (int axis = 0; axis < 3; axis++)
                {
                    Sums[3 * line + axis][b] *= turn;
                }
            }
        }
    }

    // Cubic through four nodes where there are four: a straight line would leave corners in the angle.
    private static double Midway(ReadOnlySpan<double> values, int left) => left > 0 && left + 2 < values.Length
        ? (9 * (values[left] + values[left + 1]) - values[left - 1] - values[left + 2]) / 16
        : (values[left] + values[left + 1]) / 2;

    private Complex[] UnitsOf(int rotor, int turn)
    {
        var units = new Complex[Stretch.Nodes];
        for (int b = 0; b < units.Length; b++)
        {
            (double sin, double cos) = Math.SinCos(turn * Angle(rotor, b));
            units[b] = new Complex(cos, sin);
        }

        return units;
    }

    private static void Conjugate(Complex[] values)
    {
        for (int i = 0; i < values.Length; i++)
        {
            values[i] = Complex.Conjugate(values[i]);
        }
    }
}
