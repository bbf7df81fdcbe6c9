using VibeCheck.Logs.Columns;

namespace VibeCheck.Logs.Units;

/// <summary>Finds the unit of rates that a header does not give: from their size where that is clear, else from the sway of the airframe,
/// which is the integral of the rates.</summary>
internal static class RateUnit
{
    // Sensors of small aircraft end at 2000 deg/s, a few at 4000: larger numbers are thousandths of a degree per second (common practice).
    // 35 rad/s is the end of the usual sensor's range. In flight the spread over three axes is rarely below 0.35 deg/s or above 3.5 rad/s:
    // common practice.
    private const double MostRadps = 36,
        MostDegps = 5000;
    private const double SpreadOfDegps = 3.5,
        SpreadOfRadps = 0.35;

    // Sway of roll and pitch about their trend within four seconds, rms, upper quartile over a flight. Six real flights (Masalimov et al.,
    // Data 2024, 9, 79) sway by 0.8 to 2.3 degrees of roll. No hover sways by less than a twentieth of a degree or more than twenty
    // degrees, and below half a degree a record may come from a bench: common practice.
    private const double WindowS = 4;
    private const double StepS = 0.05;
    private const double LeastSwayDeg = 0.05,
        LeastSureDeg = 0.5,
        MostSwayDeg = 20;
    private const double DegPerRad = 180 / Math.PI;

    // A very steady hover sways by a few hundredths of a degree, and with rotors turning the rates spread by a tenth of a degree per
    // second: smaller numbers are certainly not in degrees (common practice).
    private const double LeastPossibleSwayDeg = 0.02,
        LeastPossibleSpreadDegps = 0.1;

    /// <summary>The unit, and whether the other one is excluded; null when neither size nor sway shows it.</summary>
    /// <param name="raw">Rates about x, y, z as logged; NaN where there is none.</param>
    /// <param name="timeS">Their times, s; NaN where unusable.</param>
    /// <param name="upAxis">The axis along which gravity acts, 0 to 2: rotation about it does not contribute to the sway.</param>
    internal static (Unit Unit, bool IsSure)? Find(double[][] raw, ReadOnlySpan<double> timeS, int upAxis)
    {
        (double most, double spread) = Size(raw);
        return most > MostDegps ? (UnitTable.MillidegPerS, true)
            : spread < LeastPossibleSpreadDegps ? (UnitTable.RadPerS, true)
            : most > MostRadps || spread > SpreadOfDegps ? (UnitTable.DegPerS, true)
            : BySway(raw, timeS, upAxis) ?? (spread < SpreadOfRadps ? (UnitTable.RadPerS, false) : null);
    }

    private static (double Most, double Spread) Size(double[][] raw)
    {
        double most = 0,
            spread = 0;
        foreach (double[] axis in raw)
        {
            double middle = ColumnMedian.Of(axis),
                sum = 0;
            int n = 0;
            foreach (double value in axis)
            {
                if (!double.IsNaN(value))
                {
                    most = Math.Max(most, Math.Abs(value));
                    sum += (value - middle) * (value - middle);
                    n++;
                }
            }

            spread = Math.Max(spread, Math.Sqrt(sum / Math.Max(1, n)));
        }

        return (most, spread);
    }

    private static (Unit, bool)? BySway(double[][] raw, ReadOnlySpan<double> timeS, int upAxis)
    {
        double[] first = raw[(upAxis + 1) % 3],
            second = raw[(upAxis + 2) % 3];
        var sways = new List<double>();
        int from = 0;
        while (from < timeS.Length)
        {
            int to = from + 1;
            while (to < timeS.Length && !(timeS[to] - timeS[from] >= WindowS))
            {
                to++;
            }

            // A window with a gap covers more than its nominal time.
            if (to < timeS.Length && timeS[to] - timeS[from] < WindowS + 2 * StepS)
            {
                double one = Sway(first, timeS, from, to),
                    two = Sway(second, timeS, from, to);
                sways.Add(Math.Sqrt(one * one + two * two));
            }

            from = to;
        }

        if (sways.Count < 4)
        {
            return null;
        }

        sways.Sort();
        double sway = sways[sways.Count * 3 / 4];
        bool degrees = sway is > LeastSwayDeg and < MostSwayDeg,
            radians = sway * DegPerRad is > LeastSureDeg and < MostSwayDeg;
        return degrees == radians ? null
            : degrees ? (UnitTable.DegPerS, true)
            : (UnitTable.RadPerS, sway < LeastPossibleSwayDeg);
    }

    /// <summary>Rms of the angle about its straight trend, in the unit of the rate times seconds.</summary>
    private static double Sway(double[] rate, ReadOnlySpan<double> timeS, int from, int to)
    {
        double[] angle = new double[(int)(WindowS / StepS)];
        double sum = 0;
        int step = 0,
            last = from;
        for (int i = from + 1; i < to && step < angle.Length; i++)
        {
            if (double.IsNaN(timeS[i]) || double.IsNaN(rate[i]))
            {
                continue;
            }

            sum += rate[i] * (timeS[i] - timeS[last]);
            last = i;
            while (step < angle.Length && timeS[i] - timeS[from] >= (step + 1) * StepS)
            {
                angle[step++] = sum;
            }
        }

        return AboutTrend(angle.AsSpan(0, step));
    }

    private static double AboutTrend(ReadOnlySpan<double> values)
    {
        double n = values.Length,
            sy = 0,
            sxy = 0,
            syy = 0,
            middle = (n - 1) / 2;
        for (int i = 0; i < values.Length; i++)
        {
            sy += values[i];
            sxy += values[i] * (i - middle);
            syy += values[i] * values[i];
        }

        double sxx = n * (n * n - 1) / 12;
        return n < 3 ? 0 : Math.Sqrt(Math.Max(0, (syy - sy * sy / n - sxy * sxy / sxx) / n));
    }
}
