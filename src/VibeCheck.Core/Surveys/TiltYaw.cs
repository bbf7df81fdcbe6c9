using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>What tilted mounts do to a hover: the speed split and the yaw moment they predict, and the thrust they cost.</summary>
public static class TiltYaw
{
    private const double Gravity = 9.80665;

    /// <summary>The speed split that these tilts predict for a hover, with its 95 % interval.</summary>
    /// <param name="airframe">The airframe.</param>
    /// <param name="tilts">Tilts of all its motors.</param>
    /// <returns>Unknown, with the reason, when a motor's tilt across the arm is missing or no balance exists.</returns>
    /// <remarks>The interval includes everything that <see cref="SplitPrediction"/> counts.</remarks>
    public static Estimate PredictSplit(Airframe airframe, IReadOnlyList<MotorTilt> tilts)
    {
        (SplitPrediction? prediction, Reason? why) = SplitPrediction.Of(airframe, tilts);
        return prediction?.ToEstimate() ?? Estimate.Unknown(why!);
    }

    /// <summary>Yaw moment of the tilts at equal thrusts, N·m, positive clockwise from above,
    /// with its 95 % interval from the tilts.</summary>
    public static Estimate YawMomentNm(Airframe airframe, IReadOnlyList<MotorTilt> tilts)
    {
        if (airframe.MassKg is not double massKg)
        {
            return Estimate.Unknown(new MassNotGiven());
        }

        double thrustN = massKg * Gravity / airframe.Motors.Count,
            sum = 0;
        var terms = new List<(double, UncertaintyBudget)>();
        foreach (Motor m in airframe.Motors)
        {
            if (tilts.FirstOrDefault(t => t.MotorId == m.Id) is not { AcrossDeg.Value: double deg } tilt)
            {
                return Estimate.Unknown(new TiltAcrossUnknown(m.Id));
            }

            sum += m.ArmM * thrustN * Math.Sin(double.DegreesToRadians(deg));
            terms.Add((m.ArmM * thrustN * double.DegreesToRadians(1), SplitPrediction.BudgetOf(tilt)));
        }

        return Estimate.Around(sum, UncertaintyBudget.OfSum(terms).Expanded95);
    }

    /// <summary>Share of the thrust that no longer lifts because it leans, mean of (1 - cos tilt) over the known tilts; 0 to 1.</summary>
    public static double ThrustLost(IReadOnlyList<MotorTilt> tilts) =>
        tilts
            .Select(t => t.MagnitudeDeg)
            .OfType<double>()
            .Select(deg => 1 - Math.Cos(double.DegreesToRadians(deg)))
            .DefaultIfEmpty(0)
            .Average();
}
