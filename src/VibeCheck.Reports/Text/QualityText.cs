using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Turns faults of a log into sentences.</summary>
internal static class QualityText
{
    /// <summary>One sentence for a fault; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            GravityOff g =>
                $"In hover the mean acceleration reads {Format.Number(g.MeanMps2, g.MeanMps2 < 20 ? 2 : 0)} m/s², not gravity (9.81): "
                    + $"the unit or the scale of the accelerometer is wrong.",
            GravityDrifts g =>
                $"Gravity reads from {Format.Number(g.LeastMps2, 2)} to {Format.Number(g.MostMps2, 2)} m/s² within one hover: the gain of "
                    + $"the accelerometer drifts.",
            GravityDiffers g =>
                $"Gravity reads {Format.Number(g.BeforeMps2, 2)} m/s² before and {Format.Number(g.AfterMps2, 2)} after: the scale of the "
                    + $"accelerometer changed between the flights.",
            LinesOffSpeeds l =>
                $"The rotor lines in the vibration lie at {Format.Number(l.Ratio, 3)} times the reported speeds: the clock of a log or "
                    + $"the unit of the speeds is wrong.",
            LinesDoNotFollow l =>
                $"Only {Format.Number(100 * l.FollowingShare, 0)} % of the vibration around the rotors' frequencies follows the reported "
                    + $"speeds: the telemetry seems to come from another flight, or its clock is wrong.",
            OrdersExceedSpectrum o =>
                $"The fitted rotor orders hold {(o.Share < 10 ? Format.Number(100 * o.Share, 0) + " %" : "over 1000 %")} of the power that "
                    + $"the spectrum has at their lines: rotors of nearly equal speed could not be separated.",
            PhaseBroken p =>
                $"Only {Format.Number(100 * p.FollowingShare, 0)} % of the power of the rotor lines has a steady phase: samples seem to "
                    + $"be missing or out of place.",
            RecorderFilterDiffers f =>
                $"The noise floor near half the sample rate changed by {Format.Signed(f.TopDb, 0)} dB, in the middle of the "
                    + $"band by {Format.Signed(f.MiddleDb, 0)} dB: the two flights were recorded with different filters.",
            NotchDiffers n =>
                $"Around {Format.Number(n.Hz, 0)} Hz one of the flights has a notch of {Format.Number(Math.Abs(n.DepthDb), 0)} dB that the "
                    + $"other lacks: they were recorded with different filters.",
            AxisScaleDiffers a =>
                $"{a.Axis} changed by {Format.Signed(a.FloorDb, 0)} dB against the other axes: its scale is not the same in both flights.",
            ChangeUnsupported u => $"The rotor orders changed by {Format.Signed(u.OrdersDb, 1)} dB, but the acceleration as a whole by "
                + $"{Format.Signed(u.LevelDb, 1)} dB where {Format.Signed(u.ExpectedLevelDb, 1)} would follow: the change is not "
                + $"supported by the rest of the data.",
            FoldedInOneFlight f =>
                $"The rotor line at {Format.Number(f.Hz, 0)} Hz lies above half the sample rate of one log ({Format.Number(f.RateHz, 0)} Hz) "
                    + $"and not of the other: its size cannot be compared.",
            RatesDisagree r =>
                $"The rotor orders changed by {Format.Signed(r.DifferenceDb, 1)} dB more on the acceleration than on the rates: one of "
                    + $"the two sensors is not what it was in the other flight.",
            SensorGainChanges g =>
                $"The ratio of acceleration to rates changes by {Format.Number(Math.Abs(g.DifferenceDb), 1)} dB within one hover: the "
                    + $"gain of a sensor changed in flight.",
            VibrationGainDrifts d =>
                $"All rotor orders change by {Format.Signed(d.OrdersDb, 1)} dB through the hover, and the noise floor by "
                    + $"{Format.Signed(d.FloorDb, 1)} dB: the gain of the accelerometer drifts.",
            FloorChanges f =>
                $"Within one hover the noise floor near half the sample rate changed by {Format.Signed(f.TopDb, 0)} dB, in the middle of the "
                    + $"band by {Format.Signed(f.MiddleDb, 0)} dB: the filter or the rate of the recorder changed in flight.",
            PiecesDisagree p =>
                $"The rotors' vibration varies from {Format.Number(p.LeastMps2, 2)} to {Format.Number(p.MostMps2, 2)} m/s² between pieces of "
                    + $"one hover: something changed in flight.",
            _ => SampleText.Of(cause) ?? TelemetryText.Of(cause),
        };
}
