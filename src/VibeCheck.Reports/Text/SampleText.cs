using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports.Text;

/// <summary>Words for faults of single samples and axes of the IMU.</summary>
internal static class SampleText
{
    /// <summary>One sentence for a fault; null where the cause is none of these.</summary>
    internal static string? Of(Reason cause) => cause switch
    {
        SamplesFilled f => $"{Percent(f.Share)} of the IMU samples were missing or false; they were filled from those around them, which may make the orders {Say.Number(f.LossDb, 2)} dB too small.",
        SamplesMissing m => $"{Percent(m.Share)} of the IMU samples are missing or false: those left do not show the vibration.",
        FillersLeftOut f => $"{Percent(f.Share)} of the acceleration cells hold {Say.Number(f.FillerMps2, 2)} m/s² in place of a measurement.",
        SpikesLeftOut s => $"{Say.Whole(s.Count)} acceleration samples jump away from their neighbours and back: spikes of the recorder, not vibration.",
        SamplesHeld h => $"{Percent(h.Share)} of the IMU samples repeat the one before: the recorder wrote them again, it did not measure them.",
        SamplesInterpolated i => $"{Percent(i.Share)} of the IMU rows lie on straight lines between their neighbours: they were drawn in, not measured.",
        AxisFrozen a => $"{a.Axis} stands still for {Say.Number(a.Seconds, 1)} s in all: the sensor or its recorder hung. That time was left out.",
        AxisDead a => $"{a.Axis} holds no measurement in all of the flight: the axis is empty or stands still.",
        AxesIdentical a => $"{a.One} and {a.Other} hold the same numbers: one is a copy of the other.",
        RangeExceeded r => $"{Percent(r.Share)} of the samples of {r.Axis} stand at the end of the range: the true values are larger, and the orders are about {Say.Number(r.LossDb, 1)} dB too small.",
        PeaksFlattened p => $"The peaks of {p.Axis} are flattened: its orders are at least {Say.Number(p.LossDb, 1)} dB too small. The sensor or recorder clips.",
        FloorRaised f => $"The noise floor changed by {Say.Signed(f.FloorDb, 0)} dB over the whole band, in one flight to {Percent(f.Share)} of the power of the rotor orders, and is as flat as noise: samples are out of place, or noise was added.",
        AxisLosesOrders a => $"The share of {a.Axis} in the rotor orders changed by {Say.Signed(a.OrdersDb, 0)} dB, in all orders alike: the axis does not measure the same in both flights.",
        _ => null,
    };

    private static string Percent(double share) => $"{Say.Number(100 * share, share < 0.1 ? 1 : 0)} %";
}
