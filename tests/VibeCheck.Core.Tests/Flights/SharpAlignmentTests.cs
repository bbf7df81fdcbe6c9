using VibeCheck.Core.Signals;

namespace VibeCheck.Core.Tests.Flights;

/// <summary>Offset and drift out of curves whose tops we placed.</summary>
public sealed class SharpAlignmentTests
{
    private const double StartS = 4.85;
    private const int Lags = 61;

    // 2 parts that are sharp, as take-off and landing are, amid broad ones.
    private static readonly double[] s_timesS = [.. Enumerable.Range(0, 20).Select(p => 10.0 + 30 * p)];
    private static readonly double[] s_widthsS = [.. Enumerable.Range(0, 20).Select(p => p is 0 or 19 ? 0.02 : 0.25)];

    [Fact]
    public void Line_of_the_tops_gives_offset_and_drift()
    {
        // At 295 s, the middle of the parts, the tops lie at 5.0123 s; they move by 60 ppm.
        ClockAlignment found = Settle(s_timesS, t => 5.0123 + 60e-6 * (t - 295));
        // A parabola through curves of this width errs by less than a tenth of a step of 5 ms, over 285 s on either side.
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
    public void Doubt_falls_with_length_and_with_sharp_parts()
    {
        ClockAlignment few = Settle(s_timesS[..8], _ => 5),
            all = Settle(s_timesS, _ => 5);
        Assert.True(few.DriftPpm is null || few.DriftU95Ppm > 2 * all.DriftU95Ppm);

        // Two sharp parts, each 6 ms off by itself, say 6 ms times the root of 2 of their difference over 570 s: twice that as 95 %.
        Assert.Equal(2 * 0.006 * Math.Sqrt(2) / 570 * 1e6, all.DriftU95Ppm!.Value, 3.0);
    }

    [Fact]
    public void Tops_beyond_what_is_looked_at_show_no_drift()
    {
        // 500 ppm over 570 s: the ends lie 142 ms from the middle.
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
