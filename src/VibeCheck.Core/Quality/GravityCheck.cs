using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Uses gravity as the one known acceleration in every hover: its size verifies unit and scale, its steadiness verifies the
/// gain.</summary>
/// <remarks>In unaccelerated flight the forces on the airframe carry its weight at any tilt, so the mean acceleration that an accelerometer
/// measures is 9.81 m/s² (ISO 80000-3 standard gravity).</remarks>
internal static class GravityCheck
{
    private const double GravityMps2 = 9.80665;

    // Common practice: scale errors of small accelerometers stay within 3 %, offsets within 0.5 m/s² when warm; vibration adds a little.
    private const double LeastMps2 = 9.0,
        MostMps2 = 10.7;

    // A log without gravity (high-pass filtered before it was written) has a mean near zero.
    private const double AbsentMps2 = 0.7;

    // Gusts change the mean over some seconds by a few percent; a gain that drifts by 1 dB changes it by 12 %.
    private const double LeastPieceS = 5;
    private const int MostPieces = 10;
    private const double MostDrift = 0.07;

    // Strong gusts change it by more. The limit is then this many standard errors of the difference of two pieces, from the means of their
    // parts.
    private const int PartsOfPiece = 5;
    private const double GustErrors = 3;

    internal static IEnumerable<QualityIssue> Of(ImuTrack imu, IReadOnlyList<ContiguousSegment> runs)
    {
        if (Mean(imu, runs) is not double size || size < AbsentMps2)
        {
            yield break;
        }

        if (size is < LeastMps2 or > MostMps2)
        {
            yield return Withheld(new GravityOff(size));
            yield break;
        }

        ContiguousSegment[] pieces = Pieces(imu, runs);
        double[] means = [.. pieces.Select(p => Mean(imu, [p])!.Value)];
        if (means.Length > 1 && means.Max() / means.Min() - 1 > Math.Max(MostDrift, GustErrors * Math.Sqrt(2) * ErrorShare(imu, pieces)))
        {
            yield return Withheld(new GravityDrifts(means.Min(), means.Max()));
        }
    }

    /// <summary>Standard error of the mean of a piece, from the scatter of its parts and pooled over the pieces, as a share of
    /// gravity.</summary>
    private static double ErrorShare(ImuTrack imu, ContiguousSegment[] pieces)
    {
        double squares = 0;
        foreach (ContiguousSegment piece in pieces)
        {
            double[] parts = [.. Cut(piece, Math.Max(1, piece.SampleCount / PartsOfPiece)).Select(p => Mean(imu, [p])!.Value)];
            double mean = parts.Average();
            squares += parts.Sum(p => (p - mean) * (p - mean)) / Math.Max(1, parts.Length - 1) / parts.Length;
        }

        return Math.Sqrt(squares / Math.Max(1, pieces.Length)) / GravityMps2;
    }

    /// <summary>Size of the mean acceleration over runs of samples, m/s²; null without samples.</summary>
    internal static double? Mean(ImuTrack imu, IReadOnlyList<ContiguousSegment> runs)
    {
        double x = 0,
            y = 0,
            z = 0;
        long n = 0;
        foreach (ContiguousSegment run in runs)
        {
            x += Sum(imu.AccXMps2, run);
            y += Sum(imu.AccYMps2, run);
            z += Sum(imu.AccZMps2, run);
            n += run.SampleCount;
        }

        return n == 0 ? null : Math.Sqrt(x * x + y * y + z * z) / n;
    }

    private static double Sum(double[] values, ContiguousSegment run)
    {
        double sum = 0;
        foreach (double value in values.AsSpan(run.FirstSample, run.SampleCount))
        {
            sum += value;
        }

        return sum;
    }

    private static ContiguousSegment[] Pieces(ImuTrack imu, IReadOnlyList<ContiguousSegment> runs)
    {
        int all = runs.Sum(r => r.SampleCount),
            length = Math.Max((int)(LeastPieceS * imu.RateHz), all / MostPieces);
        return [.. runs.SelectMany(r => Cut(r, length))];
    }

    /// <summary>Complete pieces of a length; the remainder is left out.</summary>
    private static IEnumerable<ContiguousSegment> Cut(ContiguousSegment run, int length)
    {
        for (int first = run.FirstSample; first + length <= run.FirstSample + run.SampleCount; first += length)
        {
            yield return run with
            {
                FirstSample = first,
                SampleCount = length,
                StartS = run.TimeOf(first),
            };
        }
    }

    private static QualityIssue Withheld(Statistics.Reason cause) =>
        new()
        {
            Cause = cause,
            Track = "imu",
            Effect = QualityEffect.Withheld,
            Affects = Answers.Vibration,
        };
}
