using VibeCheck.Core.Tracks;

namespace VibeCheck.Logs.Flights;

/// <summary>Whether two records are of the same flight, whole or in part.</summary>
internal static class FlightOverlap
{
    /// <summary>So many samples in a row, all three axes, are alike in two records only where one was cut from the other.</summary>
    private const int ProbeSamples = 24;

    private const int LeastDistinct = 12;

    /// <summary>How they overlap, to follow on "A and B"; null where they do not.</summary>
    internal static string? Between(Flight a, Flight b)
    {
        if (a.Input.ContentHash is string hash && hash == b.Input.ContentHash)
        {
            return "hold the same flight";
        }

        if (SharesSamples(a.Imu, b.Imu) || SharesSamples(b.Imu, a.Imu))
        {
            return "hold stretches of the same flight";
        }

        return SameTime(a, b) ? "were recorded at the same time by the logs' clocks" : null;
    }

    private static bool SameTime(Flight a, Flight b) =>
        a.Input.StartedUtc is DateTime startA
        && b.Input.StartedUtc is DateTime startB
        && startA < startB.AddSeconds(b.Imu.EndS - b.Imu.StartS)
        && startB < startA.AddSeconds(a.Imu.EndS - a.Imu.StartS);

    private static bool SharesSamples(ImuTrack from, ImuTrack within)
    {
        foreach (double share in new[] { 0.3, 0.5, 0.7 })
        {
            int at = (int)(share * from.Count);
            if (at + ProbeSamples > from.Count || from.AccXMps2.AsSpan(at, ProbeSamples).ToArray().Distinct().Count() < LeastDistinct)
            {
                continue;
            }

            int found = Find(within.AccXMps2, from.AccXMps2.AsSpan(at, ProbeSamples));
            if (found >= 0 && from.AccYMps2.AsSpan(at, ProbeSamples).SequenceEqual(within.AccYMps2.AsSpan(found, ProbeSamples)))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Index of a run of samples among others; -1 where it is not there. Compiled in full at once: it goes through whole flights,
    /// and runs a few times in a process.</summary>
    private static int Find(ReadOnlySpan<double> within, ReadOnlySpan<double> run)
    {
        double first = run[0],
            second = run[1];
        for (int i = 0; i + run.Length <= within.Length; i++)
        {
            if (within[i] == first && within[i + 1] == second && within.Slice(i, run.Length).SequenceEqual(run))
            {
                return i;
            }
        }

        return -1;
    }
}
