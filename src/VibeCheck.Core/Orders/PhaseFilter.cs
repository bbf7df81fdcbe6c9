using System.Numerics;
using Tuning = VibeCheck.Core.Orders.OrderTuning.CycleSlips;

namespace VibeCheck.Core.Orders;

/// <summary>Follows the angles of all rotors from one end of a segment to the other, each envelope sample seen from where the one
/// before it left the angles: so a step is never more than a fraction of a turn, and an angle that the phase estimate of the whole
/// segment left a turn behind (which it cannot see, being linear) is found again.</summary>
/// <remarks>
/// Extended Kalman filter in information form, two iterations a sample (A. Jazwinski, Stochastic Processes and Filtering Theory, 1970,
/// chapter 8; from memory). State: what to add to each rotor's angle; it follows a random walk against the reported speed. Measured:
/// the demodulated samples of every line against the envelopes of all lines. The less its phase is known, the less weight an order has.
/// </remarks>
internal sealed class PhaseFilter
{
    private readonly DemodulatedSegment _demodulated;
    private readonly EnvelopeSet _envelopes;
    private readonly double[] _weights;
    private readonly int[][] _near;
    private readonly int _rotors;
    private readonly Complex[] _phasors;
    private readonly double[] _coherence;
    private readonly double[] _gradient;
    private readonly double[] _information;
    private readonly double[] _covariance;
    private readonly double[] _prior;
    private readonly double[] _posterior;
    private readonly double[] _x;
    private readonly double[] _start;

    private PhaseFilter(DemodulatedSegment demodulated, EnvelopeSet envelopes, double[] weights)
    {
        (_demodulated, _envelopes, _weights, _rotors) = (demodulated, envelopes, weights, demodulated.Rotors);
        int lines = demodulated.Lines.Count;
        double[] hz = demodulated.Phases.ApparentHz(demodulated.Lines);
        _near =
        [
            .. hz.Select(own => Enumerable.Range(0, lines).Where(o => Math.Abs(hz[o] - own) < 2 * OrderTuning.Windows.ReachHz).ToArray()),
        ];
        _phasors = new Complex[3 * lines];
        _coherence = new double[lines];
        _gradient = new double[_rotors];
        _information = new double[_rotors * _rotors];
        _covariance = new double[_rotors * _rotors];
        _prior = new double[_rotors * _rotors];
        _posterior = new double[_rotors * _rotors];
        _x = new double[_rotors];
        _start = new double[_rotors];
    }

    /// <summary>What to add to the angles, rad, [rotor][sample].</summary>
    /// <param name="demodulated">The segment at the angles as they are.</param>
    /// <param name="envelopes">Envelopes of all lines.</param>
    /// <param name="weights">How much an envelope sample counts, 1 / variance, [3 · line + axis].</param>
    /// <param name="processNoise">How fast the reported angles go astray, rad² a second.</param>
    /// <param name="backward">From the end to the beginning.</param>
    internal static double[][] Follow(
        DemodulatedSegment demodulated,
        EnvelopeSet envelopes,
        double[] weights,
        double processNoise,
        bool backward
    ) => new PhaseFilter(demodulated, envelopes, weights).Run(processNoise, backward);

    private double[][] Run(double processNoise, bool backward)
    {
        int count = _demodulated.Segment.EnvelopeCount;
        double[][] found = [.. Enumerable.Range(0, _rotors).Select(_ => new double[count])];
        for (int r = 0; r < _rotors; r++)
        {
            _covariance[r * (_rotors + 1)] = Tuning.FilterVariance;
        }

        for (int step = 0; step < count; step++)
        {
            int at = backward ? count - 1 - step : step;
            if (step > 0)
            {
                Predict(at, backward ? at + 1 : at - 1, processNoise * _demodulated.Segment.EnvelopeS);
            }

            Update(at);
            for (int r = 0; r < _rotors; r++)
            {
                found[r][at] = _x[r];
            }
        }

        return found;
    }

    private void Predict(int sample, int before, double variance)
    {
        for (int r = 0; r < _rotors; r++)
        {
            _x[r] += _demodulated.Phases.Correction[r][before] - _demodulated.Phases.Correction[r][sample];
            _covariance[r * (_rotors + 1)] += variance;
        }
    }

    private void Update(int sample)
    {
        _x.CopyTo(_start, 0);
        SmallInverse.Of(_covariance, _prior, _rotors);
        for (int l = 0; l < _coherence.Length; l++)
        {
            Line line = _demodulated.Lines[l];
            _coherence[l] = Math.Exp(-0.5 * line.SignedOrder * line.SignedOrder * _covariance[line.Rotor * (_rotors + 1)]);
        }

        for (int iteration = 0; iteration < Tuning.FilterIterations; iteration++)
        {
            Look(sample);
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

                _x[r] += Math.Clamp(move, -Tuning.MostFilterStep, Tuning.MostFilterStep);
            }
        }

        _posterior.CopyTo(_covariance, 0);
    }

    /// <summary>Gradient and information of one sample at the angles of this moment.</summary>
    private void Look(int sample)
    {
        Array.Clear(_gradient);
        Array.Clear(_information);
        for (int l = 0; l < _coherence.Length; l++)
        {
            Line line = _demodulated.Lines[l];
            (double sin, double cos) = Math.SinCos(line.SignedOrder * _x[line.Rotor]);
            var turn = new Complex(cos, sin);
            for (int axis = 0; axis < 3; axis++)
            {
                _phasors[3 * l + axis] = _envelopes[3 * l + axis][sample] * turn;
            }
        }

        for (int l = 0; l < _coherence.Length; l++)
        {
            Look(sample, l);
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

    private void Look(int sample, int l)
    {
        Line line = _demodulated.Lines[l];
        int row = line.Rotor;
        var own = Complex.Conjugate(_demodulated.Units[l][sample]);
        Span<Complex> rest = stackalloc Complex[3];
        for (int axis = 0; axis < 3; axis++)
        {
            rest[axis] = _demodulated.Sums[3 * l + axis][sample];
        }

        foreach (int o in _near[l])
        {
            Line other = _demodulated.Lines[o];
            double response = _demodulated.Response(l, o, sample);
            if (response == 0)
            {
                continue;
            }

            Complex turn = response * own * _demodulated.Units[o][sample];
            double shared = 0;
            for (int axis = 0; axis < 3; axis++)
            {
                Complex its = turn * _phasors[3 * o + axis],
                    mine = _phasors[3 * l + axis];
                rest[axis] -= its;
                shared +=
                    Math.Sqrt(_weights[3 * l + axis] * _weights[3 * o + axis]) * (mine.Real * its.Real + mine.Imaginary * its.Imaginary);
            }

            _information[row * _rotors + other.Rotor] += 2 * line.SignedOrder * other.SignedOrder * _coherence[l] * _coherence[o] * shared;
        }

        for (int axis = 0; axis < 3; axis++)
        {
            Complex mine = _phasors[3 * l + axis];
            _gradient[row] +=
                2
                * line.SignedOrder
                * _coherence[l]
                * _coherence[l]
                * _weights[3 * l + axis]
                * (mine.Real * rest[axis].Imaginary - mine.Imaginary * rest[axis].Real);
        }
    }
}
