using VibeCheck.Core.Samples;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether the slope of an axis is limited: steps between samples that accumulate at a greatest size.</summary>
/// <remarks>Vibration of several lines and noise has few steps close to the greatest one, and each has another size. A sensor, an amplifier
/// or a filter of the recorder that limits the slope gives many steps of exactly the same size.</remarks>
internal static class SlewLimit
{
    // Steps within this of the limit count as at the limit: rounding of both samples, and half as much again.
    private const double Quanta = 1.6,
        WithinShare = 0.002;

    // Share of the steps at the limit, and its ratio to the share in a band of the same width below it.
    private const double LeastShare = 0.01,
        OverBelow = 8;

    // Number of steps used; a long hover is thinned to the largest number.
    private const int LeastSteps = 500,
        MostSteps = 60_000;

    internal static IEnumerable<QualityIssue> Of(ImuTrack imu, IReadOnlyList<ContiguousSegment> runs)
    {
        for (int axis = 0; axis < 3; axis++)
        {
            if (Limit(imu.Acceleration[axis], imu.AccStepsMps2[axis], runs) is { } limit)
            {
                string name = "acc_" + "xyz"[axis];
                yield return new()
                {
                    Cause = new SlewLimited(name, limit.StepMps2, limit.Share),
                    Track = "imu",
                    Channel = name,
                    Effect = QualityEffect.Withheld,
                    Affects = Answers.Vibration,
                };
            }
        }
    }

    private static (double StepMps2, double Share)? Limit(double[] values, double writtenStepMps2, IReadOnlyList<ContiguousSegment> runs)
    {
        int every = 1 + (int)(runs.Sum(run => (long)run.SampleCount) / MostSteps);
        double[] steps = [.. runs.SelectMany(run => Steps(values, run, every))];
        if (steps.Length < LeastSteps)
        {
            return null;
        }

        // The very greatest may be a repaired sample: one step in a thousand may be larger.
        Array.Sort(steps);
        double top = steps[^(1 + steps.Length / 1000)];
        double quantum = Math.Max(writtenStepMps2, new ColumnSteps(values).Quantum),
            width = Math.Max(Quanta * quantum, WithinShare * top);
        int at = Between(steps, top - width, top + width),
            below = Between(steps, top - 4 * width, top - 2 * width);
        double share = (double)at / steps.Length;
        return top > 20 * quantum && share > LeastShare && at > OverBelow * Math.Max(1, below) ? (top, share) : null;
    }

    private static IEnumerable<double> Steps(double[] values, ContiguousSegment run, int every)
    {
        for (int i = run.FirstSample + 1; i < run.FirstSample + run.SampleCount; i += every)
        {
            double step = Math.Abs(values[i] - values[i - 1]);
            if (double.IsFinite(step))
            {
                yield return step;
            }
        }
    }

    private static int Between(double[] sorted, double from, double to) => sorted.Count(s => s >= from && s <= to);
}
