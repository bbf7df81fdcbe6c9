using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Checks;

/// <summary>Shims and screws: sine bars, tapers, thread engagement, and rules of thumb.</summary>
public sealed class ShimChecks
{
    private const double MmPerInch = 25.4; // Exactly: NBS AMS 55 table 2.5, NIST SP 811 appendix B.

    // Sine bar, height = L sin θ; a bar of length L spans L cos θ of the plate, over which a shim of the same height makes the angle.
    // US Army TC 9-524, appendix C: 5 in, 23°41': 2.0084 in.
    // R. Walsh, Handbook of Machining and Metalworking Calculations, chapter 4: 5 in, 34°25': 2.826 in.
    // higherprecision.com, FAQ on sine bars: 5 in, 27°: 2.270 in.
    [Theory]
    [InlineData(23 + 41 / 60.0, 2.0084, 5e-5)]
    [InlineData(34 + 25 / 60.0, 2.826, 5e-4)]
    [InlineData(27, 2.270, 5e-4)]
    public void A_sine_bar_gives_the_same_height(double deg, double expectedIn, double within)
    {
        double spanMm = 5 * MmPerInch * Math.Cos(deg * Math.PI / 180);
        double heightMm = ShimChart.ShimMm(spanMm, deg);
        Assert.Equal(expectedIn, heightMm / MmPerInch, within);
        Assert.Equal(deg, ShimChart.TiltDeg(spanMm, heightMm), 1e-9);
    }

    // Geometry of the sine bar: t = s tan θ; 28.6 mm at 0.2°, 0.4° and 1.0°.
    [Theory]
    [InlineData(0.2, 0.09983)]
    [InlineData(0.4, 0.19967)]
    [InlineData(1.0, 0.49921)]
    public void A_shim_over_28_6_millimetres(double deg, double expectedMm) => Assert.Equal(expectedMm, ShimChart.ShimMm(28.6, deg), 5e-6);

    // Geometry: up to 1° tangent, sine and arc agree within 0.016 %, 0.08 µm on 28.6 mm.
    [Fact]
    public void Tangent_sine_and_arc_agree_where_shims_are_used()
    {
        double rad = Math.PI / 180;
        Assert.Equal(28.6 * Math.Sin(rad), ShimChart.ShimMm(28.6, 1), 0.8e-4);
        Assert.Equal(1, 28.6 * rad / ShimChart.ShimMm(28.6, 1), 1.6e-4);
    }

    // R. Walsh, chapter 9: a steel screw in aluminium under a normal load needs 1.50 D + 0.062 in: 6.07 mm for M3.
    [Fact]
    public void An_M3_screw_needs_six_millimetres_of_aluminium() =>
        Assert.Equal(6.07, new MountScrews(10, 3, 3, null).WantedEngagementMm, 5e-3);

    // Common practice: about 0.4° needs 0.2 mm near 28 mm; by geometry 0.1955 mm, 0.0077 in.
    [Fact]
    public void The_chart_has_the_figures_of_the_trade()
    {
        ShimChart chart = ShimChart.Of(28);
        var (_, mm, inch) = chart.FromTilt.Single(r => r.TiltDeg == 0.4);
        Assert.Equal(0.2, mm, 5e-3);
        Assert.Equal(0.0077, inch, 5e-5);
        Assert.Equal(mm, inch * MmPerInch, 1e-12);
        Assert.Equal(0.4, chart.FromMm.Single(r => r.ShimMm == 0.2).TiltDeg, 0.01);
        Assert.Equal(0.41, chart.FromInch.Single(r => r.ShimIn == 0.008).TiltDeg, 0.01);
    }
}
