using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Units;

namespace VibeCheck.Logs.Tests.Columns;

/// <summary>Rates without a unit whose magnitude fits both units are distinguished by the sway angle that they integrate to.</summary>
public sealed class RateUnitTests
{
    private const double RateHz = 250;

    // 0.07 to 2.5 degrees: roll of six real flights about its trend over 4 s (Masalimov et al., Data 2024, 9, 79).
    [Theory]
    [InlineData(0.8)]
    [InlineData(1.2)]
    [InlineData(2.3)]
    public void Rates_whose_magnitude_fits_both_units_are_decided_by_sway(double swayDeg)
    {
        // Vibration whose spread lies between the values that are possible only in deg/s and only in rad/s.
        double[][] radians = Rates(swayDeg, shakeDegps: 40);
        Assert.Equal(UnitTable.RadPerS, RateUnit.Find(Scaled(radians, Math.PI / 180), Times(), 2)?.Unit);
        Assert.Equal(UnitTable.DegPerS, RateUnit.Find(Rates(swayDeg, shakeDegps: 0.1, swayHz: 0.3), Times(), 2)?.Unit);
    }

    [Fact]
    public void Rates_of_a_vibrating_airframe_at_rest_have_no_unit() =>
        Assert.Null(RateUnit.Find(Rates(swayDeg: 0, shakeDegps: 1), Times(), 2));

    [Fact]
    public void Turns_about_the_upright_axis_do_not_count_as_sway()
    {
        double[][] rates = Rates(swayDeg: 0, shakeDegps: 1);
        for (int i = 0; i < rates[2].Length; i++)
        {
            rates[2][i] = 2 * Math.Sin(0.8 * i / RateHz);
        }

        Assert.Null(RateUnit.Find(rates, Times(), 2));
        Assert.Equal(UnitTable.DegPerS, RateUnit.Find(rates, Times(), 0)?.Unit);
    }

    [Fact]
    public void Magnitude_decides_first()
    {
        Assert.Equal(UnitTable.DegPerS, RateUnit.Find(Rates(1, 10), Times(), 2)?.Unit);
        Assert.Equal(UnitTable.MillidegPerS, RateUnit.Find(Scaled(Rates(1, 10), 1000), Times(), 2)?.Unit);
        Assert.Equal(UnitTable.RadPerS, RateUnit.Find(Scaled(Rates(1, 1), Math.PI / 180), Times(), 2)?.Unit);
    }

    [Fact]
    public void A_sway_that_a_very_steady_hover_would_also_show_in_degrees_is_not_sure()
    {
        // 1.4 degrees of sway in rad is 0.025, which in degrees would be an unusually steady hover.
        (Unit Unit, bool IsSure)? found = RateUnit.Find(Scaled(Rates(swayDeg: 2, shakeDegps: 8), Math.PI / 180), Times(), 2);
        Assert.Equal((UnitTable.RadPerS, false), found);
        Assert.Equal((UnitTable.RadPerS, true), RateUnit.Find(Scaled(Rates(swayDeg: 1, shakeDegps: 1), Math.PI / 180), Times(), 2));
        Assert.Equal((UnitTable.DegPerS, true), RateUnit.Find(Rates(swayDeg: 1, shakeDegps: 10), Times(), 2));
    }

    private static double[] Times() => [.. Enumerable.Range(0, (int)(40 * RateHz)).Select(i => i / RateHz)];

    private static double[][] Scaled(double[][] rates, double factor) => [.. rates.Select(axis => Array.ConvertAll(axis, v => v * factor))];

    /// <summary>Rates, deg/s, of roll and pitch with a given sway (rms of each about half of it) and vibration from the rotors.</summary>
    private static double[][] Rates(double swayDeg, double shakeDegps, double swayHz = 0.7) =>
        [
            .. Enumerable
                .Range(0, 3)
                .Select(axis =>
                    Array.ConvertAll(
                        Times(),
                        t =>
                            swayDeg * Math.Tau * swayHz * Math.Cos(Math.Tau * swayHz * t + axis) * (axis < 2 ? 1 : 0.1)
                            + shakeDegps * Math.Sqrt(2) * Math.Sin(Math.Tau * 61.3 * t + axis)
                    )
                ),
        ];
}
