using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Uncertainty;

namespace VibeCheck.Checks;

/// <summary>Rotor balance: ISO 21940-11:2016, before it ISO 1940-1:2003, and handbook figures.</summary>
public sealed class BalanceChecks
{
    // ISO 21940-11: e_per ω = G. G 6.3 at 3000 rpm: 20.05 µm; the standard's chart reads 20.
    [Fact]
    public void Permissible_eccentricity_follows_the_grade() => Assert.Equal(20.05, Unbalance.EccentricityUm(6.3, 3000), 5e-3);

    // From the definition: U_per = 9549 G m / n in g·mm, kg and rpm (60 000 / 2π = 9549.30).
    [Fact]
    public void Permissible_unbalance_has_the_handbook_constant() =>
        Assert.Equal(9549.30, Unbalance.PermissibleGmm(1, 1, 1), 5e-3);

    // energy-tech.com article 18389, p. 3: U_per = 6.015 G W/N in oz·in, lb and rpm; with G 2.5, 1000 lb, 3600 rpm 4.177 oz·in = 3008 g·mm.
    [Fact]
    public void Metric_and_inch_formulas_agree()
    {
        double gmm = Unbalance.PermissibleGmm(2.5, 1000 * 0.45359237, 3600);
        Assert.Equal(3008, gmm, 0.5);
        Assert.Equal(6.015 * 2.5 * 1000 / 3600, gmm / 720.08, 5e-4);
    }

    // A small rotor by the standard's formula: 50 g at 6000 rpm, G 6.3: e 10.03 µm, U 0.501 g·mm, force 0.198 N.
    [Fact]
    public void A_small_rotor_is_allowed_half_a_gram_millimetre()
    {
        Assert.Equal(10.03, Unbalance.EccentricityUm(6.3, 6000), 5e-3);
        Assert.Equal(0.501, Unbalance.PermissibleGmm(6.3, 0.05, 6000), 5e-4);
        Assert.Equal(0.198, Unbalance.ForceN(0.501, 6000), 5e-4);
        Assert.Equal(50, Unbalance.RotorMassWithinGradeG(0.50134, 6.3, 6000), 0.01);
    }

    // ISO 21940-11 table 1: G 6.3 for fans (and pumps; also energy-tech.com article 18389). No row names air propellers.
    [Fact]
    public void Rotors_are_held_against_the_grade_for_fans() => Assert.Equal(6.3, Unbalance.FanGradeMmps);

    // Worked in balancing handbooks: 10 g at 100 mm pulls with 98.70 N at 3000 rpm and 394.78 N at 6000 rpm.
    [Theory]
    [InlineData(3000, 98.70)]
    [InlineData(6000, 394.78)]
    public void Force_of_an_unbalance_grows_with_speed_squared(double rpm, double newton) =>
        Assert.Equal(newton, Unbalance.ForceN(10 * 100, rpm), 5e-3);

    // Elementary: an eccentric rotor of 1000 g, 0.002 mm off, has 2 g·mm; its force on a rigid 4 kg aircraft, F = M a, must lead back to it.
    [Fact]
    public void Order_1_of_a_rigid_aircraft_leads_back_to_the_unbalance()
    {
        const double Rpm = 5000, AircraftKg = 4, UnbalanceGmm = 1000 * 0.002;
        double accelerationPeak = Unbalance.ForceN(UnbalanceGmm, Rpm) / AircraftKg, axisRms = accelerationPeak / Math.Sqrt(2);
        OrderLevel order1 = new()
        {
            Order = 1,
            RmsMps2 = Estimate.Around(accelerationPeak, 0.1 * accelerationPeak),
            PerAxisMps2 = [axisRms, axisRms, 0],
            Separable = true,
        };
        Estimate found = Unbalance.FromVibration(order1, AircraftKg, Estimate.Around(Rpm, 1));
        Assert.Equal(UnbalanceGmm, found.Value!.Value, 1e-9);
        Assert.Equal(0.9 * UnbalanceGmm, found.Ci95!.Value.Low, 1e-9);
        Assert.Null(Unbalance.FromVibration(order1, null, Estimate.Around(Rpm, 1)).Value);
    }
}
