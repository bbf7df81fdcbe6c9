using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Finds reports that repeat all logged values of the previous one, and speeds that do not change: telemetry that stopped
/// updating. Repeated values were not measured and are left out, so that nothing is interpolated across them as if they were.</summary>
internal static class HeldReports
{
    private const int LeastReports = 20;

    // A report that repeats all values for a quarter of a second and three rows was written again, not measured again.
    private const double LeastHoldS = 0.25;
    private const int LeastHold = 3;
    private const double ChanceOfHold = 0.01;

    // Noise and control change the speed of a turning rotor from report to report. A step of 0.2 % of the speed still shows that; speeds in
    // coarser steps stay constant naturally.
    private const double FineStepShare = 0.002,
        LongestStillS = 2,
        LongestStillRuns = 15;

    private const double TurningShare = 0.4;

    /// <summary>The track of a motor without repeats.</summary>
    /// <param name="Track">The track that remains.</param>
    /// <param name="RepeatedShare">Share of reports in flight that repeat the previous one.</param>
    /// <param name="LongestRepeatS">Longest time without a new report, s.</param>
    /// <param name="LongestStillS">Longest time for which only the speed stayed constant, s; 0 where it did not.</param>
    internal sealed record Result(MotorTrack Track, double RepeatedShare, double LongestRepeatS, double LongestStillS);

    internal static Result Of(MotorTrack motor)
    {
        if (motor.Rpm is not { Count: > LeastReports } rpm || ReadingFilter.Typical(rpm) is not (> 0 and var typical))
        {
            return new(motor, 0, 0, 0);
        }

        (MotorTrack track, double share, double longest) = WithoutRepeats(motor, rpm, typical);
        (Series moving, double still) = WithoutStill(track.Rpm!, typical);
        return new(track with { Rpm = moving }, share, longest, still);
    }

    private static (MotorTrack Track, double Share, double LongestS) WithoutRepeats(MotorTrack motor, Series rpm, double typical)
    {
        Series[] reported = [.. new[] { rpm, motor.CurrentA, motor.VoltageV }.OfType<Series>().Where(s => IsOnClockOf(s, rpm))],
            all = motor.Command is { } command && IsOnClockOf(command, rpm) ? [.. reported, command] : reported;
        if (all.Length < 2)
        {
            return (motor, 0, 0);
        }

        bool[] keep = new bool[rpm.Count];
        Array.Fill(keep, true);
        int turning = rpm.Values.Count(v => v > TurningShare * typical);
        double longestS = LeaveOut(keep, Holds(all, rpm, typical).Where(h => h.Rows >= LeastHold && h.LastedS >= LeastHoldS));

        // The command comes from the controller: it continues when the report of the ESC stops updating.
        if (reported.Length is > 1 and var own && own < all.Length)
        {
            List<Hold> holds = [.. Holds(reported, rpm, typical)];
            double byChance = LongestByChance(holds);
            longestS = Math.Max(longestS, LeaveOut(keep, holds.Where(h => h.Rows >= LeastHold && h.Rows > byChance)));
        }

        int repeats = keep.Count(k => !k);
        if (repeats == 0)
        {
            return (motor, 0, 0);
        }

        Series? Kept(Series? series) => series is { } s && IsOnClockOf(s, rpm) ? ReadingFilter.Kept(s, keep) : series;
        return (
            motor with
            {
                Rpm = Kept(motor.Rpm),
                Command = Kept(motor.Command),
                CurrentA = Kept(motor.CurrentA),
                VoltageV = Kept(motor.VoltageV),
                MotorTempC = Kept(motor.MotorTempC),
                EscTempC = Kept(motor.EscTempC),
            },
            (double)repeats / Math.Max(1, turning),
            longestS
        );
    }

    /// <summary>Rows of a turning rotor in which some columns do not change at all.</summary>
    private readonly record struct Hold(int First, int Rows, double LastedS);

    private static IEnumerable<Hold> Holds(Series[] columns, Series rpm, double typical)
    {
        for (int first = 0; first < rpm.Count; )
        {
            int end = first + 1;
            while (
                end < rpm.Count
                && rpm.Values[end] > TurningShare * typical
                && Array.TrueForAll(columns, s => s.Values[end] == s.Values[first])
            )
            {
                end++;
            }

            if (rpm.Values[first] > TurningShare * typical)
            {
                yield return new(first, end - first, rpm.TimeS[end - 1] - rpm.TimeS[first]);
            }

            first = end;
        }
    }

    /// <summary>Number of rows that one hold in a hundred flights reaches by chance, if each report equals the previous one with the
    /// probability with which the holds of this flight continue. With coarse steps, and with rows written more often than the ESC reports,
    /// long holds are natural.</summary>
    private static double LongestByChance(List<Hold> holds)
    {
        double goesOn = (double)holds.Count(h => h.Rows > 1) / Math.Max(1, holds.Count);
        return goesOn is > 0 and < 1 ? 1 + Math.Log(ChanceOfHold / holds.Count) / Math.Log(goesOn)
            : goesOn == 0 ? 1
            : double.PositiveInfinity;
    }

    /// <summary>Leaves out all rows except the first of each hold; returns the longest hold, s.</summary>
    private static double LeaveOut(bool[] keep, IEnumerable<Hold> holds)
    {
        double longestS = 0;
        foreach (Hold hold in holds)
        {
            Array.Fill(keep, false, hold.First + 1, hold.Rows - 1);
            longestS = Math.Max(longestS, hold.LastedS);
        }

        return longestS;
    }

    private static bool IsOnClockOf(Series series, Series rpm) =>
        series.Count == rpm.Count && (ReferenceEquals(series.TimeS, rpm.TimeS) || series.TimeS.AsSpan().SequenceEqual(rpm.TimeS));

    private static (Series Moving, double LongestS) WithoutStill(Series rpm, double typical)
    {
        List<(int First, int End)> runs = Runs(rpm.Values, typical);
        if (runs.Count == 0 || LeastStep(rpm.Values, typical) > FineStepShare * typical)
        {
            return (rpm, 0);
        }

        double[] lasted = [.. runs.Select(r => rpm.TimeS[r.End - 1] - rpm.TimeS[r.First])];
        double limit = Math.Max(LongestStillS, LongestStillRuns * Robust.Median(lasted));
        bool[] keep = new bool[rpm.Count];
        Array.Fill(keep, true);
        double longest = 0;
        for (int r = 0; r < runs.Count; r++)
        {
            if (lasted[r] > limit)
            {
                Array.Fill(keep, false, runs[r].First + 1, runs[r].End - runs[r].First - 1);
                longest = Math.Max(longest, lasted[r]);
            }
        }

        return (ReadingFilter.Kept(rpm, keep), longest);
    }

    /// <summary>Runs of constant speed of a turning rotor.</summary>
    private static List<(int First, int End)> Runs(double[] values, double typical)
    {
        List<(int, int)> runs = [];
        for (int first = 0; first < values.Length; )
        {
            int end = first + 1;
            while (end < values.Length && values[end] == values[first])
            {
                end++;
            }

            if (values[first] > TurningShare * typical)
            {
                runs.Add((first, end));
            }

            first = end;
        }

        return runs;
    }

    private static double LeastStep(double[] values, double typical)
    {
        double least = double.PositiveInfinity;
        for (int i = 1; i < values.Length; i++)
        {
            double step = Math.Abs(values[i] - values[i - 1]);
            least = step > 0 && values[i] > TurningShare * typical ? Math.Min(least, step) : least;
        }

        return least;
    }
}
