using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Signals;

/// <summary>The angle that a rotor has turned through, from its reported speed.</summary>
internal sealed class RotorAngle
{
    private readonly double[] _timeS;
    private readonly double[] _radps;
    private readonly double[] _angle;

    /// <param name="rpm">Cleaned speed, two readings or more.</param>
    internal RotorAngle(Series rpm)
    {
        _timeS = rpm.TimeS;
        _radps = Array.ConvertAll(rpm.Values, v => v * Math.Tau / 60);
        _angle = new double[_timeS.Length];
        for (int i = 1; i < _angle.Length; i++)
        {
            _angle[i] = _angle[i - 1] + (_radps[i] + _radps[i - 1]) / 2 * (_timeS[i] - _timeS[i - 1]);
        }
    }

    /// <summary>Angle at an even run of times, rad; speed is linear between readings and held beyond the ends.</summary>
    internal void Fill(double startS, double stepS, Span<double> angles)
    {
        int at = 0;
        for (int i = 0; i < angles.Length; i++)
        {
            double t = startS + i * stepS;
            while (at < _timeS.Length - 2 && _timeS[at + 1] < t)
            {
                at++;
            }

            angles[i] = At(t, at);
        }
    }

    private double At(double t, int at)
    {
        if (t <= _timeS[0])
        {
            return _radps[0] * (t - _timeS[0]);
        }

        if (t >= _timeS[^1])
        {
            return _angle[^1] + _radps[^1] * (t - _timeS[^1]);
        }

        double past = t - _timeS[at],
            slope = (_radps[at + 1] - _radps[at]) / (_timeS[at + 1] - _timeS[at]);
        return _angle[at] + past * (_radps[at] + 0.5 * slope * past);
    }
}
