using VibeCheck.Core.Uncertainty;

namespace VibeCheck.Core.Surveys;

/// <summary>Works out from a survey how well its gauge reads.</summary>
public static class GaugeAppraisal
{
    private static readonly double[] UsualStepsDeg = [0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001];

    /// <summary>The quality of the gauge: stated data first, else what the readings show.</summary>
    public static GaugeQuality Of(IReadOnlyList<GaugeReading> readings, GaugeData? stated)
    {
        double stepDeg = stated?.ResolutionDeg ?? StepOf(readings);
        (double? scatter, double freedom) = Scatter(readings);
        if (scatter is null && stated?.RepeatabilityDeg is double given)
        {
            (scatter, freedom) = (given, double.PositiveInfinity);
        }

        var gauge = new GaugeQuality
        {
            StepDeg = stepDeg,
            StepGiven = stated?.ResolutionDeg is not null,
            ScatterDeg = scatter,
            ScatterFreedom = freedom,
            AccuracyDeg = stated?.AccuracyDeg ?? 2 * stepDeg,
            AccuracyGiven = stated?.AccuracyDeg is not null,
            ZeroErrorDeg = Estimate.Unknown("the gauge was not read turned by 180° as well"),
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
        IEnumerable<GaugeReading> readings) =>
        readings.GroupBy(r => (r.MotorId, r.When, r.Where, r.Direction, r.Turned, r.Knock));

    private static (double? ScatterDeg, double Freedom) Scatter(IReadOnlyList<GaugeReading> readings)
    {
        double squares = 0;
        int freedom = 0;
        foreach (var group in Repeats(readings))
        {
            double mean = group.Average(r => r.SignedDeg);
            squares += group.Sum(r => (r.SignedDeg - mean) * (r.SignedDeg - mean));
            freedom += group.Count() - 1;
        }

        return freedom == 0 ? (null, double.PositiveInfinity) : (Math.Sqrt(squares / freedom), freedom);
    }

    private static Estimate ZeroError(IReadOnlyList<GaugeReading> readings, GaugeQuality gauge)
    {
        var places = readings.GroupBy(r => (r.MotorId, r.When, r.Where, r.Direction, r.Knock))
            .Where(g => g.Any(r => r.Turned) && g.Any(r => !r.Turned)).ToArray();
        if (places.Length == 0)
        {
            return gauge.ZeroErrorDeg;
        }

        // Reversal: the surface stays, the zero error changes sign, so half the difference is the zero error.
        double weight = 1.0 / places.Length;
        var halves = places.SelectMany(g => new[]
        {
            (weight / 2, PlaceMean.Of([.. g.Where(r => !r.Turned)], gauge, "straight")!),
            (-weight / 2, PlaceMean.Of([.. g.Where(r => r.Turned)], gauge, "turned")!),
        });
        PlaceMean zero = PlaceMean.Combine([.. halves]);
        return Estimate.Around(zero.Deg, new UncertaintyBudget(zero.Parts).Expanded95);
    }
}
