using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>Follows the angles of all rotors node by node from one end of a stretch to the other, each node seen from where the one before it
/// left the angles: so a step is never more than a fraction of a turn, and an angle that the correction of the whole stretch at once left a turn
/// behind (which it cannot see, being linear) is found again.</summary>
/// <remarks>
/// Extended Kalman filter in information form, two iterations a node (A. Jazwinski, Stochastic Processes and Filtering Theory, 1970, chapter 8;
/// from memory). State: what to add to each rotor's angle; it wanders against the reported speed as a random walk. Measured: the node sums of
/// every line against the courses of all lines. An order tells less, the less its phase is known.
/// </remarks>
internal sealed class PhaseFilter
{
    private const double FirstDoubt = 0.05;
    private const int Iterations = 2;

    /// <summary>Furthest an angle moves in one iteration, rad.</summary>
    private const double MostStep = 1;

    private readonly DemodulatedSegment _tracked;
    private readonly Complex[][] _courses;
    private readonly double[] _perNode;
    private readonly int[][] _near;
    private readonly int _rotors;
    private readonly Complex[] _phasors;
    private readonly double[] _hold;
    private readonly double[] _gradient;
    private readonly double[] _information;
    private readonly double[] _covariance;
    private readonly double[] _prior;
    private readonly double[] _posterior;
    private readonly double[] _x;
    private readonly double[] _start;

    /// <param name="tracked">The stretch at the angles as they are now.</param>
    /// <param name="courses">Phasors of all lines, [3 · line + axis][node].</param>
    /// <param name="perNode">How much a node counts, 1 / variance, [3 · line + axis].</param>
    internal PhaseFilter(DemodulatedSegment tracked, Complex[][] courses, double[] perNode)
    {
        (_tracked, _courses, _perNode, _rotors) = (tracked, courses, perNode, tracked.Rotors);
        int lines = tracked.Lines.Count, last = tracked.Stretch.Nodes - 1;
        double[] hz = [.. tracked.Lines.Select(l => l.ApparentHz(tracked.RotorHz(l.Rotor, 0, last)))];
        _near = [.. Enumerable.Range(0, lines).Select(l => Enumerable.Range(0, lines).Where(o => Math.Abs(hz[o] - hz[l]) < 2 * JointFit.ReachHz).ToArray())];
        _phasors = new Complex[3 * lines];
        _hold = new double[lines];
        _gradient = new double[_rotors];
        _information = new double[_rotors * _rotors];
        _covariance = new double[_rotors * _rotors];
        _prior = new double[_rotors * _rotors];
        _posterior = new double[_rotors * _rotors];
        _x = new double[_rotors];
        _start = new double[_rotors];
    }

    /// <summary>What to add to the angles, rad, [rotor][node].</summary>
    /// <param name="walk">How fast angles go astray of what was reported, rad² a second.</param>
    /// <param name="backward">From the end to the beginning.</param>
    internal double[][] Follow(double walk, bool backward)
    {
        int nodes = _tracked.Stretch.Nodes;
        double[][] found = [.. Enumerable.Range(0, _rotors).Select(_ => new double[nodes])];
        Array.Clear(_covariance);
        for (int r = 0; r < _rotors; r++)
        {
            _covariance[r * (_rotors + 1)] = FirstDoubt;
            _x[r] = 0;
        }

        for (int step = 0; step < nodes; step++)
        {
            int node = backward ? nodes - 1 - step : step;
            if (step > 0)
            {
                Predict(node, backward ? node + 1 : node - 1, walk * _tracked.Stretch.NodeS);
            }

            Update(node);
            for (int r = 0; r < _rotors; r++)
            {
                found[r][node] = _x[r];
            }
        }

        return found;
    }

    private void Predict(int node, int before, double variance)
    {
        for (int r = 0; r < _rotors; r++)
        {
            _x[r] += _tracked.Turned[r][before] - _tracked.Turned[r][node];
            _covariance[r * (_rotors + 1)] += variance;
        }
    }

    private void Update(int node)
    {
        _x.CopyTo(_start, 0);
        SmallInverse.Of(_covariance, _prior, _rotors);
        for (int l = 0; l < _hold.Length; l++)
        {
            Line line = _tracked.Lines[l];
            _hold[l] = Math.Exp(-0.5 * line.Turn * line.Turn * _covariance[line.Rotor * (_rotors + 1)]);
        }

        for (int iteration = 0; iteration < Iterations; iteration++)
        {
            Look(node);
            for (int i = 0; i < _information.Length; i++)
            {
                _information[i] += _prior[i];
            }

            SmallInverse.Of(_information, _posterior, _rotors);
            for (int r = 0; r < _rotors; r++)
            {
                for (int s = 0; s < _rotors; s++)
                {
                    _gradient[r] -= _prior[r * _rotors + s] * (_x[s] - _start[s]);
                }
            }

            for (int r = 0; r < _rotors; r++)
            {
                double move = 0;
                for (int s = 0; s < _rotors; s++)
                {
                    move += _posterior[r * _rotors + s] * _gradient[s];
                }

                _x[r] += Math.Clamp(move, -MostStep, MostStep);
            }
        }

        _posterior.CopyTo(_covariance, 0);
    }

    /// <summary>Gradient and information of one node at the angles of this moment.</summary>
    private void Look(int node)
    {
        Array.Clear(_gradient);
        Array.Clear(_information);
        for (int l = 0; l < _hold.Length; l++)
        {
            Line line = _tracked.Lines[l];
            (double sin, double cos) = Math.SinCos(line.Turn * _x[line.Rotor]);
            var turn = new Complex(cos, sin);
            for (int axis = 0; axis < 3; axis++)
            {
                _phasors[3 * l + axis] = _courses[3 * l + axis][node] * turn;
            }
        }

        for (int l = 0; l < _hold.Length; l++)
        {
            Look(node, l);
        }

        for (int r = 0; r < _rotors; r++)
        {
            for (int s = 0; s < r; s++)
            {
                double mean = (_information[r * _rotors + s] + _information[s * _rotors + r]) / 2;
                (_information[r * _rotors + s], _information[s * _rotors + r]) = (mean, mean);
            }
        }
    }

    private void Look(int node, int l)
    {
        Line line = _tracked.Lines[l];
        int row = line.Rotor;
        var own = Complex.Conjugate(_tracked.Units[l][node]);
        Span<Complex> rest = stackalloc Complex[3];
        for (int axis = 0; axis < 3; axis++)
        {
            rest[axis] = _tracked.Sums[3 * l + axis][node];
        }

        foreach (int o in _near[l])
        {
            Line other = _tracked.Lines[o];
            double response = _tracked.Response(l, o, node);
            if (response == 0)
            {
                continue;
            }

            Complex turn = response * own * _tracked.Units[o][node];
            double shared = 0;
            for (int axis = 0; axis < 3; axis++)
            {
                Complex its = turn * _phasors[3 * o + axis], mine = _phasors[3 * l + axis];
                rest[axis] -= its;
                shared += Math.Sqrt(_perNode[3 * l + axis] * _perNode[3 * o + axis]) * (mine.Real * its.Real + mine.Imaginary * its.Imaginary);
            }

            _information[row * _rotors + other.Rotor] += 2 * line.Turn * other.Turn * _hold[l] * _hold[o] * shared;
        }

        for (int axis = 0; axis < 3; axis++)
        {
            Complex mine = _phasors[3 * l + axis];
            _gradient[row] += 2 * line.Turn * _hold[l] * _hold[l] * _perNode[3 * l + axis] * (mine.Real * rest[axis].Imaginary - mine.Imaginary * rest[axis].Real);
        }
    }
}
