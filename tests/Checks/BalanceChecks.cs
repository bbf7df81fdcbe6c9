using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Checks;

/// <summary>Rotor balance: ISO 21940-11:2016, formerly ISO 1940-1:2003, and handbook figures.</summary>
public sealed class BalanceChecks
{
    // ISO 21940-11, from its definition: U_per = 9549 G m / n in g·mm, kg and rpm (60 000 / 2π = 9549.30). A rotor of 1 kg just meets G 1
    // at 1 rpm.
    [Fact]
    public void A_rotor_within_its_grade_has_the_handbook_constant() =>
        Assert.Equal(1000, Unbalance.RotorMassWithinGradeG(9549.30, 1, 1), 1e-3);

    // energy-tech.com article 18389, p. 3: U_per = 6.015 G W/N in oz·in, lb and rpm; with G 2.5, 1000 lb, 3600 rpm 4.177 oz·in = 3008 g·mm.
    [Fact]
    public void A_rotor_within_its_grade_has_the_mass_of_the_inch_example() =>
        Assert.Equal(1000, Unbalance.RotorMassWithinGradeG(3008, 2.5, 3600) / 453.59237, 0.2);

    // ISO 21940-11, table 1: G 6.3 for fans (no row names air propellers), the grade that reports use. A small rotor of 50 g at 6000 rpm
    // may have 10.03 µm, 0.501 g·mm.
    [Fact]
    public void A_small_rotor_is_allowed_half_a_gram_millimetre_by_the_grade_for_fans() =>
        Assert.Equal(50, Unbalance.RotorMassWithinGradeG(0.50134, Unbalance.FanGradeMmps, 6000), 0.01);

    // Worked example of balancing handbooks: 10 g at 100 mm give a force of 98.70 N at 3000 rpm and 394.78 N at 6000 rpm. Rotating in its
    // plane, the force accelerates a rigid aircraft of 4 kg by force over mass on each of two axes, with rms that value over √2; the
    // unbalance must be recovered from it.
    [Theory]
    [InlineData(3000, 98.70)]
    [InlineData(6000, 394.78)]
    public void The_force_of_the_handbook_leads_back_to_its_unbalance(double rpm, double newton)
    {
        const double AircraftKg = 4;
        double size = newton / AircraftKg,
            axisRms = size / Math.Sqrt(2);
        OrderLevel order1 = new()
        {
            Order = 1,
            RmsMps2 = Estimate.Around(size, 0.1 * size),
            PerAxisMps2 = [axisRms, axisRms, 0],
            Separable = true,
        };
        Estimate found = Unbalance.FromVibration(order1, AircraftKg, Estimate.Around(rpm, 1));
        Assert.Equal(1000, found.Value!.Value, 0.1);
        Assert.Equal(900, found.Ci95!.Value.Low, 0.1);
        Assert.Null(Unbalance.FromVibration(order1, null, Estimate.Around(rpm, 1)).Value);
    }
}
