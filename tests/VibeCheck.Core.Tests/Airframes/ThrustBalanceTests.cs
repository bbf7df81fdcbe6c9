using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Airframes;

public sealed class ThrustBalanceTests
{
    // scipy 1.10 SLSQP on vector balances in three dimensions: tools/reference-values/thrust_balance.py. It prints five decimals and stops
    // at 1e-15 of a squared sum, a few 1e-6 of a share.
    private const double Printed = 1e-5;

    [Theory]
    [InlineData(new[] { 0.1, 0.1, 0.1, 0.1, 0.1, 0.1 }, 0.040741, new[] { 1.04073, 0.95928, 1.04073, 0.95928, 1.04073, 0.95928 })]
    [InlineData(new[] { 0.4, 0.0, 0.5, -0.05, 0.3, 0.05 }, 0.088809, new[] { 1.08965, 0.91331, 1.08565, 0.91235, 1.09065, 0.90848 })]
    public void A_hexa_shares_thrust_as_an_independent_minimiser_finds(double[] acrossDeg, double split, double[] shares)
    {
        (ThrustBalance? balance, _) = ThrustBalance.Solve(DemoAirframes.Ring(6, "hexa", 6.8, 0.42, 2), acrossDeg);
        AssertBalance(balance!, split, shares);
    }

    [Fact]
    public void A_quad_has_no_freedom_and_shares_thrust_as_an_independent_minimiser_finds()
    {
        (ThrustBalance? balance, _) = ThrustBalance.Solve(DemoAirframes.Ring(4, "quad", 1.2, 0.25, 2, 0.015), [0.3, -0.1, 0.2, 0.0]);
        AssertBalance(balance!, 0.030428, [1.03038, 0.96953, 1.03048, 0.96963]);
    }

    [Fact]
    public void An_octa_shares_thrust_as_an_independent_minimiser_finds()
    {
        (ThrustBalance? balance, _) = ThrustBalance.Solve(
            DemoAirframes.Ring(8, "octa", 9, 0.60, 2, 0.021),
            [0.2, 0.1, -0.3, 0.0, 0.4, 0.1, 0.0, -0.1]
        );
        AssertBalance(balance!, 0.025045, [1.02263, 0.97295, 1.02913, 0.97540, 1.02178, 0.97508, 1.02666, 0.97642]);
    }

    [Fact]
    public void Coaxial_pairs_share_thrust_as_an_independent_minimiser_finds()
    {
        (ThrustBalance? balance, _) = ThrustBalance.Solve(
            DemoAirframes.Coaxial(4, "x8", 5, 0.35, 2),
            [0.2, 0.1, 0.0, 0.3, -0.1, 0.1, 0.2, 0.0]
        );
        AssertBalance(balance!, 0.033608, [1.03179, 0.96634, 1.03484, 0.96478, 0.96856, 1.03297, 0.96595, 1.03480]);
    }

    private static void AssertBalance(ThrustBalance balance, double split, double[] shares)
    {
        Assert.Equal(split, balance.Split, Printed);
        for (int i = 0; i < shares.Length; i++)
        {
            Assert.Equal(shares[i], balance.ThrustShares[i], Printed);
        }
    }

    [Fact]
    public void PredictSplit_includes_the_uncertainty_of_tilts_torque_arms_propellers_and_thrust_law()
    {
        Airframe hexa = DemoAirframes.Ring(6, "hexa", 6.8, 0.42, 2);
        MotorTilt[] tilts =
        [
            .. hexa.Motors.Select(m => new MotorTilt(m.Id, Estimate.Around(0.1, 0.08), Estimate.Unknown(new NotMeasured()))),
        ];
        Estimate split = TiltYaw.PredictSplit(hexa, tilts);
        Assert.Equal(0.04074, split.Value!.Value, Printed);

        // Calculated by hand: all six tilts together change the split by 0.4074 per degree, so each by a sixth; six independent ± 0.08 add
        // in quadrature. The split is proportional to 1/κ (± 5 %), to each arm with a weight of a sixth (± 2 mm of 420 mm), and to itself
        // (± 7 %), all rectangular; three propellers per side scatter by 0.25 %.
        double[] standard =
        [
            0.4074 / 6 * 0.08 / 1.96 * Math.Sqrt(6),
            0.04074 * 0.05 / Math.Sqrt(3),
            0.04074 / 6 * (0.002 / 0.42) / Math.Sqrt(3) * Math.Sqrt(6),
            0.04074 * 0.07 / Math.Sqrt(3),
            0.0025 * Math.Sqrt(2 / 3.0),
        ];

        // The balance is slightly nonlinear over ± 5 % of κ.
        Assert.Equal(1.96 * Math.Sqrt(standard.Sum(u => u * u)), split.Ci95!.Value.Width / 2, 5e-5);
    }

    [Fact]
    public void PredictSplit_says_which_tilt_is_missing()
    {
        Airframe hexa = DemoAirframes.Ring(6, "hexa", 6.8, 0.42, 2);
        MotorTilt[] tilts =
        [
            .. hexa.Motors.Take(5).Select(m => new MotorTilt(m.Id, Estimate.Around(0.1, 0.08), Estimate.Unknown(new NotMeasured()))),
        ];
        Assert.Equal(new TiltAcrossUnknown("M6"), TiltYaw.PredictSplit(hexa, tilts).Why);
    }

    [Fact]
    public void Three_motors_cannot_balance_yaw_and_this_is_reported()
    {
        Airframe tri = DemoAirframes.Ring(3, "tri", 1, 0.3, 2);
        (ThrustBalance? balance, Reason? why) = ThrustBalance.Solve(tri, [0, 0, 0]);
        Assert.Null(balance);
        Assert.Equal(new BalanceImpossible(), why);
    }

    [Fact]
    public void Without_torque_per_thrust_the_interval_holds_its_bound()
    {
        Airframe known = DemoAirframes.Ring(6, "hexa", 6.8, 0.42, 2, ThrustBalance.UsualTorquePerThrustM),
            unknown = known with { TorquePerThrustM = null };
        MotorTilt[] tilts =
        [
            .. known.Motors.Select(m => new MotorTilt(m.Id, Estimate.Around(0.2, 0.08), Estimate.Unknown(new NotMeasured()))),
        ];
        Estimate sharp = TiltYaw.PredictSplit(known, tilts),
            wide = TiltYaw.PredictSplit(unknown, tilts);
        Assert.Equal(sharp.Value!.Value, wide.Value!.Value, 1e-12);
        Assert.True(wide.Ci95!.Value.Width > 2 * sharp.Ci95!.Value.Width);
    }

    [Fact]
    public void YawMoment_is_arm_times_thrust_times_the_sine_summed()
    {
        Airframe hexa = DemoAirframes.Ring(6, "hexa", 6.8, 0.42, 2);
        MotorTilt[] tilts =
        [
            .. hexa.Motors.Select(m => new MotorTilt(m.Id, Estimate.Around(0.1, 0.08), Estimate.Unknown(new NotMeasured()))),
        ];

        // Calculated by hand: 6.8 kg * 9.80665 m/s² * 0.42 m * sin 0.1° = 0.048883 N·m.
        Assert.Equal(0.048883, TiltYaw.YawMomentNm(hexa, tilts).Value!.Value, 1e-6);
    }
}
