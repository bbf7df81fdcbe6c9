using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>The reading to take next at a motor: the next place in the order of work, or one
/// more where that can change what is done.</summary>
/// <param name="Where">The surface under the gauge.</param>
/// <param name="Direction">The direction that it measures.</param>
/// <param name="Purpose">What the reading is good for.</param>
/// <param name="More">Readings that are still wanted at each place, this one included, 1 or more.</param>
/// <remarks>
/// Order of work: across the arm before along it, the frame before the mount. Once all places are read, one more pays in two cases only.
/// The tilt may lie on either side of the tolerance, and a stated number of readings would settle it if they agree. Or the motor is to be
/// shimmed, its 95 % uncertainty is more than half the tilt that the smallest step of the kit makes, so the nearest thickness is not sure,
/// and at most <see cref="MostForThickness"/> readings at each place would bring it below.
/// </remarks>
public sealed record NextReading(GaugePlace Where, TiltDirection Direction, ReadingPurpose Purpose, int More)
{
    /// <summary>Largest number of readings requested at each place to distinguish two thicknesses;
    /// common practice: a third set rarely pays.</summary>
    public const int MostForThickness = 3;

    private static readonly TiltDirection[] Directions = [TiltDirection.Across, TiltDirection.Along];

    /// <summary>The next reading at a motor.</summary>
    /// <param name="plan">The plan made from the readings so far.</param>
    /// <param name="motor">The motor.</param>
    /// <param name="when">As found or as left.</param>
    /// <returns>The reading; null where all places are read and no further one pays.</returns>
    public static NextReading? Of(ShimPlan plan, Motor motor, SurveyTime when)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(motor);
        return FirstUnread(plan.Survey, motor, when) ?? (when == SurveyTime.AsFound ? AfterFound(plan, motor) : AfterLeft(plan, motor));
    }

    private static NextReading? FirstUnread(Survey survey, Motor motor, SurveyTime when)
    {
        bool atHub = survey.Readings.Any(r => r.MotorId is null && r.When == when);
        foreach (TiltDirection direction in Directions)
        {
            if (!atHub && Count(survey, motor, when, GaugePlace.Frame, direction) == 0)
            {
                return new(GaugePlace.Frame, direction, ReadingPurpose.FirstReading, 1);
            }

            if (Count(survey, motor, when, GaugePlace.Mount, direction) == 0)
            {
                return new(GaugePlace.Mount, direction, ReadingPurpose.FirstReading, 1);
            }
        }

        return null;
    }

    private static NextReading? AfterFound(ShimPlan plan, Motor motor)
    {
        if (plan.Motors.FirstOrDefault(m => m.Motor == motor) is not { Tilt: MotorTilt tilt } work)
        {
            return null;
        }

        return work.Action switch
        {
            ShimAction.MeasureAgain => ForTolerance(plan.Survey, motor, SurveyTime.AsFound, work.MoreReadings),
            ShimAction.Shim => ForThickness(plan, motor, tilt),
            _ => null,
        };
    }

    private static NextReading? AfterLeft(ShimPlan plan, Motor motor)
    {
        if (plan.Survey.Left(motor.Id) is not { MagnitudeDeg: double deg } tilt)
        {
            return null;
        }

        double margin = Math.Abs(deg - plan.Options.ToleranceDeg);
        return tilt.U95Deg is double half && half > margin
            ? ForTolerance(plan.Survey, motor, SurveyTime.AsLeft, ShimPlanner.MoreReadings(tilt, margin))
            : null;
    }

    private static NextReading? ForTolerance(Survey survey, Motor motor, SurveyTime when, int? more) =>
        more is int n ? AtFewest(survey, motor, when, Directions, ReadingPurpose.Tolerance, n)
        : survey.Gauge is { RepeatCount: 0 } ? AtFewest(survey, motor, when, Directions, ReadingPurpose.Repeatability, 1)
        : null;

    private static NextReading? ForThickness(ShimPlan plan, Motor motor, MotorTilt tilt)
    {
        if (plan.Airframe.BoltsOf(motor) is not BoltPattern bolts)
        {
            return null;
        }

        double stepMm = SmallestStepMm(plan.Kit);
        (TiltDirection Direction, int? More)[] unsure =
        [
            (TiltDirection.Across, Wanted(tilt.AcrossBudget, bolts.AcrossSpanMm, stepMm)),
            (TiltDirection.Along, Wanted(tilt.AlongBudget, bolts.AlongSpanMm, stepMm)),
        ];
        TiltDirection[] pays = [.. unsure.Where(u => u.More > 0).Select(u => u.Direction)];
        return pays.Length == 0 || unsure.Any(u => u.More is null)
            ? null
            : AtFewest(plan.Survey, motor, SurveyTime.AsFound, pays, ReadingPurpose.Thickness, unsure.Max(u => u.More!.Value));
    }

    /// <summary>Readings wanted at each place until the uncertainty is at most half a step: 0 where
    /// it is already, null where too many would be.</summary>
    private static int? Wanted(UncertaintyBudget? budget, double spanMm, double stepMm)
    {
        if (budget is null || spanMm <= 0)
        {
            return 0;
        }

        double enoughDeg = ShimChart.TiltDeg(spanMm, stepMm) / 2;
        for (int more = 0; more <= MostForThickness; more++)
        {
            if (budget.WithMore(more).Expanded95 <= enoughDeg)
            {
                return more;
            }
        }

        return null;
    }

    /// <summary>The smallest height, or difference of two heights, that single pieces of the kit make, mm.</summary>
    private static double SmallestStepMm(ShimKit kit)
    {
        double[] heights = [0, .. kit.ThicknessesMm.Distinct().Order()];
        return heights.Skip(1).Zip(heights, (thicker, thinner) => thicker - thinner).Min();
    }

    private static NextReading AtFewest(
        Survey survey,
        Motor motor,
        SurveyTime when,
        TiltDirection[] directions,
        ReadingPurpose purpose,
        int more
    )
    {
        bool atHub = survey.Readings.Any(r => r.MotorId is null && r.When == when);
        (GaugePlace where, TiltDirection direction) = directions
            .SelectMany(d =>
                (IEnumerable<(GaugePlace, TiltDirection)>)(atHub ? [(GaugePlace.Mount, d)] : [(GaugePlace.Frame, d), (GaugePlace.Mount, d)])
            )
            .MinBy(p => Count(survey, motor, when, p.Item1, p.Item2));
        return new(where, direction, purpose, more);
    }

    private static int Count(Survey survey, Motor motor, SurveyTime when, GaugePlace where, TiltDirection direction) =>
        survey.Readings.Count(r => r.MotorId == motor.Id && r.When == when && r.Where == where && r.Direction == direction);
}
