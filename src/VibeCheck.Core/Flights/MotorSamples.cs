using VibeCheck.Core.Airframes;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>One quantity of all motors that report it, at common times within the hover: one row for each time, one column for each
/// motor.</summary>
internal sealed class MotorSamples
{
    // A value between readings that are further apart than this is not known.
    private const double LongestSilenceS = 1;

    private const double DeadShare = 0.1;

    // Means need no closer rows than this; a wide file repeats its telemetry at the rate of the IMU.
    private const double ClosestRowsS = 0.0049;

    private MotorSamples(IReadOnlyList<Motor> motors, List<double[]> rows)
    {
        Motors = motors;
        Rows = rows;
        MeanOf = new double[motors.Count];
        for (int m = 0; m < motors.Count; m++)
        {
            MeanOf[m] = rows.Count == 0 ? double.NaN : rows.Average(r => r[m]);
        }
    }

    /// <summary>The motors that report, in the airframe's order.</summary>
    internal IReadOnlyList<Motor> Motors { get; }

    internal IReadOnlyList<double[]> Rows { get; }

    /// <summary>Mean of each motor over the rows; NaN without rows.</summary>
    internal double[] MeanOf { get; }

    internal double MeanOfAll => MeanOf.Average();

    /// <summary>A function of each row.</summary>
    internal double[] Each(Func<double[], double> of) => [.. Rows.Select(of)];

    internal int ColumnOf(string motorId)
    {
        for (int m = 0; m < Motors.Count; m++)
        {
            if (Motors[m].Id == motorId)
            {
                return m;
            }
        }

        return -1;
    }

    internal static MotorSamples Of(Flight flight, Airframe airframe, IReadOnlyList<TimeInterval> hover, Func<MotorTrack, Series?> quantity)
    {
        List<(Motor Motor, Series Series)> known = [];
        foreach (Motor motor in airframe.Motors)
        {
            if (
                flight.Track(motor.Id) is { } track
                && quantity(track) is { Count: > 0 } logged
                && Spikes.Without(logged) is var series
                && series.MeanOver(hover) is not null
            )
            {
                known.Add((motor, series));
            }
        }

        // If a motor reads almost zero all the time while the others work, it has lost its sensor, not its thrust.
        double usual = Robust.Median(known.Select(h => h.Series.MeanOver(hover)!.Value));
        known.RemoveAll(h => h.Series.MeanOver(hover)!.Value < DeadShare * usual);
        return new([.. known.Select(h => h.Motor)], known.Count == 0 ? [] : Common(known, hover));
    }

    /// <summary>Mean over the rows of one quantity divided by the mean of another, with its interval.</summary>
    /// <param name="tops">The numerator, one value for each row.</param>
    /// <param name="bottoms">The denominator, one value for each row.</param>
    /// <remarks>Ratio of means, its variance from top - ratio · bottom over the mean of bottom (first order).</remarks>
    internal static Estimate Ratio(double[] tops, double[] bottoms)
    {
        double over = bottoms.Average(),
            ratio = tops.Average() / over;
        DependentMean rest = DependentMean.Of([.. tops.Select((top, i) => (top - ratio * bottoms[i]) / over)]);
        return rest.Half95 is double half
            ? Estimate.Around(ratio, half)
            : Estimate.WithoutInterval(ratio, new HoverTooShortForInterval(IndependentValues.Readings));
    }

    private static List<double[]> Common(List<(Motor Motor, Series Series)> known, IReadOnlyList<TimeInterval> hover)
    {
        Series clock = known.MaxBy(h => CountIn(h.Series, hover)).Series;
        List<double[]> rows = [];
        double last = double.NegativeInfinity;
        foreach (TimeInterval segment in hover)
        {
            for (int i = clock.FirstAtOrAfter(segment.FromS); i < clock.Count && clock.TimeS[i] <= segment.ToS; i++)
            {
                if (clock.TimeS[i] - last < ClosestRowsS)
                {
                    continue;
                }

                last = clock.TimeS[i];
                double[] row = new double[known.Count];
                for (int m = 0; m < row.Length; m++)
                {
                    row[m] = known[m].Series.ReadingAt(i, clock.TimeS[i]) ?? known[m].Series.AtOrNaN(clock.TimeS[i], LongestSilenceS);
                }

                if (Array.TrueForAll(row, double.IsFinite))
                {
                    rows.Add(row);
                }
            }
        }

        return rows;
    }

    private static int CountIn(Series series, IReadOnlyList<TimeInterval> hover) =>
        hover.Sum(s => Math.Max(0, series.FirstAtOrAfter(s.ToS) - series.FirstAtOrAfter(s.FromS)));
}
