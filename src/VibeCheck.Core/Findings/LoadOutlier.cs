using MathNet.Numerics.LinearAlgebra;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;

namespace VibeCheck.Core.Findings;

/// <summary>Whether one motor alone, or trim and balance of the aircraft, explains the load shares.</summary>
/// <remarks>Shares are a sum of: the spread of the propellers; a centre of gravity away from the hub; a yaw trim; pairs whose lower rotor
/// works in the wash of the upper one; and, possibly, one motor whose propeller gives less thrust at the same speed. Each is Gaussian with
/// a size from common practice, so the logarithm of the likelihood of the shares is that of a multivariate normal distribution. The
/// explanations are compared with each other by its ratio (R. E. Kass, A. E. Raftery, J. Am. Stat. Assoc. 90 (1995) 773-795: 3 is strong).
/// On four motors a single one is equal to one exact combination of trim and balance, which is less likely the larger it is.</remarks>
internal static class LoadOutlier
{
    // Standard deviations, as a share of the load: propellers of one kind; balance and trim of a healthy aircraft; the same where they are
    // the fault; upper relative to lower; one motor's propeller.
    private const double Propellers = 0.02,
        HealthyBalance = 0.03,
        PoorBalance = 0.25,
        HealthyTrim = 0.015,
        PoorTrim = 0.1,
        Levels = 0.15,
        OneMotor = 0.25,
        Mean = 1;
    private const int LeastMotors = 4;

    /// <summary>The motor that stands out, and the logarithm of its odds against the best other explanation; null where a share or the
    /// layout is missing, or with fewer than four motors.</summary>
    internal static (int Motor, double LogOdds)? Of(FlightAnalysis analysis)
    {
        IReadOnlyList<Motor> motors = analysis.Airframe.Motors;
        double[] shares = [.. analysis.Motors.Select(m => m.LoadShare.Value).OfType<double>()];
        if (shares.Length != motors.Count || shares.Length < LeastMotors || !analysis.Airframe.HasLayout)
        {
            return null;
        }

        Vector<double> off = Vector<double>.Build.DenseOfArray([.. shares.Select(s => s - 1)]);
        double others = Math.Max(
            Math.Max(Fit(motors, off, HealthyBalance, HealthyTrim, null), Fit(motors, off, PoorBalance, HealthyTrim, null)),
            Math.Max(Fit(motors, off, HealthyBalance, PoorTrim, null), Fit(motors, off, PoorBalance, PoorTrim, null))
        );
        double[] alone = [.. motors.Select((_, m) => Fit(motors, off, HealthyBalance, HealthyTrim, m))];
        int best = Array.IndexOf(alone, alone.Max());
        return (best, alone[best] - others);
    }

    /// <summary>Logarithm of the likelihood of the shares, up to a constant.</summary>
    private static double Fit(IReadOnlyList<Motor> motors, Vector<double> off, double balance, double trim, int? single)
    {
        int n = motors.Count;
        Matrix<double> spread = Propellers * Propellers * Matrix<double>.Build.DenseIdentity(n);
        Add(_ => Mean);
        Add(m => balance * Math.Cos(double.DegreesToRadians(m.AzimuthDeg)));
        Add(m => balance * Math.Sin(double.DegreesToRadians(m.AzimuthDeg)));
        Add(m => m.Spin == Spin.Clockwise ? trim : -trim);
        Add(m => m.Level == MotorLevel.Lower ? Levels : 0);
        if (single is int at)
        {
            Add(m => m == motors[at] ? OneMotor : 0);
        }

        return -0.5 * (Math.Log(spread.Determinant()) + off * spread.Solve(off));

        void Add(Func<Motor, double> of)
        {
            Vector<double> part = Vector<double>.Build.DenseOfEnumerable(motors.Select(of));
            spread += part.OuterProduct(part);
        }
    }
}
