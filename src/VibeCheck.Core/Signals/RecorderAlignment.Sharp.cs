namespace VibeCheck.Core.Signals;

/// <summary>Offset and drift from how much each part of a flight captures over finely spaced lags.</summary>
/// <remarks>
/// Where speeds ramp, the curve of a part is some ten milliseconds wide: only steps of a few
/// milliseconds see its top. The line of lag over time that
/// captures most in all parts together gives offset and drift at once. The interval comes
/// from how sharply each part's curve bends: a part's own
/// lag is uncertain by the noise of its slope over its bend, and by <see cref="OwnLagS"/> that no sharpness takes away.
/// </remarks>
/// <param name="seen">Captured share of each part over the lags.</param>
/// <param name="predicted">What the reported speeds predict for it, with its maximum at the centre.</param>
/// <param name="timeS">Centre of each part, s.</param>
/// <param name="startS">The first lag, s.</param>
internal sealed class SharpAlignment(double[][] seen, double[][] predicted, double[] timeS, double startS)
{
    /// <summary>Step between lags, s.</summary>
    internal const double StepS = 0.005;

    // How far a part's own lag stands off with the sharpest curve: lines of other rotors,
    // levels that change with the speed, telemetry that is
    // smoothed. Standard deviation, measured on simulated flights.
    private const double OwnLagS = 0.006;
    private const double Coverage = 2;
    private const double LeastU95S = 0.002;
    private const double LeastU95Ppm = 5;

    // A drift known worse than this is not shown: crystals differ by some tens of ppm.
    private const double MostDriftU95Ppm = 100;
    private const int LeastPartsForDrift = 8;

    // Slopes are taken over so many steps to either side.
    private const int Reach = 2;

    private readonly int _lags = seen[0].Length;
    private readonly double _middleS = timeS.Average();
    private readonly double _halfSpanS = Math.Max(1, (timeS.Max() - timeS.Min()) / 2);

    /// <summary>A line of lag over time: place among the lags at the middle of the parts, and
    /// lags that it moves by to the end of them.</summary>
    private readonly record struct LagLine(double Place, double Turn);

    internal ClockAlignment Settle()
    {
        if (timeS.Length >= LeastPartsForDrift && Steepest() is LagLine drifting)
        {
            (double atS, double u95S, double u95Ppm) = Doubt(drifting);
            if (u95Ppm < MostDriftU95Ppm)
            {
                return new()
                {
                    OffsetS = LagAt(drifting, atS),
                    U95S = u95S,
                    AtS = atS,
                    DriftPpm = drifting.Turn * StepS / _halfSpanS * 1e6,
                    DriftU95Ppm = u95Ppm,
                };
            }
        }

        LagLine flat = new(TopOf([.. Enumerable.Range(0, _lags).Select(lag => seen.Sum(part => part[lag]))]), 0);
        (double middleS, double halfS, _) = Doubt(flat);
        return new()
        {
            OffsetS = LagAt(flat, middleS),
            U95S = halfS,
            AtS = middleS,
            Why = new DriftNotShown(),
        };
    }

    /// <summary>Place of the highest value, between the places by a parabola.</summary>
    internal static double TopOf(double[] curve)
    {
        int best = Array.IndexOf(curve, curve.Max());
        if (best == 0 || best == curve.Length - 1)
        {
            return best;
        }

        double left = curve[best - 1],
            right = curve[best + 1],
            bend = left - 2 * curve[best] + right;
        return best + (bend < 0 ? 0.5 * (left - right) / bend : 0);
    }

    private double LagAt(LagLine line, double atS) => startS + StepS * PlaceAt(line, atS);

    private double PlaceAt(LagLine line, double atS) => line.Place + line.Turn * (atS - _middleS) / _halfSpanS;

    /// <summary>The line that captures most; null where it lies at the edge of what was looked at.</summary>
    private LagLine? Steepest()
    {
        int turns = (int)(0.4 * _lags),
            margin = _lags / 3;
        double most = double.NegativeInfinity;
        (int Place, int Turn) best = default;
        for (int turn = -turns; turn <= turns; turn++)
        {
            for (int place = margin; place < _lags - margin; place++)
            {
                double captured = Captured(place, turn);
                if (captured > most)
                {
                    (most, best) = (captured, (place, turn));
                }
            }
        }

        return Math.Abs(best.Turn) == turns || best.Place == margin || best.Place == _lags - margin - 1
            ? null
            : Refined(best.Place, best.Turn);
    }

