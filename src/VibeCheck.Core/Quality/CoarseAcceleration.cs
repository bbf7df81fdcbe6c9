using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether the acceleration was written in steps coarser than the vibration.</summary>
/// <remarks>Rounding adds noise, but leaves the mean size of a line unchanged as long as the signal spreads over at least half a step
/// (standard deviation; B. Widrow, I. Kollár, Quantization Noise, 2008, from memory: a normal signal of σ = q / 2 leaves an error of the mean
/// below 1 %). With coarser steps a vibration can vanish between two steps, or grow to a whole one.</remarks>
internal static class CoarseAcceleration
{
    private const double MostStepsPerDeviation = 2;

    // What the coarse axes may hide or add is bounded by the mean square of half a step; less than this does not matter.
    private const double LeastDb = 0.05,
        MostDb = 0.5;

    internal static IEnumerable<QualityIssue> Of(ImuTrack imu, IReadOnlyList<ContiguousSegment> runs)
    {
        double[] variances = [.. imu.Acceleration.Select(a => Variance(a, runs))];

        // Rounding to steps q adds q² / 12 (W. F. Sheppard, Proc. London Math. Soc. 29 (1898) 353-380, from memory).
        double[] deviations = [.. variances.Select((v, i) => Math.Sqrt(Math.Max(0, v - imu.AccStepsMps2[i] * imu.AccStepsMps2[i] / 12)))];
        int[] coarse =
        [
            .. Enumerable.Range(0, 3).Where(i => variances[i] > 0 && imu.AccStepsMps2[i] > MostStepsPerDeviation * deviations[i]),
        ];
        if (coarse.Length == 0)
        {
            yield break;
        }

        double hidden = coarse.Sum(i => Math.Pow(imu.AccStepsMps2[i] / 2, 2)),
            shown = Enumerable.Range(0, 3).Except(coarse).Sum(i => deviations[i] * deviations[i]),
            db = 10 * Math.Log10(1 + hidden / shown);
        if (db < LeastDb)
        {
            yield break;
        }

        int worst = coarse.MaxBy(i => imu.AccStepsMps2[i] / deviations[i]);
        string name = "acc_" + "xyz"[worst];
        yield return new()
        {
            Cause = new AccelerationStepsCoarse(name, imu.AccStepsMps2[worst], deviations[worst]),
            Track = "imu",
            Channel = name,
            Effect = db > MostDb ? QualityEffect.Withheld : QualityEffect.Widened,
            AddedDb = db > MostDb ? 0 : db,
            Affects = Answers.Vibration,
        };
    }

    /// <summary>Variance of an axis over runs of samples, each about its own mean, in the axis's unit squared; 0 without samples.</summary>
    private static double Variance(double[] values, IReadOnlyList<ContiguousSegment> runs)
    {
        double squares = 0;
        long count = 0;
        foreach (ContiguousSegment run in runs)
        {
            ReadOnlySpan<double> of = values.AsSpan(run.FirstSample, run.SampleCount);
            double sum = 0,
                sumOfSquares = 0;
            foreach (double value in of)
            {
                double about = value - of[0];
                sum += about;
                sumOfSquares += about * about;
            }

            squares += sumOfSquares - sum * sum / of.Length;
            count += of.Length;
        }

        return count == 0 ? 0 : Math.Max(0, squares) / count;
    }
}
