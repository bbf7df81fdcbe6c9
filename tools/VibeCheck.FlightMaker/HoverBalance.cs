using MathNet.Numerics.LinearAlgebra;
using VibeCheck.Core.Airframes;

namespace VibeCheck.FlightMaker;

/// <summary>Thrust of each motor in a hover without rotation, relative to equal shares.</summary>
/// <remarks>Solves Newton's four balances (lift, roll, pitch, yaw) with the least change from equal thrusts. It is deliberately independent
/// of the library's own balance, because each checks the other.</remarks>
internal static class HoverBalance
{
    internal static double[] ThrustShares(FlightRecipe recipe)
    {
        var motors = recipe.Airframe.Motors;
        int n = motors.Count;
        double kappa = recipe.Airframe.TorquePerThrustM ?? 0.018;
        var balance = Matrix<double>.Build.Dense(4, n);
        for (int m = 0; m < n; m++)
        {
            double azimuth = motors[m].AzimuthDeg * Math.PI / 180;
            double tilt = (recipe.TiltAcrossDeg.Count > m ? recipe.TiltAcrossDeg[m] : 0) * Math.PI / 180;
            double reaction = motors[m].Spin == Spin.Clockwise ? -kappa : kappa;
            balance[0, m] = 1;
            balance[1, m] = motors[m].ArmM * Math.Cos(azimuth) - recipe.GravityForwardM;
            balance[2, m] = motors[m].ArmM * Math.Sin(azimuth) - recipe.GravityRightM;
            balance[3, m] = reaction * Math.Cos(tilt) + motors[m].ArmM * Math.Sin(tilt);
        }

        var even = Vector<double>.Build.Dense(n, 1);
        var target = Vector<double>.Build.DenseOfArray([n, 0, 0, 0]);
        var change = balance.PseudoInverse() * (target - balance * even);
        return (even + change).ToArray();
    }
}
