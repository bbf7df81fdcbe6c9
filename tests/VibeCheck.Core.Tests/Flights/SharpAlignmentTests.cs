using VibeCheck.Core.Signals;

namespace VibeCheck.Core.Tests.Flights;

/// <summary>Offset and drift from correlation curves with known peaks.</summary>
public sealed class SharpAlignmentTests
{
    private const double StartS = 4.85;
    private const int Lags = 61;

    // 2 parts with sharp peaks, as at take-off and landing, among broad ones.
    private static readonly double[] s_timesS = [.. Enumerable.Range(0, 20).Select(p => 10.0 + 30 * p)];
    private static readonly double[] s_widthsS = [.. Enumerable.Range(0, 20).Select(p => p is 0 or 19 ? 0.02 : 0.25)];

    [Fact]
    public void Line_through_the_peaks_gives_offset_and_drift()
    {
        // At 295 s, the middle of the parts, the peaks lie at 5.0123 s; they drift by 60 ppm.
        ClockAlignment found = Settle(s_timesS, t => 5.0123 + 60e-6 * (t - 295));
        // A parabola through curves of this width has an error below a tenth of a step of 5 ms, over 285 s on either side.
        Assert.Equal(5.0123 + 60e-6 * (found.AtS - 295), found.OffsetS!.Value, 5e-4);
        Assert.Equal(60, found.DriftPpm!.Value, 2.0);
        Assert.Null(found.Why);
    }

    [Fact]
    public void Parts_close_together_show_an_offset_and_no_drift()
    {
        ClockAlignment found = Settle([.. s_timesS.Select(t => t / 10)], _ => 4.991);
        Assert.Equal(4.991, found.OffsetS!.Value, 5e-4);
        Assert.Null(found.DriftPpm);
        Assert.NotNull(found.Why);
    }

    [Fact]
    public void Uncertainty_falls_with_length_and_with_sharp_parts()
    {
        ClockAlignment few = Settle(s_timesS[..8], _ => 5),
            all = Settle(s_timesS, _ => 5);
        Assert.True(few.DriftPpm is null || few.DriftU95Ppm > 2 * all.DriftU95Ppm);

        // Two sharp parts, each with an error of 6 ms, give their difference over 570 s to 6 ms times the root of 2; twice that is the 95 %
        // interval.
        Assert.Equal(2 * 0.006 * Math.Sqrt(2) / 570 * 1e6, all.DriftU95Ppm!.Value, 3.0);
    }

    [Fact]
    public void Peaks_outside_the_search_range_show_no_drift()
    {
        // 500 ppm over 570 s: the ends are 142 ms from the middle.
        Assert.Null(Settle(s_timesS, t => 5 + 500e-6 * (t - 295)).DriftPpm);
    }

    private static ClockAlignment Settle(double[] timesS, Func<double, double> topS)
    {
        double[] Curve(int part, double top) =>
            [
                .. Enumerable
                    .Range(0, Lags)
                    .Select(i => Math.Exp(-0.5 * Math.Pow((StartS + i * SharpAlignment.StepS - top) / s_widthsS[part], 2))),
            ];
        double middle = StartS + Lags / 2 * SharpAlignment.StepS;
        return new SharpAlignment(
            [.. timesS.Select((t, p) => Curve(p, topS(t)))],
            [.. timesS.Select((_, p) => Curve(p, middle))],
            timesS,
            StartS
        ).Settle();
    }
}
