using System.Globalization;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Logs.Checks;

/// <summary>What is wrong with the samples of an IMU themselves: ends of the range, channels that stand still, steps too coarse.</summary>
internal static class InertialHealth
{
    // A pile at the end of the range: at least so many samples there, and more than in the next 3 % of the range.
    private const int LeastPile = 3;
    private const double NextShare = 0.03;

    // Coarser steps than that make piles by themselves.
    private const double FinestForPile = 0.01;

    internal const double FrozenS = 0.25;
    private const int FrozenSamples = 30;

    /// <summary>Clipped samples (a time at which any axis is clipped counts once) and what a careful reader should know.</summary>
    internal static (int Clipped, List<Warning> Warnings) Of(ImuTrack track)
    {
        var warnings = new List<Warning>();
        var clipped = new bool[track.Count];
        (double[] Values, string Name, string Unit)[] channels =
        [
            (track.AccXMps2, "acc_x", "m/s²"),
            (track.AccYMps2, "acc_y", "m/s²"),
            (track.AccZMps2, "acc_z", "m/s²"),
            .. track.RateXRadps is null
                ? []
                : ((double[], string, string)[])
                    [(track.RateXRadps, "rate_x", "rad/s"), (track.RateYRadps!, "rate_y", "rad/s"), (track.RateZRadps!, "rate_z", "rad/s")],
        ];
        foreach ((double[] values, string name, string unit) in channels)
        {
            double step = Step(values);
            int count = MarkClipped(values, step, clipped);
            if (count > 0)
            {
                warnings.Add(
                    new(
                        "clipping",
                        string.Create(
                            CultureInfo.InvariantCulture,
                            $"{name}: {count} samples are at the end of the range ({values.Min():0.##} to {values.Max():0.##} "
                                + $"{unit}). The true values are larger, so levels and orders are too small."
                        )
                    )
                );
            }

            Frozen(track, values, name, warnings);
            Coarse(values, step, name, unit, warnings);
        }

        return (clipped.Count(c => c), warnings);
    }

    private static (double Least, double Most) Ends(double[] values)
    {
        double least = values[0],
            most = values[0];
        foreach (double value in values)
        {
            least = value < least ? value : least;
            most = value > most ? value : most;
        }

        return (least, most);
    }

    private static int MarkClipped(double[] values, double step, bool[] clipped)
    {
        (double least, double most) = Ends(values);
        double range = most - least;
        if (!(range > 0) || step > FinestForPile * range)
        {
            return 0;
        }

        int marked = 0;
        foreach (double end in (double[])[least, most])
        {
            int pile = 0,
                next = 0;
            foreach (double value in values)
            {
                double away = Math.Abs(value - end);
                pile += away <= 1e-9 * range ? 1 : 0;
                next += away > 1e-9 * range && away <= NextShare * range ? 1 : 0;
            }

            if (pile < LeastPile || pile <= next)
            {
                continue;
            }

            for (int i = 0; i < values.Length; i++)
            {
                bool at = Math.Abs(values[i] - end) <= 1e-9 * range;
                clipped[i] |= at;
                marked += at ? 1 : 0;
            }
        }

        return marked;
    }

    /// <summary>Smallest step between neighbouring samples, in the column's unit; 0 for a constant column.</summary>
    private static double Step(double[] values)
    {
        double least = double.PositiveInfinity;
        int until = Math.Min(values.Length, 50_000);
        for (int i = 1; i < until; i++)
        {
            double step = Math.Abs(values[i] - values[i - 1]);
            least = step > 1e-12 && step < least ? step : least;
        }

        return double.IsFinite(least) ? least : 0;
    }

    /// <summary>What is said of a channel that stands still.</summary>
    internal static Warning Frozen(string name, double seconds, double fromS) =>
        new(
            "channel-frozen",
            string.Create(
                CultureInfo.InvariantCulture,
                $"{name} does not change for {seconds:0.00} s from {fromS:0.00} s on: the sensor or its recorder hung."
            )
        );

    private static void Frozen(ImuTrack track, double[] values, string name, List<Warning> warnings)
    {
        int longest = 0,
            at = 0,
            run = 0;
        foreach (ContiguousSegment block in track.Blocks)
        {
            run = 0;
            for (int i = block.FirstSample + 1; i < block.FirstSample + block.SampleCount; i++)
            {
                run = values[i] == values[i - 1] ? run + 1 : 0;
                (longest, at) = run > longest ? (run, i - run) : (longest, at);
            }
        }

        double period = 1 / track.RateHz;
        if (longest >= FrozenSamples && longest * period >= FrozenS)
        {
            ContiguousSegment block = track.Blocks.Last(b => b.FirstSample <= at);
            warnings.Add(Frozen(name, longest * period, block.TimeOf(at)));
        }
    }

    private static void Coarse(double[] values, double step, string name, string unit, List<Warning> warnings)
    {
        double sum = 0;
        int n = 0;
        for (int i = 1; i < values.Length; i++)
        {
            sum += (values[i] - values[i - 1]) * (values[i] - values[i - 1]);
            n++;
        }

        double spread = Math.Sqrt(sum / Math.Max(1, n) / 2);
        if (step > 0 && spread > 0 && step > 2 * spread)
        {
            warnings.Add(
                new(
                    "coarse-steps",
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{name} is logged in steps of {step:G3} {unit}, coarser than the vibration in it ({spread:G3} {unit}): small "
                            + $"orders are lost in the steps."
                    )
                )
            );
        }
    }
}
