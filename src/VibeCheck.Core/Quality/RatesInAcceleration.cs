using System.Numerics.Tensors;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether an axis of the accelerometer holds a rate of turn, in whatever unit.</summary>
internal static class RatesInAcceleration
{
    private const double PieceS = 0.5;

    // Two sensors have noise of their own: what one does not share with the other is a larger part of its variance than that, even where
    // one rotor is all that shakes. A rate written with few digits leaves less.
    private const double MostUnshared = 0.001;

    internal static IEnumerable<QualityIssue> Of(ImuTrack imu, IReadOnlyList<ContiguousSegment> runs)
    {
        double[]?[] rates = [imu.RateXRadps, imu.RateYRadps, imu.RateZRadps];
        int piece = Math.Max(16, (int)(PieceS * imu.RateHz));
        for (int axis = 0; axis < 3; axis++)
        {
            for (int rate = 0; rate < 3; rate++)
            {
                if (rates[rate] is { } turns && 1 - Squared(imu.Acceleration[axis], turns, runs, piece) < MostUnshared)
                {
                    yield return new()
                    {
                        Cause = new RateInAcceleration("acc_" + "xyz"[axis], "rate_" + "xyz"[rate]),
                        Track = "imu",
                        Channel = "acc_" + "xyz"[axis],
                        Effect = QualityEffect.Withheld,
                        Affects = Answers.Vibration,
                    };
                }
            }
        }
    }

    /// <summary>Square of the correlation of two columns about their means over short pieces; 0 where one does not change.</summary>
    private static double Squared(double[] a, double[] b, IReadOnlyList<ContiguousSegment> runs, int piece)
    {
        double ofA = 0,
            ofB = 0,
            ofBoth = 0;
        foreach (ContiguousSegment run in runs)
        {
            for (int first = run.FirstSample; first + piece <= run.FirstSample + run.SampleCount; first += piece)
            {
                ReadOnlySpan<double> x = a.AsSpan(first, piece),
                    y = b.AsSpan(first, piece);
                double meanX = TensorPrimitives.Sum(x) / piece,
                    meanY = TensorPrimitives.Sum(y) / piece;
                ofA += TensorPrimitives.SumOfSquares(x) - piece * meanX * meanX;
                ofB += TensorPrimitives.SumOfSquares(y) - piece * meanY * meanY;
                ofBoth += TensorPrimitives.Dot(x, y) - piece * meanX * meanY;
            }
        }

        return ofA > 0 && ofB > 0 ? ofBoth * ofBoth / (ofA * ofB) : 0;
    }
}
