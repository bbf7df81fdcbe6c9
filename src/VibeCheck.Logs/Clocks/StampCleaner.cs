namespace VibeCheck.Logs.Clocks;

/// <summary>What was found in the raw stamps of a file.</summary>
internal sealed record StampNotes
{
    internal int Wraps { get; init; }

    internal int Resets { get; init; }

    internal int StepsBack { get; init; }

    internal int Repeats { get; init; }
}

/// <summary>Makes raw time stamps rise: corrects counters that wrap or restart, and rows out of order.</summary>
internal static class StampCleaner
{
    /// <summary>Pause inserted where a counter restarted, s: the log does not show its true length.</summary>
    internal const double PauseAtResetS = 1;

    private const int LookAhead = 64;

    // A stamp that steps back by less than this share of a step has jitter. If it steps back by more, its row is out of place.
    private const double Wobble = 0.6;

    /// <summary>Corrects the stamps in place. Rows out of order become NaN.</summary>
    /// <param name="timeS">Time stamps in s, in file order; NaN where there is none.</param>
    /// <param name="ticks">Length of one count of the logger's clock, s; 0 for times written as text.</param>
    internal static StampNotes Clean(double[] timeS, double ticks)
    {
        double offset = 0,
            before = double.NaN;
        int wraps = 0,
            resets = 0,
            back = 0,
            repeats = 0;
        double usual = UsualStep(timeS);
        for (int i = 0; i < timeS.Length; i++)
        {
            double time = timeS[i] + offset;
            if (double.IsNaN(time) || double.IsNaN(before))
            {
                before = double.IsNaN(time) ? before : time;
                continue;
            }

            double step = time - before;
            if (step < 0)
            {
                double modulus = Modulus(step, ticks, usual);
                if (modulus > 0)
                {
                    wraps++;
                    offset += modulus;
                    time += modulus;
                }
                else if (step > -Wobble * usual)
                {
                    // The rows are in the order in which they were taken; only this stamp is early.
                    time = before;
                }
                else if (ReturnsAbove(timeS, i, offset, before))
                {
                    back++;
                    timeS[i] = double.NaN;
                    continue;
                }
                else
                {
                    resets++;
                    double shift = before + PauseAtResetS - time;
                    offset += shift;
                    time += shift;
                }
            }
            else if (step == 0)
            {
                repeats++;
            }
            else if (step > 1.5 * usual && StandsAhead(timeS, i, offset, before, time, usual))
            {
                back++;
                timeS[i] = double.NaN;
                continue;
            }

            timeS[i] = time;
            before = time;
        }

        return new()
        {
            Wraps = wraps,
            Resets = resets,
            StepsBack = back,
            Repeats = repeats,
        };
    }

    /// <summary>Median of the forward steps among the first rows, s; 0 when there are none.</summary>
    internal static double UsualStep(ReadOnlySpan<double> timeS)
    {
        var steps = new List<double>();
        for (int i = 1; i < timeS.Length && steps.Count < 4000; i++)
        {
            double step = timeS[i] - timeS[i - 1];
            if (step > 0)
            {
                steps.Add(step);
            }
        }

        steps.Sort();
        return steps.Count == 0 ? 0 : steps[steps.Count / 2];
    }

    /// <summary>The counter range with which a backward step is explained by an overflow through zero; 0 when none explains it.</summary>
    private static double Modulus(double step, double ticks, double usual)
    {
        if (ticks <= 0)
        {
            const double Day = 86400;
            return step < -0.9 * Day && step + Day < 600 ? Day : 0;
        }

        foreach (int bits in (int[])[16, 24, 31, 32])
        {
            // A logger often counts in finer units than it writes: a 32-bit microsecond counter written in s or ms also wraps at 2^32 µs.
            foreach (double tick in (double[])[ticks, 1e-6, 1e-3])
            {
                double modulus = Math.Pow(2, bits) * tick;
                double forward = step + modulus;
                if (forward >= 0 && forward <= Math.Max(50 * usual, 0.02 * modulus) && forward < 0.25 * modulus && modulus > 20 * usual)
                {
                    return modulus;
                }
            }
        }

        return 0;
    }

    /// <summary>Whether a row is ahead of its place: the two rows after it belong between it and the row before. Without this check, one
    /// wrong stamp would make all rows after it look like a clock that restarted.</summary>
    private static bool StandsAhead(double[] timeS, int at, double offset, double before, double time, double usual)
    {
        if (at + 2 >= timeS.Length)
        {
            return false;
        }

        double next = timeS[at + 1] + offset,
            then = timeS[at + 2] + offset;
        double clear = time - Wobble * usual;
        return next >= before && next < clear && then >= next && then < clear;
    }

    private static bool ReturnsAbove(double[] timeS, int at, double offset, double before)
    {
        for (int i = at + 1; i < Math.Min(timeS.Length, at + LookAhead); i++)
        {
            if (timeS[i] + offset > before)
            {
                return true;
            }
        }

        return false;
    }
}
