using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Core.Comparisons;

/// <summary>Results of the survey compared with those of the flights.</summary>
internal static class TiltEffects
{
    private const int LeastMotors = 5;

    /// <summary>Change of order 1 over change of |tilt|, by motor: a slope, or none.</summary>
    internal static TiltEffect Effect(Survey? survey, IReadOnlyList<VibrationChanges.Entry> orders)
    {
        (double Tilt, double Db)[] points =
        [
            .. orders
                .Where(o => o.Order == 1 && o.Change is not null)
                .Select(o => (Tilt: Taken(survey, o.Motor), Db: o.Change!.Value))
                .Where(p => p.Tilt.HasValue)
                .Select(p => (p.Tilt!.Value, p.Db)),
        ];
        TiltEffect Silent(Reason why) => new(Estimate.Unknown(why), points.Length, TiltMethod.TheilSen);
        if (survey is null)
        {
            return Silent(new NoSurvey());
        }

        if (points.Length < LeastMotors)
        {
            return Silent(new TooFewTiltsKnown(points.Length, LeastMotors));
        }

        double[] tilts = [.. points.Select(p => p.Tilt)],
            changes = [.. points.Select(p => p.Db)];
        if (tilts.Max() - tilts.Min() < 0.1)
        {
            return Silent(new TiltsChangedAlike());
        }

        TheilSen? line = TheilSen.Fit(tilts, changes, leastStep: ToldApart(survey));
        (double tau, double p) = RankCorrelation.Kendall(tilts, changes);
        if (line is null || line.SlopeInterval.Contains(0))
        {
            return Silent(new TiltEffectNotShown(tau, p));
        }

        return new(Estimate.Of(line.Slope, line.SlopeInterval), points.Length, TiltMethod.TheilSen);
    }

    /// <summary>Smallest difference between two motors' changes of tilt that their readings can distinguish: one standard uncertainty of
    /// it.</summary>
    private static double ToldApart(Survey survey)
    {
        double[] squares =
        [
            .. survey
                .AsFound.Concat(survey.AsLeft)
                .Select(t => (t.AcrossDeg.Ci95 ?? t.AlongDeg.Ci95)?.Width / 2 / 1.96)
                .OfType<double>()
                .Select(u => u * u)
                .Order(),
        ];
        return squares.Length == 0 ? 0 : Math.Sqrt(4 * squares[squares.Length / 2]);
    }

    /// <summary>Yaw trim measured and predicted, and whether the survey explains it.</summary>
    internal static YawTrimChange YawTrim(FlightSet flights, Airframe airframe, Survey? survey)
    {
        Estimate before = Split(flights.Before),
            after = Split(flights.After);
        Estimate predictedBefore = Predicted(airframe, survey?.AsFound, survey is null ? new NoSurvey() : new NothingReadAsFound());
        Estimate predictedAfter = Predicted(airframe, survey?.AsLeft, survey is null ? new NoSurvey() : new NothingReadAsLeft());
        YawTrimSource from = flights.All.Any(f => f.Analysis.YawTrim.From == YawTrimSource.Command)
            ? YawTrimSource.Command
            : YawTrimSource.Rpm;
        return new(before, after, predictedBefore, predictedAfter, from)
        {
            Meaning = Meaning(before, after, predictedBefore, predictedAfter, from),
        };
    }

    /// <summary>Motors whose tilt improved but whose vibration did not: its cause is something else.</summary>
    internal static IReadOnlyList<Finding> Unmoved(Survey? survey, IReadOnlyList<VibrationChanges.Entry> orders, double mattersDb)
    {
        var findings = new List<Finding>();
        foreach (VibrationChanges.Entry order in orders.Where(o => o.Order == 1 && o.Change is not null))
        {
            // Only where the flights would have detected a change as large as the removed tilt would cause.
            if (
                Taken(survey, order.Motor) is double taken
                && taken <= -0.2
                && order.Kind != CallKind.Improved
                && order.Change!.Value > -mattersDb
            )
            {
                findings.Add(
                    new Finding(
                        "tilt-better-vibration-not",
                        Severity.Look,
                        order.Motor,
                        new TiltReducedVibrationNot(order.Motor, -taken, order.Change.Value, order.Change.ToEstimate().Ci95!.Value)
                    )
                );
            }
        }

        return findings;
    }

    /// <summary>Change of |tilt|, degrees, from the two surveys of the motor; null without both.</summary>
    internal static double? Taken(Survey? survey, string motor) =>
        survey?.Found(motor)?.MagnitudeDeg is double before && survey.Left(motor)?.MagnitudeDeg is double after ? after - before : null;

    private static Estimate Split(IReadOnlyList<AnalysedFlight> side)
    {
        Estimate[] known = [.. side.Select(f => f.Analysis.YawTrim.Split).Where(s => s.IsKnown)];
        if (known.Length == 0)
        {
            return Estimate.Unknown(side[0].Analysis.YawTrim.Split.Why ?? new SplitUnknown());
        }

        double mean = known.Average(s => s.Value!.Value),
            half = Math.Sqrt(known.Sum(s => Math.Pow((s.Ci95?.Width ?? 0) / 2, 2))) / known.Length;
        return Estimate.Around(mean, half);
    }

    private static Estimate Predicted(Airframe airframe, IReadOnlyList<MotorTilt>? tilts, Reason why) =>
        tilts is { Count: > 0 } ? TiltYaw.PredictSplit(airframe, tilts) : Estimate.Unknown(why);

    private static SplitChanged? Meaning(
        Estimate before,
        Estimate after,
        Estimate predictedBefore,
        Estimate predictedAfter,
        YawTrimSource from
    )
    {
        if (before.Value is not double b || after.Value is not double a)
        {
            return null;
        }

        bool byCommands = from == YawTrimSource.Command;
        if (predictedBefore.Value is not double pb || predictedAfter.Value is not double pa)
        {
            return new(byCommands, b, a, null, null, null);
        }

        // The two differences are compared, so that a constant offset of the airframe cancels.
        double half = Math.Sqrt(Square(Half(before)) + Square(Half(after)) + Square(Half(predictedBefore)) + Square(Half(predictedAfter)));
        bool fits = Math.Abs(a - b - (pa - pb)) <= half;
        return new(byCommands, b, a, pb, pa, fits);
    }

    private static double Half(Estimate estimate) => (estimate.Ci95?.Width ?? 0) / 2;

    private static double Square(double x) => x * x;
}
