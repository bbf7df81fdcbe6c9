using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text about faults of single samples and axes of the IMU.</summary>
internal static class SampleText
{
    /// <summary>One sentence for a fault; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            SamplesFilled f => $"{Percent(f.Share)} of the IMU samples were missing or false; they were filled from those around them, "
                + $"which may make the orders {Format.Number(f.LossDb, 2)} dB too small.",
            SamplesMissing m => $"{Percent(m.Share)} of the IMU samples are missing or false: those left do not show the vibration.",
            RowsOutOfOrder r =>
                $"{Percent(r.Share)} of the IMU rows are out of order in time and were left out: when the others were taken "
                    + "is not known.",
            FillersLeftOut f =>
                $"{Percent(f.Share)} of the acceleration cells hold {Format.Number(f.FillerMps2, 2)} m/s² in place of a measurement.",
            SpikesLeftOut s => $"{Grammar.Count(s.Count, "acceleration sample")} {Grammar.Agree(s.Count, "was", "were")} left out as "
                + $"{Grammar.Agree(s.Count, "a spike", "spikes")} of the recorder: the values before and after are normal.",
            SamplesHeld h =>
                $"{Percent(h.Share)} of the IMU samples repeat the one before: the recorder wrote them again, it did not measure them.",
            SamplesInterpolated i =>
                $"{Percent(i.Share)} of the IMU rows lie on straight lines between their neighbours: they were interpolated, not measured.",
            AxisFrozen a => $"{a.Axis} does not change for {Format.Number(a.Seconds, 1)} s in all: the sensor or its recorder hung. That "
                + $"time was left out.",
            AxisDead a => $"{a.Axis} holds no measurement in all of the flight: the axis is empty or never changes.",
            AxesIdentical a => $"{a.One} and {a.Other} hold the same numbers: one is a copy of the other.",
            RangeExceeded r => $"{Percent(r.Share)} of the samples of {r.Axis} stand at the end of the range: the true values are "
                + $"larger, and the orders are about {Format.Number(r.LossDb, 1)} dB too small.",
            PeaksFlattened p => $"The peaks of {p.Axis} are flattened: its orders are at least {Format.Number(p.LossDb, 1)} dB too small. "
                + "The sensor or recorder clips.",
            RateInAcceleration r => $"{r.Axis} follows {r.Rate} sample by sample: the column holds a rate of turn, not acceleration.",
            RowsAlternate r => "The IMU samples alternate between two records: every line of the spectrum has an image as strong (within "
                + $"{Format.Number(r.DifferenceDb, 1)} dB) at half the sample rate less its frequency. Give each flight a file of its own.",
            FloorRaised f => $"The noise floor changed by {Format.Signed(f.FloorDb, 0)} dB over the whole band; in one flight it "
                + $"reaches {Percent(f.Share)} of the power of the rotor orders and is flat over frequency: samples are out "
                + "of place, or noise was added.",
            AxisLosesOrders a => $"The share of {a.Axis} in the rotor orders changed by {Format.Signed(a.OrdersDb, 0)} dB, in all orders "
                + "alike: the axis does not measure the same in both flights.",
            SamplesTakenUnevenly s =>
                $"The samples were taken up to {Format.Number(1000 * 2 * s.DeviationS, 2)} ms earlier or later than their "
                    + $"stamps say; the rotor orders lost at least {Format.Number(s.LossDb, 2)} dB by it.",
            ClockJumps j => $"The clock of the IMU jumped: from {Format.Number(j.FromS, 0)} s on the vibration follows the reported speeds "
                + $"{Format.Number(Math.Abs(j.OffsetS), 2)} s {(j.OffsetS > 0 ? "late" : "early")}.",
            AccelerationStepsCoarse s =>
                $"{s.Axis} was written in steps of {Format.Number(s.StepMps2, 2)} m/s², coarser than the vibration in "
                    + $"it ({Format.Number(s.DeviationMps2, 2)} m/s², standard deviation): it can vanish between two steps, or grow to a "
                    + "whole one. Log the IMU with more decimals or a finer range.",
            SlewLimited s => $"{s.Axis} never changes by more than {Format.Number(s.StepMps2, 2)} m/s² from sample to sample, and "
                + $"{Percent(s.Share)} of the steps have exactly that size: the sensor or recorder cannot follow the vibration.",
            AxisFloorDiffers a =>
                $"The noise floor of {a.Axis} changed by {Format.Signed(a.FloorDb, 0)} dB against that of the other axes, "
                    + "at all frequencies: the axis does not measure the same in both flights.",
            AxisGainChanges a =>
                $"{a.Axis} is {Format.Number(Math.Abs(a.GainDb), 0)} dB {(a.GainDb < 0 ? "weaker" : "stronger")} in {Percent(a.Share)} of the "
                    + $"hover, at all frequencies, while the other axes stay as they are: a loose contact, or a gain that changes.",
            RotorNotDetected r =>
                $"{r.MotorId} does not show in the vibration at the speed that its ESC reports, while the other motors do: "
                    + $"it turns at another "
                    + "speed, and its vibration is missing from the sum.",
            SampleRatesDiffer r =>
                $"The flights were logged at {Format.Number(r.BeforeHz, 0)} and {Format.Number(r.AfterHz, 0)} Hz. If the "
                    + $"slower logger averages, its rotor orders are up to {Format.Number(r.LossDb, 1)} dB too small.",
            _ => null,
        };

    private static string Percent(double share) => $"{Format.Number(100 * share, share < 0.1 ? 1 : 0)} %";
}
