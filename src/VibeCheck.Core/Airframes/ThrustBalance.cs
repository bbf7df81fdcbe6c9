using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Airframes;

/// <summary>Which thrust each rotor must give for a hover without wind, and what tilt of the mounts does to it.</summary>
/// <remarks>
/// The least change from equal thrusts (least squares) that meets four conditions: the thrusts carry the weight, no roll and no pitch
/// moment about the centre of the arms, and no yaw moment, Σ(-s κ T cos θ + R T sin θ) = 0, with s = 1 for clockwise rotors, κ torque per
/// thrust, R the arm and θ the tilt across the arm, positive when the right side is low: thrust then leans to the right and yaws the
/// airframe clockwise from above. Speed scales with the root of thrust, so the split does not depend on the mass.
/// Left out: wind, the centre of gravity off the hub, and that thrust rises a little faster than speed squared.
/// </remarks>
public sealed class ThrustBalance
{
    /// <summary>Torque per thrust taken where the airframe gives none, m: published data of two
    /// propellers from 10 to 16 inch lie near it.</summary>
    /// <remarks>UIUC Propeller Data Site, static rows of a 10x7 and a 16x8 propeller: 0.0191 to 0.0203 m at working speeds.</remarks>
    public const double UsualTorquePerThrustM = 0.0195;

    /// <summary>± bound of the taken torque per thrust, m: 0.01 to 0.03 m holds for the
    /// propellers of small and mid-size multirotors.</summary>
    public const double UsualTorqueBoundM = 0.01;

    private readonly Airframe _airframe;
    private readonly double _torquePerThrustM;

    private ThrustBalance(Airframe airframe, double torquePerThrustM, double[] thrustShares)
    {
        _airframe = airframe;
        _torquePerThrustM = torquePerThrustM;
        ThrustShares = thrustShares;
    }

    /// <summary>Each motor's thrust over the mean thrust, in the airframe's order; 1 is an even share.</summary>
    public IReadOnlyList<double> ThrustShares { get; }

    /// <summary>Torque over thrust that was used, m.</summary>
    public double TorquePerThrustM => _torquePerThrustM;

    /// <summary>Yaw trim: (mean speed of cw motors - mean speed of ccw motors) / mean of all.</summary>
    public double Split
    {
        get
        {
            double[] speeds = [.. ThrustShares.Select(Math.Sqrt)];
            double Mean(Spin spin) => speeds.Where((_, i) => _airframe.Motors[i].Spin == spin).Average();
            return (Mean(Spin.Clockwise) - Mean(Spin.CounterClockwise)) / speeds.Average();
        }
    }

    /// <summary>Solves the balance for tilts across the arm, degrees, one a motor in the airframe's order.</summary>
    /// <param name="airframe">The airframe.</param>
    /// <param name="acrossDeg">Tilts across the arm, degrees, positive when the right side is low.</param>
    /// <param name="torquePerThrustM">κ, m; the airframe's own, else the usual one, when null.</param>
    /// <returns>The balance, or null with the reason when this airframe cannot hover level so.</returns>
    public static (ThrustBalance? Balance, Reason? Why) Solve(
        Airframe airframe,
        ReadOnlySpan<double> acrossDeg,
        double? torquePerThrustM = null
    )
    {
        Require.SameLength(airframe.Motors.Count, acrossDeg.Length);
        bool clockwise = airframe.Motors.Any(m => m.Spin == Spin.Clockwise),
            counter = airframe.Motors.Any(m => m.Spin == Spin.CounterClockwise);
        if (!clockwise || !counter)
        {
            return (null, new AllMotorsSpinAlike());
        }

        double kappa = torquePerThrustM ?? airframe.TorquePerThrustM ?? UsualTorquePerThrustM;
        int n = airframe.Motors.Count;
        double[,] rows = new double[4, n];
        for (int i = 0; i < n; i++)
        {
            Motor m = airframe.Motors[i];
            (double sin, double cos) = Math.SinCos(double.DegreesToRadians(m.AzimuthDeg));
            (double lean, double up) = Math.SinCos(double.DegreesToRadians(acrossDeg[i]));
            double sense = m.Spin == Spin.Clockwise ? 1 : -1;

            // The reaction torque turns about the leaning axis, so a little of it is roll or pitch, as from a longer or shorter arm.
            double lever = m.ArmM * up + sense * kappa * lean;
            rows[0, i] = up;
            rows[1, i] = lever * cos;
            rows[2, i] = lever * sin;
            rows[3, i] = -sense * kappa * up + m.ArmM * lean;
        }

        double[]? shares = LeastChange(rows, n);
        return shares is null ? (null, new BalanceImpossible())
            : shares.Any(s => s <= 0) ? (null, new TiltBeyondThrust())
            : (new ThrustBalance(airframe, kappa, shares), null);
    }

    /// <summary>x = 1 + Aᵀ(AAᵀ)⁻¹(b - A·1), b = (n, 0, 0, 0): the nearest to equal shares that
    /// meets the rows; null where they contradict.</summary>
    private static double[]? LeastChange(double[,] rows, int n)
    {
        double[,] normal = new double[4, 5];
        for (int r = 0; r < 4; r++)
        {
            for (int c = 0; c < 4; c++)
            {
                for (int i = 0; i < n; i++)
                {
                    normal[r, c] += rows[r, i] * rows[c, i];
                }
            }

            normal[r, 4] = r == 0 ? n : 0;
            for (int i = 0; i < n; i++)
            {
                normal[r, 4] -= rows[r, i];
            }
        }

        double[]? multipliers = SolveSymmetric(normal);
        if (multipliers is null)
        {
            return null;
        }

        double[] shares = new double[n];
        for (int i = 0; i < n; i++)
        {
            shares[i] = 1;
            for (int r = 0; r < 4; r++)
            {
                shares[i] += rows[r, i] * multipliers[r];
            }
        }

        return shares;
    }

    /// <summary>Gauss with pivoting on [M | b]. A row that vanishes is dropped when its right side does too (motors all on one line
    /// have no say in roll), and makes the system unsolvable when not.</summary>
    private static double[]? SolveSymmetric(double[,] m)
    {
        int n = m.GetLength(0);
        double[] scale = [.. Enumerable.Range(0, n).Select(i => Math.Max(m[i, i], 1e-12))];
        var used = new int[n];
        Array.Fill(used, -1);
        var free = new HashSet<int>(Enumerable.Range(0, n));
        for (int c = 0; c < n; c++)
        {
            int pivot = free.MaxBy(r => Math.Abs(m[r, c]) / Math.Sqrt(scale[r] * scale[c]));
            if (Math.Abs(m[pivot, c]) < 1e-9 * Math.Sqrt(scale[pivot] * scale[c]))
            {
                continue;
            }

            free.Remove(pivot);
            used[c] = pivot;
            for (int r = 0; r < n; r++)
            {
                double factor = r == pivot ? 0 : m[r, c] / m[pivot, c];
                for (int k = c; k <= n && factor != 0; k++)
                {
                    m[r, k] -= factor * m[pivot, k];
                }
            }
        }

        if (free.Any(r => Math.Abs(m[r, n]) > 1e-7 * Math.Sqrt(scale[r])))
        {
            return null;
        }

        return [.. Enumerable.Range(0, n).Select(c => used[c] < 0 ? 0 : m[used[c], n] / m[used[c], c])];
    }
}
