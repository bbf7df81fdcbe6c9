using VibeCheck.Core.Flights.Structure;

namespace VibeCheck.Core.Tests.Flights.Structure;

/// <summary>Detects a resonance under an order's lines from the noise floor beside them.</summary>
public sealed class OrderFlankTests
{
    private const double ResolutionHz = 0.5,
        RotorHz = 100;

    // Gain of one degree of freedom, 1 / sqrt((1 - r²)² + (2 ζ r)²) (S. Rao, Mechanical Vibrations, 3.4), excited by white noise. With
    // lines that cover 2.25 % on either side the compared levels are those near 0.97 and 1.03 and those near 0.73 and 1.27.
    [Theory]
    [InlineData(0.01)]
    [InlineData(0.05)]
    [InlineData(0.1)]
    [InlineData(0.2)]
    public void The_flanks_of_a_mode_rise_as_its_gain_says(double damping)
    {
        double Db(double r) => -10 * Math.Log10(Math.Pow(1 - r * r, 2) + Math.Pow(2 * damping * r, 2));
        double expected = (Db(0.97) + Db(1.03) - Db(0.73) - Db(1.27)) / 2;
        OrderFlank flank = Assert.Single(OrderFlank.Of([Spectrum(r => Math.Pow(10, Db(r) / 10))], RotorHz, [1]));
        Assert.Equal(expected, flank.RiseDb, tolerance: 1);
        Assert.Equal(damping < 0.15, flank.RiseDb > 5);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-4)]
    [InlineData(3)]
    public void A_floor_that_only_slopes_does_not_rise(double power) =>
        Assert.Equal(0, Assert.Single(OrderFlank.Of([Spectrum(r => Math.Pow(r, power))], RotorHz, [1])).RiseDb, tolerance: 1);

    // A mode 13 % away is no resonance under the order; where lines cover the whole floor nothing is known.
    [Fact]
    public void A_mode_beside_the_order_or_a_covered_floor_is_no_flank()
    {
        double Mode(double r) => 1 / (Math.Pow(1 - r * r / 1.277, 2) + 0.001 * r * r);
        Assert.Empty(OrderFlank.Of([Spectrum(Mode)], RotorHz, [1]));
        Assert.Empty(OrderFlank.Of([Spectrum(_ => 1, covered: 0.2)], RotorHz, [1]));
        Assert.Empty(OrderFlank.Of([], RotorHz, [1]));
    }

    private static MaskedSpectrum Spectrum(Func<double, double> density, double covered = 0.0225)
    {
        double[] values = [.. Enumerable.Range(0, 500).Select(k => density(k * ResolutionHz / RotorHz))];
        int[] windows = [.. values.Select((_, k) => Math.Abs(k * ResolutionHz / RotorHz - 1) <= covered ? 0 : 40)];
        return new(ResolutionHz, [.. values.Select((v, k) => windows[k] == 0 ? double.NaN : v)], windows);
    }
}