    /// <summary>The top of the paraboloid through a place and its neighbours.</summary>
    private LagLine Refined(int place, int turn)
    {
        double At(int p, int t) => Captured(place + p, turn + t);
        double here = At(0, 0),
            p1 = (At(1, 0) - At(-1, 0)) / 2,
            t1 = (At(0, 1) - At(0, -1)) / 2;
        double pp = At(1, 0) - 2 * here + At(-1, 0),
            tt = At(0, 1) - 2 * here + At(0, -1),
            pt = (At(1, 1) - At(1, -1) - At(-1, 1) + At(-1, -1)) / 4;
        double determinant = pp * tt - pt * pt;
        return determinant > 0 && pp < 0
            ? new(place + Math.Clamp((pt * t1 - tt * p1) / determinant, -1, 1), turn + Math.Clamp((pt * p1 - pp * t1) / determinant, -1, 1))
            : new(place, turn);
    }

    private double Captured(double place, double turn)
    {
        double sum = 0;
        for (int p = 0; p < seen.Length; p++)
        {
            double at = Math.Clamp(PlaceAt(new(place, turn), timeS[p]), 0, _lags - 1.001);
            int low = (int)at;
            sum += seen[p][low] + (at - low) * (seen[p][low + 1] - seen[p][low]);
        }

        return sum;
    }

    /// <summary>The time at which the line holds best, and half widths of 95 % for its lag there (s) and its slope (ppm).</summary>
    private (double AtS, double U95S, double U95Ppm) Doubt(LagLine line)
    {
        double[] bends = [.. Enumerable.Range(0, seen.Length).Select(Bend)];
        double noise = SlopeNoise(line, bends),
            all = bends.Sum();
        if (!(all > 0))
        {
            return (_middleS, double.PositiveInfinity, double.PositiveInfinity);
        }

        double atS = bends.Zip(timeS, (b, t) => b * t).Sum() / all,
            lag = 0,
            slope = 0,
            spread = 0;
        for (int p = 0; p < bends.Length; p++)
        {
            // The line lies where the slopes of all parts add to nothing: each pulls with its bend, and errs with that and with its noise.
            double t = timeS[p] - atS,
                square = bends[p] * bends[p] * OwnLagS * OwnLagS + noise * noise;
            lag += square;
            slope += square * t * t;
            spread += bends[p] * t * t;
        }

        return (
            atS,
            Math.Max(LeastU95S, Coverage * Math.Sqrt(lag) / all),
            spread > 0 ? Math.Max(LeastU95Ppm, 1e6 * Coverage * Math.Sqrt(slope) / spread) : double.PositiveInfinity
        );
    }

    /// <summary>Noise of the slopes, a second: what the parts that tell least show of it at their places on the line.</summary>
    private double SlopeNoise(LagLine line, double[] bends)
    {
        double median = bends.Order().ElementAt((bends.Length - 1) / 2),
            sum = 0;
        int n = 0;
        for (int p = 0; p < seen.Length; p++)
        {
            if (bends[p] <= median)
            {
                double slope = Slope(seen[p], PlaceAt(line, timeS[p]));
                sum += slope * slope;
                n++;
            }
        }

        return Math.Sqrt(sum / n);
    }

    private static double Slope(double[] curve, double place)
    {
        double at = Math.Clamp(place, Reach, curve.Length - Reach - 1.001);
        int low = (int)at;
        double At(int i) => (curve[i + Reach] - curve[i - Reach]) / (2 * Reach * StepS);
        return At(low) + (at - low) * (At(low + 1) - At(low));
    }

    /// <summary>How sharply a part's curve bends at its top, a second squared: as predicted, in the
    /// strength in which it is seen; never negative.</summary>
    private double Bend(int part)
    {
        double[] curve = seen[part],
            shape = predicted[part];
        double mc = curve.Average(),
            ms = shape.Average(),
            sc = 0,
            ss = 0;
        for (int i = 0; i < curve.Length; i++)
        {
            sc += (curve[i] - mc) * (shape[i] - ms);
            ss += (shape[i] - ms) * (shape[i] - ms);
        }

        int top = shape.Length / 2;
        double bend = -(shape[top - Reach] - 2 * shape[top] + shape[top + Reach]) / (Reach * StepS * Reach * StepS);
        return ss > 1e-12 ? Math.Clamp(sc / ss, 0, 1) * Math.Max(0, bend) : 0;
    }
}
