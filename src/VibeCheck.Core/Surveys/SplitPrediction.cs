using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>The speed split that tilts predict for a hover, with everything that is doubtful in it.</summary>
/// <param name="Split">(mean speed of cw motors - mean speed of ccw motors) / mean of all.</param>
/// <param name="Budget">Its uncertainty budget.</param>
/// <remarks>
/// Beside the tilts, whose common errors (a frame reading taken once) add up with their signs:
/// torque per thrust, arm lengths, propellers of a set that
/// are not quite alike, and thrust that may rise faster than speed squared. Wind and a yaw trim of other origin are not in it.
/// </remarks>
public sealed record SplitPrediction(double Split, UncertaintyBudget Budget)
{
    /// <summary>± bound of a torque per thrust that is given, share of itself: common practice. By
    /// published static rows (UIUC) that of one propeller moves
    /// by ± 3 % over working speeds.</summary>
    public const double TorqueBound = 0.05;

    /// <summary>± bound of an arm length, m: what a tape or a drawing is good for (common practice).</summary>
    public const double ArmBoundM = 0.002;

    /// <summary>Standard deviation of the speed at equal thrust over propellers of one kind, share: common practice.</summary>
    public const double PropellerShare = 0.0025;

    /// <summary>± bound of the split, share of itself, because thrust scales with speed to a power from 2 to 2.14 (UIUC static rows of
    /// two propellers).</summary>
    public const double ExponentBound = 0.07;

    /// <summary>Names of the parts of the budget that do not come from the tilts.</summary>
    public static IReadOnlyList<string> OtherThanTilts { get; } =
    ["torque-per-thrust", "arm-lengths", "propellers-unlike", "thrust-exponent"];

    /// <summary>Predicts the split.</summary>
    /// <param name="airframe">The airframe.</param>
    /// <param name="tilts">Tilts of all its motors.</param>
    /// <returns>The prediction, or null with the reason when a motor's tilt across the arm is missing or no balance exists.</returns>
    public static (SplitPrediction? Prediction, Reason? Why) Of(Airframe airframe, IReadOnlyList<MotorTilt> tilts)
    {
        ArgumentNullException.ThrowIfNull(airframe);
        ArgumentNullException.ThrowIfNull(tilts);
        MotorTilt?[] known = [.. airframe.Motors.Select(m => tilts.FirstOrDefault(t => t.MotorId == m.Id && t.AcrossDeg.IsKnown))];
        int missing = Array.IndexOf(known, null);
        if (missing >= 0)
        {
            return (null, new TiltAcrossUnknown(airframe.Motors[missing].Id));
        }

        double[] across = [.. known.Select(t => t!.AcrossDeg.Value!.Value)];
        (ThrustBalance? balance, Reason? why) = ThrustBalance.Solve(airframe, across);
        if (balance is null)
        {
            return (null, why);
        }

        UncertaintyBudget tilted = UncertaintyBudget.OfSum(
            known.Select((t, i) => (Slope(0.01, d => SplitAt(airframe, across, i, d)), BudgetOf(t!)))
        );
        return (
            new(
                balance.Split,
                new([
                    .. tilted.Parts,
                    new(OtherThanTilts[0], TorqueDoubt(airframe, across), 1, double.PositiveInfinity),
                    new(OtherThanTilts[1], ArmDoubt(airframe, across), 1, double.PositiveInfinity),
                    new(OtherThanTilts[2], PropellerDoubt(airframe), 1, double.PositiveInfinity),
                    new(
                        OtherThanTilts[3],
                        UncertaintyBudget.Rectangular(ExponentBound * Math.Abs(balance.Split)),
                        1,
                        double.PositiveInfinity
                    ),
                ])
            ),
            null
        );
    }

    /// <summary>The split with its 95 % interval.</summary>
    public Estimate ToEstimate() => Estimate.Around(Split, Budget.Expanded95);

    /// <summary>The uncertainty of a tilt: its own budget, else its interval taken as one part.</summary>
    internal static UncertaintyBudget BudgetOf(MotorTilt tilt) =>
        tilt.AcrossBudget
        ?? new([new("tilt", (tilt.AcrossDeg.Ci95?.Width ?? 0) / 2 / 1.96, 1, double.PositiveInfinity) { Place = tilt.MotorId }]);

    private static double Slope(double step, Func<double, double?> at) =>
        at(step) is double up && at(-step) is double down ? (up - down) / (2 * step) : 0;

    private static double? SplitAt(Airframe airframe, double[] across, int motor, double byDeg)
    {
        double[] shifted = [.. across];
        shifted[motor] += byDeg;
        return ThrustBalance.Solve(airframe, shifted).Balance?.Split;
    }

    /// <summary>A given figure within its bound; with none given, the bound of the usual one.</summary>
    private static double TorqueDoubt(Airframe airframe, double[] across)
    {
        double kappa = airframe.TorquePerThrustM ?? ThrustBalance.UsualTorquePerThrustM;
        double bound = airframe.TorquePerThrustM is null ? ThrustBalance.UsualTorqueBoundM : TorqueBound * kappa;
        double high = ThrustBalance.Solve(airframe, across, kappa + bound).Balance?.Split ?? 0,
            low = ThrustBalance.Solve(airframe, across, kappa - bound).Balance?.Split ?? 0;
        return UncertaintyBudget.Rectangular(Math.Abs(high - low) / 2);
    }

    private static double ArmDoubt(Airframe airframe, double[] across)
    {
        double? Longer(int motor, double byM) =>
            ThrustBalance
                .Solve(
                    airframe with
                    {
                        Motors = [.. airframe.Motors.Select((m, i) => i == motor ? m with { ArmM = m.ArmM + byM } : m)],
                    },
                    across
                )
                .Balance?.Split;
        double squares = Enumerable.Range(0, across.Length).Sum(i => Math.Pow(Slope(0.001, d => Longer(i, d)), 2));
        return UncertaintyBudget.Rectangular(ArmBoundM) * Math.Sqrt(squares);
    }

    private static double PropellerDoubt(Airframe airframe)
    {
        int clockwise = airframe.Motors.Count(m => m.Spin == Spin.Clockwise),
            counter = airframe.Motors.Count - clockwise;
        return PropellerShare * Math.Sqrt(1.0 / clockwise + 1.0 / counter);
    }
}
