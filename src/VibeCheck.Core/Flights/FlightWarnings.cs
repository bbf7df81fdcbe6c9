using System.Globalization;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>What a careful reader of an analysis should know.</summary>
internal static class FlightWarnings
{
    private const double ShortHoverS = 15;

    internal static IReadOnlyList<Warning> Of(Flight flight, FlightAnalysis analysis, bool ambientFromColdStart)
    {
        List<Warning> warnings = [];
        Add(analysis.Hover.Segments.Count == 0, "no-hover", analysis.Hover.Why);
        Add(analysis.Hover.Segments.Count > 0 && analysis.Hover.SecondsUsed < ShortHoverS, "short-hover",
            Text($"The hover used is only {analysis.Hover.SecondsUsed:0.0} s long; intervals are wide. A minute of steady hover tells far more."));
        Add(!analysis.Airframe.HasLayout, "no-airframe", WithoutAirframe(analysis));
        string[] silent = [.. analysis.Motors.Where(m => !m.RpmMean.IsKnown).Select(m => m.Id)];
        bool noneLogged = !flight.Motors.Any(m => m.Rpm is { Count: > 0 });
        if (noneLogged)
        {
            warnings.Add(new("no-speeds", "The log has no rotor speeds.") { Cause = RotorResults.WithoutSpeeds(flight.Imu.RateHz, analysis.SpeedSearch) });
        }

        MotorAnalysis[] found = [.. analysis.Motors.Where(m => m.SpeedIsFound)];
        Add(found.Length > 0, "speeds-from-vibration", FromVibration(analysis, found));
        Add(!noneLogged && silent.Length > 0 && silent.Length < analysis.Airframe.Motors.Count, "missing-telemetry",
            $"No usable speed of {string.Join(", ", silent)} in the log: shares and yaw trim are those of the other motors, and lines of {(silent.Length == 1 ? "it" : "them")} may be counted with its neighbours.");
        Add(analysis.YawTrim is { From: YawTrimSource.Command, Split.IsKnown: true }, "trim-from-commands",
            "Yaw trim and load shares are from motor commands, for want of speeds; motors answer a command differently, so compare them only with other flights of this aircraft.");
        Add(ambientFromColdStart, "ambient-from-cold-start",
            Text($"Ambient was taken from the cold start, {analysis.AmbientC:0.#} °C, where all units agreed."));
        Add(RotorResults.IsTooSlow(flight.Imu.RateHz), "slow-logger",
            Text($"At {flight.Imu.RateHz:0} samples a second most of what rotors do lies above half the rate ({flight.Imu.RateHz / 2:0} Hz) and is folded or filtered away."));
        string[] folded = [.. analysis.Motors.SelectMany(m => m.Orders).Where(o => o is { FoldedFromHz: not null, RmsMps2.IsKnown: true })
            .Select(o => o.Order).Distinct().Order().Select(k => k.ToString(CultureInfo.InvariantCulture))];
        Add(folded.Length > 0, "folded-orders",
            $"Order {string.Join(", ", folded)} lies above half the sample rate and is seen folded; the logger's filter may have weakened it.");
        string[] merged = [.. analysis.Motors.Where(m => m.Orders.Any(o => !o.Separable)).Select(m => m.Id)];
        Add(merged.Length > 0, "merged-motors",
            $"{string.Join(", ", merged)} turn too nearly alike to be told apart at some orders; there only their sum is known.");
        bool inParts = analysis.Motors.Any(m => m.Orders.Any(o => o.RmsMps2.IsKnown)) && MeasuredTime.IsInParts(analysis.Hover.Segments);
        Add(inParts, "orders-from-parts",
            Text($"Orders were measured on {MeasuredTime.MostS:0} s in parts spread evenly over the {analysis.Hover.SecondsUsed:0} s of hover; all else on the whole of it."));
        Add(flight.Input.Imu.ClippedSamples > 0, "clipped",
            Text($"{flight.Input.Imu.ClippedSamples} samples reach the end of the sensor's range: levels are too low by an unknown amount."));
        int unusable = Unusable(flight.Imu);
        Add(unusable > 0, "unusable-samples", Text($"{unusable} samples of the IMU are not numbers; windows that hold them were left out of the spectra."));
        return warnings;

        void Add(bool applies, string code, string text)
        {
            if (applies)
            {
                warnings.Add(new(code, text));
            }
        }
    }

    private static string WithoutAirframe(FlightAnalysis analysis) =>
        (analysis.Motors.Count == 0 ? "No airframe file was given, and the log names no motor. "
            : Text($"No airframe file was given: the log names {analysis.Motors.Count} motors. "))
        + "An airframe file adds which motor stands where, yaw trim, centre of gravity, blade pass, unbalance in g·mm and the shim plan. "
        + "Make one with: vibecheck airframe airframe.toml";

    private static string FromVibration(FlightAnalysis analysis, MotorAnalysis[] found)
    {
        double widest = found.Select(m => m.RpmMean.Ci95!.Value.Width / 2).DefaultIfEmpty(0).Max();
        string trim = found.Length > 0 && analysis.YawTrim is { From: YawTrimSource.Rpm, Split.IsKnown: true } && analysis.Motors.All(m => m.RpmMean.IsKnown)
            ? " Load shares and yaw trim rest on them too." : "";
        string[] not = [.. analysis.Motors.Where(m => !m.RpmMean.IsKnown).Select(m => m.Id)];
        string others = not.Length > 0 ? $" Of {string.Join(", ", not)} they could not be." : "";
        return Text($"Speeds of {string.Join(", ", found.Select(m => m.Id))} are not in the log: they were found from lines in the vibration, each within {Math.Max(1, widest):0} rpm with 95 % confidence.") + others + trim;
    }

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    private static int Unusable(ImuTrack imu)
    {
        int count = 0;
        for (int i = 0; i < imu.Count; i++)
        {
            count += double.IsFinite(imu.AccXMps2[i] + imu.AccYMps2[i] + imu.AccZMps2[i]) ? 0 : 1;
        }

        return count;
    }
}
