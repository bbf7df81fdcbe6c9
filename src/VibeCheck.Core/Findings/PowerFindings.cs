using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Findings;

/// <summary>How the motors carry the aircraft and respond to their commands, and how the battery supplies the motors.</summary>
internal static class PowerFindings
{
    private const int LeastMotors = 4;

    // Current sensors of one kind of ESC differ by some hundredths (common practice).
    private const double RelativeHalf = 0.04;

    internal static IEnumerable<Observation> Of(FlightAnalysis analysis) =>
        CarriesMore(analysis).Concat(DrawsMore(analysis)).Concat(FullCommand(analysis)).Concat(Drops(analysis)).Concat(Sag(analysis));

    private static IEnumerable<Observation> CarriesMore(FlightAnalysis analysis)
    {
        if (analysis.YawTrim.From != YawTrimSource.Rpm || LoadOutlier.Of(analysis) is not (int motor, double logOdds))
        {
            yield break;
        }

        MotorAnalysis own = analysis.Motors[motor];
        if (own.LoadShare is { Value: double share, Ci95: Interval ci })
        {
            double others = Robust.Median(analysis.Motors.Where(m => m != own).Select(m => m.LoadShare.Value!.Value));
            yield return new("carries-more", own.Id, new CarriesMore(own.Id, share, ci, others, logOdds), ci.Low - others, logOdds);
        }
    }

    private static IEnumerable<Observation> DrawsMore(FlightAnalysis analysis)
    {
        (MotorAnalysis Motor, double PerCube)[] known =
        [
            .. analysis
                .Motors.Where(m => m is { CurrentA: { Value: > 0, Ci95: not null }, RpmMean.Value: > 0 })
                .Select(m => (m, m.CurrentA.Value!.Value / Math.Pow(m.RpmMean.Value!.Value / 1000, 3))),
        ];
        foreach ((MotorAnalysis motor, double perCube) in known.Length >= LeastMotors ? known : [])
        {
            double ratio = perCube / Robust.Median(known.Where(k => k.Motor != motor).Select(k => k.PerCube));

            // Current and speed vary together and both are means of many readings: the remaining uncertainty is the difference between
            // sensors.
            Interval ci = new(ratio * (1 - RelativeHalf), ratio * (1 + RelativeHalf));
            yield return new(
                "draws-more",
                motor.Id,
                new DrawsMore(motor.Id, ratio, ci, motor.CurrentA.Value!.Value, motor.RpmMean.Value!.Value),
                ci.Low
            );
        }
    }

    private static IEnumerable<Observation> FullCommand(FlightAnalysis analysis) =>
        analysis.PowerTrain.Commands.Select(c => new Observation(
            "at-full-command",
            c.Motor,
            new CommandAtEnd(c.Motor, c.Share, c.Mean),
            c.Share
        ));

    private static IEnumerable<Observation> Drops(FlightAnalysis analysis) =>
        analysis.PowerTrain.Drops.Select(d => new Observation(
            "speed-drops",
            d.Motor,
            new SpeedFalls(d.Motor, d.Count, d.FirstS, d.Depth),
            d.Depth,
            d.Count
        ));

    private static IEnumerable<Observation> Sag(FlightAnalysis analysis)
    {
        if (analysis.PowerTrain.Sag is { } sag)
        {
            yield return new("sagging-battery", null, new BatterySags(sag.RestV, sag.LoadV, sag.Share), sag.Share);
        }
    }
}
