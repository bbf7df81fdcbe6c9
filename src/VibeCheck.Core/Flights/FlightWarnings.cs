using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>Warnings that a careful reader of an analysis should know.</summary>
internal static class FlightWarnings
{
    private const double ShortHoverS = 15;

    internal static IReadOnlyList<FlightWarning> Of(Flight flight, FlightAnalysis analysis, bool ambientFromColdStart)
    {
        List<FlightWarning> warnings = [];
        double hoverS = analysis.Hover.SecondsUsed;
        Add(analysis.Hover.Segments.Count == 0, "no-hover", analysis.Hover.Why);
        Add(analysis.Hover.Segments.Count > 0 && hoverS < ShortHoverS, "short-hover", new ShortHover(hoverS));
        Add(!analysis.Airframe.HasLayout, "no-airframe", new AirframeNotGiven(analysis.Motors.Count));
        string[] silent = [.. analysis.Motors.Where(m => !m.RpmMean.IsKnown).Select(m => m.Id)];
        bool noneLogged = !flight.Motors.Any(m => m.Rpm is { Count: > 0 });
        if (noneLogged)
        {
            warnings.Add(new("no-speeds", RotorResults.WithoutSpeeds(flight.Imu.RateHz, analysis.SpeedSearch)));
        }

        MotorAnalysis[] found = [.. analysis.Motors.Where(m => m.SpeedIsFound)];
        Add(found.Length > 0, "speeds-from-vibration", FromVibration(analysis, found, silent));
        Add(
            !noneLogged && silent.Length > 0 && silent.Length < analysis.Airframe.Motors.Count,
            "missing-telemetry",
            new SpeedsMissing(silent)
        );
        Add(analysis.YawTrim is { From: YawTrimSource.Command, Split.IsKnown: true }, "trim-from-commands", new TrimFromCommands());
        Add(ambientFromColdStart, "ambient-from-cold-start", new AmbientFromColdStart(analysis.AmbientC ?? double.NaN));
        Add(RotorResults.IsTooSlow(flight.Imu.RateHz), "slow-logger", new MostOrdersAboveHalfRate(flight.Imu.RateHz));
        int[] folded =
        [
            .. analysis
                .Motors.SelectMany(m => m.Orders)
                .Where(o => o is { FoldedFromHz: not null, RmsMps2.IsKnown: true })
                .Select(o => o.Order)
                .Distinct()
                .Order(),
        ];
        Add(folded.Length > 0, "folded-orders", new OrdersFolded(folded));
        string[] merged = [.. analysis.Motors.Where(m => m.Orders.Any(o => !o.Separable)).Select(m => m.Id)];
        Add(merged.Length > 0, "merged-motors", new MotorsMerged(merged));
        bool inParts = analysis.Motors.Any(m => m.Orders.Any(o => o.RmsMps2.IsKnown)) && MeasuredTime.IsInParts(analysis.Hover.Segments);
        Add(inParts, "orders-from-parts", new OrdersFromParts(MeasuredTime.MostS, hoverS));
        int clipped = flight.Input.Imu.ClippedSamples,
            unusable = Unusable(flight.Imu);
        Add(clipped > 0, "clipped", new SamplesClipped(clipped));
        Add(unusable > 0, "unusable-samples", new SamplesNotNumbers(unusable));
        return warnings;

        void Add(bool applies, string code, Reason cause)
        {
            if (applies)
            {
                warnings.Add(new(code, cause));
            }
        }
    }

    private static SpeedsFromVibration FromVibration(FlightAnalysis analysis, MotorAnalysis[] found, string[] silent)
    {
        double widest = found.Select(m => m.RpmMean.Ci95!.Value.Width / 2).DefaultIfEmpty(0).Max();
        bool sharesToo = analysis.YawTrim is { From: YawTrimSource.Rpm, Split.IsKnown: true } && silent.Length == 0;
        return new([.. found.Select(m => m.Id)], widest, silent, sharesToo);
    }

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
