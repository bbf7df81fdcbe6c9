using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>Works out from a survey how well its gauge reads.</summary>
public static class GaugeAppraisal
{
    private static readonly double[] UsualStepsDeg = [0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001];

    /// <summary>The quality of the gauge: stated data first, else what the readings show.</summary>
    public static GaugeQuality Of(IReadOnlyList<GaugeReading> readings, GaugeData? stated)
    {
        double stepDeg = stated?.ResolutionDeg ?? StepOf(readings);
        (double? scatter, int repeats) = Scatter(readings);
        (double repeatability, double freedom) = Repeatability(stepDeg, stated?.RepeatabilityDeg, scatter, repeats);

        var gauge = new GaugeQuality
        {
            StepDeg = stepDeg,
            StepGiven = stated?.ResolutionDeg is not null,
            ScatterDeg = scatter,
            RepeatCount = repeats,
            RepeatabilityDeg = repeatability,
            RepeatabilityFreedom = freedom,
            RepeatabilityGiven = stated?.RepeatabilityDeg is not null,
            AccuracyDeg = stated?.AccuracyDeg ?? 2 * stepDeg,
            AccuracyGiven = stated?.AccuracyDeg is not null,
            ZeroErrorDeg = Estimate.Unknown(new GaugeNotTurned()),
        };
        return gauge with { ZeroErrorDeg = ZeroError(readings, gauge) };
    }

    /// <summary>The largest usual step of which every reading is a multiple; 0.1° when all are.</summary>
    internal static double StepOf(IReadOnlyList<GaugeReading> readings)
    {
        double[] values = [.. readings.SelectMany(r => new[] { r.LowDeg, r.HighDeg })];
        foreach (double step in UsualStepsDeg)
        {
            if (values.All(v => Math.Abs(v / step - Math.Round(v / step)) < 1e-6))
            {
                return step;
            }
        }

        return UsualStepsDeg[^1];
    }

    /// <summary>What belongs together: same motor, time, place, direction, way round and side of a knock.</summary>
    internal static IEnumerable<IGrouping<(string?, SurveyTime, GaugePlace, TiltDirection, bool, Knock), GaugeReading>> Repeats(
        IEnumerable<GaugeReading> readings
    ) => readings.GroupBy(r => (r.MotorId, r.When, r.Where, r.Direction, r.Turned, r.Knock));

    /// <summary>What was known beforehand and what the repeats show, pooled by their degrees of
    /// freedom (as GUM 4.2.4 pools variances). A display in steps
    /// hides part of the scatter, so repeats count for less on a coarse one, down to a quarter of their number.</summary>
    private static (double Deg, double Freedom) Repeatability(double stepDeg, double? statedDeg, double? shownDeg, int repeats)
    {
        double before = statedDeg ?? GaugeData.UsualRepeatabilityDeg,
            freedom = statedDeg is null ? GaugeData.UsualFreedom : GaugeData.StatedFreedom;
        if (shownDeg is not double shown)
        {
            return (before, freedom);
        }

        double seen = GaugeQuality.PlacementScatter(stepDeg, shown),
            deg = before,
            worth = 0;
        for (int round = 0; round < 20; round++)
        {
            double share = GaugeQuality.ShareShown(stepDeg, deg);
            worth = repeats * share * share;
            deg = Math.Sqrt((freedom * before * before + worth * seen * seen) / (freedom + worth));
        }

        return (deg, freedom + worth);
    }

    private static (double? ScatterDeg, int Repeats) Scatter(IReadOnlyList<GaugeReading> readings)
    {
        double squares = 0;
        int freedom = 0;
        foreach (var group in Repeats(readings))
        {
            double mean = group.Average(r => r.SignedDeg);
            squares += group.Sum(r => (r.SignedDeg - mean) * (r.SignedDeg - mean));
            freedom += group.Count() - 1;
        }

        return freedom == 0 ? (null, 0) : (Math.Sqrt(squares / freedom), freedom);
    }

    private static Estimate ZeroError(IReadOnlyList<GaugeReading> readings, GaugeQuality gauge)
    {
        var places = readings
            .GroupBy(r => (r.MotorId, r.When, r.Where, r.Direction, r.Knock))
            .Where(g => g.Any(r => r.Turned) && g.Any(r => !r.Turned))
            .ToArray();
        if (places.Length == 0)
        {
            return gauge.ZeroErrorDeg;
        }

        // Reversal: the surface stays, the zero error changes sign, so half the difference is the zero error.
        double weight = 1.0 / places.Length;
        var halves = places.SelectMany(g =>
            new[]
            {
                (weight / 2, PlaceMean.Of([.. g.Where(r => !r.Turned)], gauge, "straight")!),
                (-weight / 2, PlaceMean.Of([.. g.Where(r => r.Turned)], gauge, "turned")!),
            }
        );
        PlaceMean zero = PlaceMean.Combine([.. halves]);
        return Estimate.Around(zero.Deg, new UncertaintyBudget(zero.Parts).Expanded95);
    }
}
