using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Signals;

/// <summary>Finds by how much the clock of the ESC recorder differs from that of the IMU, from the flight itself.</summary>
/// <remarks>
/// Coarse: in short spectra of the vibration, the strength of the lines at the reported speeds, and the vibration's rise and fall with
/// the speeds, over all requested lags. Fine: the vibration is demodulated by each rotor's reported angle under a trial lag; under the
/// right one the lines are constant and most power is captured in windows of 1.5 s. Sharp: the same around the maximum in steps
/// of 5 ms, for offset and drift together.
/// </remarks>
public static class RecorderAlignment
{
    // Mean likeness of what is seen to what the speeds predict, over the parts of a flight: measured on simulated flights,
    // see docs/methods/recorder-clocks.md. Between the two nothing is decided.
    private const double ClearLikeness = 0.45;
    private const double NoLikeness = 0.3;
    private const int LeastParts = 4;

    // Likeness over all parts at once, each as much as the speeds change in it. Undecided pairs of one flight: 0.47 to 0.73 at the right
    // lag, at most 0.32 at any other (five of 400 simulated flights). Flights that share take-off and manoeuvres reach it too, so that it makes
    // an offset likely and no more.
    private const double LikelyTogether = 0.4;

    // A search no wider than this starts from clocks that are taken to agree, s.
    private const double NarrowS = 3;
    private const int PartsToRefuse = 8;

    // Reports noisier than that would hide the likeness of files that do belong together, rad.
    private const double MostNoiseTurns = 0.4;

    /// <summary>Slower than this a rotor counts as standing, rpm.</summary>
    internal const double LeastRpm = 300;

    /// <summary>Finds the offset.</summary>
    /// <param name="imu">Acceleration.</param>
    /// <param name="rotors">Reported speeds on the ESC recorder's clock.</param>
    /// <param name="search">Where to look.</param>
    public static ClockAlignment Find(ImuTrack imu, IReadOnlyList<RotorSpeed> rotors, AlignmentSearch search)
    {
        ArgumentNullException.ThrowIfNull(imu);
        ArgumentNullException.ThrowIfNull(rotors);
        ArgumentNullException.ThrowIfNull(search);
        List<RotorSpeed> turning = [.. rotors.Where(r => r.Rpm.Count > 10 && r.Rpm.Values.Any(v => v > LeastRpm))];
        if (turning.Count == 0)
        {
            return ClockAlignment.Unknown(new NoSpeedToAlignBy());
        }

        double top = turning.Max(r => r.Rpm.Values.Max()) / 60;
        if (imu.RateHz < 3 * top)
        {
            return ClockAlignment.Unknown(new ImuTooSlowToAlign(imu.RateHz));
        }

        var fine = new FineAlignment(imu, turning, search.AroundS);
        if (AsTheClocksAre(fine, search) is ClockAlignment settled)
        {
            return settled;
        }

        var coarse = new CoarseAlignment(imu, turning);
        return Judge(coarse, fine, coarse.Candidates(search), turning);
    }

    /// <summary>The middle of a narrow search, if it alone fits clearly: most pairs of files start at the same moment, and
    /// looking farther costs more than reading them. Null where that does not settle it.</summary>
    private static ClockAlignment? AsTheClocksAre(FineAlignment fine, AlignmentSearch search)
    {
        if (search.ReachS > NarrowS)
        {
            return null;
        }

        double lagS = fine.Best(search.AroundS).LagS;
        if (Math.Abs(lagS - search.AroundS) > FineAlignment.WellWithinS)
        {
            return null;
        }

        FineAlignment.Peak peak = fine.Weigh(lagS);
        return peak.Likeness >= ClearLikeness && peak.Parts >= PartsToRefuse ? fine.Settle(peak) : null;
    }

