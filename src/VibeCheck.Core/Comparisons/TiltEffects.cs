using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Core.Comparisons;

/// <summary>What the survey says beside what the flights say.</summary>
internal static class TiltEffects
{
    private const int LeastMotors = 5;
    private const string Method = "Theil-Sen: median of the slopes between pairs of motors whose tilts are told apart, interval by Sen (1968)";

    /// <summary>Change of order 1 over change of |tilt|, motor by motor: a slope, or silence.</summary>
    internal static TiltEffect Effect(Survey? survey, IReadOnlyList<VibrationChanges.Entry> orders)
    {
        (double Tilt, double Db)[] points = [.. orders.Where(o => o.Order == 1 && o.Change is not null)
            .Select(o => (Tilt: Taken(survey, o.Motor), Db: o.Change!.Value)).Where(p => p.Tilt.HasValue).Select(p => (p.Tilt!.Value, p.Db))];
        TiltEffect Silent(string why) => new(Estimate.Unknown(why), points.Length, Method);
        if (survey is null)
        {
            return Silent("there is no survey");
        }

        if (points.Length < LeastMotors)
        {
            return Silent(FormattableString.Invariant($"tilt before and after and order 1 on both sides are known for {points.Length} motors; {LeastMotors} are needed"));
        }

        double[] tilts = [.. points.Select(p => p.Tilt)], changes = [.. points.Select(p => p.Db)];
        if (tilts.Max() - tilts.Min() < 0.1)
        {
            return Silent("the tilts of all motors changed by nearly the same");
        }

        TheilSen? line = TheilSen.Fit(tilts, changes, leastStep: ToldApart(survey));
        (double tau, double p) = RankCorrelation.Kendall(tilts, changes);
        if (line is null || line.SlopeInterval.Contains(0))
        {
            return Silent(FormattableString.Invariant(
                $"not shown by these flights: the motors whose tilt changed more did not change more in order 1 than chance would have it (rank correlation {tau:0.00}, p {p:0.00})"));
        }

        return new(Estimate.Of(line.Slope, line.SlopeInterval), points.Length, Method);
    }

    /// <summary>Step between two motors' changes of tilt that their readings can tell: one standard uncertainty of it.</summary>
    private static double ToldApart(Survey survey)
    {
        double[] squares = [.. survey.AsFound.Concat(survey.AsLeft)
            .Select(t => (t.AcrossDeg.Ci95 ?? t.AlongDeg.Ci95)?.Width / 2 / 1.96).OfType<double>().Select(u => u * u).Order()];
        return squares.Length == 0 ? 0 : Math.Sqrt(4 * squares[squares.Length / 2]);
    }

    /// <summary>Yaw trim measured and predicted, with a sentence on whether the survey explains it.</summary>
    internal static YawTrimChange YawTrim(FlightSet flights, Airframe airframe, Survey? survey)
    {
        Estimate before = Split(flights.Before), after = Split(flights.After);
        Estimate predictedBefore = Predicted(airframe, survey?.AsFound, survey is null ? "there is no survey" : "nothing was read as found");
        Estimate predictedAfter = Predicted(airframe, survey?.AsLeft, survey is null ? "there is no survey" : "nothing was read as left");
        YawTrimSource from = flights.All.Any(f => f.Analysis.YawTrim.From == YawTrimSource.Command) ? YawTrimSource.Command : YawTrimSource.Rpm;
        return new(before, after, predictedBefore, predictedAfter, from) { Meaning = Meaning(before, after, predictedBefore, predictedAfter, from) };
    }

    /// <summary>Motors whose tilt improved but whose vibration did not: something else shakes them.</summary>
    internal static IReadOnlyList<Finding> Unmoved(Survey? survey, IReadOnlyList<VibrationChanges.Entry> orders, double mattersDb)
    {
        var findings = new List<Finding>();
        foreach (VibrationChanges.Entry order in orders.Where(o => o.Order == 1 && o.Change is not null))
        {
            // Only where the flights would have shown a change of a size that a tilt taken out is worth.
            if (Taken(survey, order.Motor) is double taken && taken <= -0.2 && order.Kind != CallKind.Improved && order.Change!.Value > -mattersDb)
            {
                findings.Add(new Finding("tilt-better-vibration-not", Severity.Look, order.Motor,
                    FormattableString.Invariant($"The tilt of {order.Motor} came down by {-taken:0.00}°, but its order 1 did not: something else shakes it."),
                    $"order 1 {Wording.Signed(order.Change.Value, "dB")} {Wording.Range(order.Change.ToEstimate().Ci95)}",
                    "Propellers off and battery out: look for a bent shaft and play in the bearings. Then swap its propeller with another motor's and fly again: if the vibration goes with the propeller, balance or replace it."));
            }
        }

        return findings;
    }

    /// <summary>Change of |tilt|, degrees, from what both surveys know of the motor; null without both.</summary>
    internal static double? Taken(Survey? survey, string motor) =>
        survey?.Found(motor)?.MagnitudeDeg is double before && survey.Left(motor)?.MagnitudeDeg is double after ? after - before : null;

    private static Estimate Split(IReadOnlyList<AnalysedFlight> side)
    {
        Estimate[] known = [.. side.Select(f => f.Analysis.YawTrim.Split).Where(s => s.IsKnown)];
        if (known.Length == 0)
        {
            return Estimate.Unknown(side[0].Analysis.YawTrim.Split.Why ?? "the split is not known");
        }

        double mean = known.Average(s => s.Value!.Value), half = Math.Sqrt(known.Sum(s => Math.Pow((s.Ci95?.Width ?? 0) / 2, 2))) / known.Length;
        return Estimate.Around(mean, half);
    }

    private static Estimate Predicted(Airframe airframe, IReadOnlyList<MotorTilt>? tilts, string why) =>
        tilts is { Count: > 0 } ? TiltYaw.PredictSplit(airframe, tilts) : Estimate.Unknown(why);

    private static string? Meaning(Estimate before, Estimate after, Estimate predictedBefore, Estimate predictedAfter, YawTrimSource from)
    {
        if (before.Value is not double b || after.Value is not double a)
        {
            return null;
        }

        string source = from == YawTrimSource.Command ? " by commands" : "";
        string measured = $"The speed split between clockwise and counter-clockwise motors{source} went from {Wording.Percent(b)} to {Wording.Percent(a)}";
        if (predictedBefore.Value is not double pb || predictedAfter.Value is not double pa)
        {
            return $"{measured}.";
        }

        // Both differences are held against each other, so that an offset the airframe always had falls out.
        double half = Math.Sqrt(Square(Half(before)) + Square(Half(after)) + Square(Half(predictedBefore)) + Square(Half(predictedAfter)));
        bool fits = Math.Abs(a - b - (pa - pb)) <= half;
        return $"{measured}; the survey predicts {Wording.Percent(pb)} to {Wording.Percent(pa)}: {(fits ? "the tilts explain the change" : "the tilts do not explain the change")}.";
    }

    private static double Half(Estimate estimate) => (estimate.Ci95?.Width ?? 0) / 2;

    private static double Square(double x) => x * x;
}
