using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.FlightMaker;

namespace VibeCheck.Campaigns;

/// <summary>Simulated surveys of simulated aircraft: whether the intervals of tilts contain the truth, the decisions are right, and the
/// predicted split agrees with the true one.</summary>
/// <remarks>What the calculation has to assume is drawn anew for each survey, apart from what it
/// assumes: how well the gauge repeats (0.01 to 0.05°, even in
/// its logarithm), torque per thrust (3 % off the stated), arms (1 mm), propellers (0.2 % in
/// speed), the power of thrust in speed (2 to 2.14).</remarks>
internal static class SurveyCampaign
{
    private static readonly Airframe[] _airframes =
    [
        DemoAirframes.Ring(4, "quad", 1.6, 0.25, 2, 0.016),
        DemoAirframes.Ring(6, "hexa", 6.8, 0.42, 2),
        DemoAirframes.Ring(8, "octa", 12, 0.55, 2, 0.02),
        DemoAirframes.Coaxial(4, "x8", 9, 0.35, 3),
    ];

    internal static int Run(int trials, TextWriter output)
    {
        output.WriteLine(
            "step, readings | tilt held by its 95 % interval | half width, median | split miss: median, 90 %, held | left though > "
                + "0.15° | shimmed though < 0.05°"
        );
        foreach (double step in new[] { 0.05, 0.1 })
        {
            foreach (int readings in new[] { 1, 2, 4 })
            {
                output.WriteLine(Row(step, readings, trials));
            }
        }

        return 0;
    }

    private static Airframe AsBuilt(Airframe stated, Random random) =>
        stated with
        {
            TorquePerThrustM = stated.TorquePerThrustM * (1 + 0.03 * Normal(random)),
            Motors = [.. stated.Motors.Select(m => m with { ArmM = m.ArmM + 0.001 * Normal(random) })],
        };

    private static double PropellerSplit(Airframe airframe, Random random)
    {
        (Spin Spin, double Speed)[] speeds = [.. airframe.Motors.Select(m => (m.Spin, 0.002 * Normal(random)))];
        return speeds.Where(s => s.Spin == Spin.Clockwise).Average(s => s.Speed)
            - speeds.Where(s => s.Spin != Spin.Clockwise).Average(s => s.Speed);
    }

    private static double Normal(Random random) => MathNet.Numerics.Distributions.Normal.Sample(random, 0, 1);

    private static string Row(double step, int readings, int trials)
    {
        var random = new Random(20261126);
        int tilts = 0,
            held = 0,
            splitHeld = 0,
            wronglyLeft = 0,
            bad = 0,
            wronglyShimmed = 0,
            good = 0;
        var misses = new List<double>();
        var widths = new List<double>();
        for (int trial = 0; trial < trials; trial++)
        {
            Airframe airframe = _airframes[trial % _airframes.Length];
            MadeSurvey made = MadeSurvey.Make(
                AsBuilt(airframe, random),
                random,
                step,
                readings,
                scatterDeg: 0.01 * Math.Pow(5, random.NextDouble())
            );
            Survey survey = TiltCombination.Of(airframe, made.Readings);
            ShimPlan plan = ShimPlan.Of(airframe, survey);
            for (int m = 0; m < airframe.Motors.Count; m++)
            {
                Interval ci = survey.AsFound[m].AcrossDeg.Ci95!.Value;
                double truth = made.TiltAcrossDeg[m];
                tilts++;
                held += ci.Contains(truth) ? 1 : 0;
                widths.Add(ci.Width / 2);
                bad += Math.Abs(truth) > 0.15 ? 1 : 0;
                wronglyLeft += Math.Abs(truth) > 0.15 && plan.Motors[m].Action == ShimAction.Leave ? 1 : 0;
                good += Math.Abs(truth) < 0.05 ? 1 : 0;
                wronglyShimmed += Math.Abs(truth) < 0.05 && plan.Motors[m].Action == ShimAction.Shim ? 1 : 0;
            }

            Estimate predicted = TiltYaw.PredictSplit(airframe, survey.AsFound);
            double split = (made.TrueSplit(trial) + PropellerSplit(airframe, random)) * 2 / (2 + 0.14 * random.NextDouble());
            misses.Add(Math.Abs(predicted.Value!.Value - split));
            splitHeld += predicted.Ci95!.Value.Contains(split) ? 1 : 0;
        }

        misses.Sort();
        widths.Sort();
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{step:0.00}°, {readings} | {100.0 * held / tilts:0.0} % of {tilts} | {widths[widths.Count / 2]:0.000}° | "
                + $"{misses[misses.Count / 2]:0.0000}, {misses[misses.Count * 9 / 10]:0.0000}, {100.0 * splitHeld / trials:0.0} % of "
                + $"{trials} | {wronglyLeft} of {bad} | {wronglyShimmed} of {good}"
        );
    }
}