    private static ClockAlignment Judge(
        CoarseAlignment coarse,
        FineAlignment fine,
        IReadOnlyList<double> candidates,
        List<RotorSpeed> rotors
    )
    {
        (double Captured, double LagS) top = (double.NegativeInfinity, 0);
        foreach (double candidate in candidates)
        {
            (double Captured, double LagS) here = fine.Best(candidate);
            top = here.Captured > top.Captured ? here : top;
        }

        FineAlignment.Peak best = fine.Weigh(top.LagS);
        if (best.Likeness >= ClearLikeness && best.Parts >= LeastParts)
        {
            return fine.Settle(best);
        }

        bool contradicts =
            best.Likeness < NoLikeness
            && best.Parts >= PartsToRefuse
            && coarse.LinesShow(top.LagS)
            && rotors.All(r => NoiseTurns(r) < MostNoiseTurns);
        return ClockAlignment.Unknown(
            contradicts
                ? new VibrationFollowsOtherSpeeds(best.Likeness, best.Parts, ClearLikeness, LeastParts)
                : new OffsetNotShown(best.Likeness, best.Parts, ClearLikeness, LeastParts)
        ) with
        {
            Contradicts = contradicts,
            Likely =
                best.Likeness >= NoLikeness && best.Parts >= LeastParts && fine.LikenessTogether(best.LagS) >= LikelyTogether
                    ? fine.Settle(best) with
                    {
                        Why = new OffsetLikely(best.Likeness, best.Parts, ClearLikeness, LeastParts),
                    }
                    : null,
        };
    }

    /// <summary>How far the noise of the reports turns the blade-pass line within the reach of the search, rad, typically.</summary>
    private static double NoiseTurns(RotorSpeed rotor)
    {
        double[] v = rotor.Rpm.Values,
            t = rotor.Rpm.TimeS;
        var bends = new List<double>();
        for (int i = 1; i + 1 < v.Length; i++)
        {
            if (v[i] > LeastRpm)
            {
                bends.Add(Math.Abs(v[i + 1] - 2 * v[i] + v[i - 1]));
            }
        }

        bends.Sort();

        // White noise of deviation s makes second differences of deviation s times the root of 6.
        double noiseHz = bends.Count == 0 ? 0 : 1.4826 * bends[bends.Count / 2] / Math.Sqrt(6) / 60;
        double step = (t[^1] - t[0]) / (t.Length - 1);
        return Math.Max(2, rotor.Blades) * Math.Tau * noiseHz * Math.Sqrt(step * 0.4);
    }
}

/// <summary>Where to look for the offset.</summary>
/// <param name="AroundS">Likely offset, s.</param>
/// <param name="ReachS">How far from it to look, s, above 0.</param>
public sealed record AlignmentSearch(double AroundS, double ReachS);

/// <summary>Offset between two recorders' clocks.</summary>
public sealed record ClockAlignment
{
    /// <summary>Seconds to add to ESC time to meet IMU time at <see cref="AtS"/>; null when unknown.</summary>
    public double? OffsetS { get; init; }

    /// <summary>Half width of its 95 % interval, s; null when unknown.</summary>
    public double? U95S { get; init; }

    /// <summary>IMU time at which the offset holds exactly, s.</summary>
    public double AtS { get; init; }

    /// <summary>How much faster than the ESC clock the IMU clock runs, parts per million; null
    /// when the flight is too short to tell.</summary>
    public double? DriftPpm { get; init; }

    /// <summary>Half width of the drift's 95 % interval, ppm; null when unknown.</summary>
    public double? DriftU95Ppm { get; init; }

    /// <summary>Why offset or drift are unknown; null when both are known.</summary>
    public Reason? Why { get; init; }

    /// <summary>The offset that explains the vibration best where none is clear: one that the orders must bear out; null where there is
    /// none.</summary>
    public ClockAlignment? Likely { get; init; }

    /// <summary>Whether the vibration follows other speeds than those reported: the files are of two flights.</summary>
    public bool Contradicts { get; init; }

    /// <summary>Not found.</summary>
    public static ClockAlignment Unknown(Reason why) => new() { Why = why };
}
