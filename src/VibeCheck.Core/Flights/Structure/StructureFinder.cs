using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Structure;

/// <summary>Finds resonances: humps in the spectrum of the hover between the rotors' lines, and ringing after a touchdown.</summary>
internal static class StructureFinder
{
    private const double LowestHz = 8;
    private const double LeastProminenceDb = 5;
    private const double LeastPeakOverFloor = 2;
    private const int SmoothingBins = 2;
    private const double SameHzShare = 0.06;

    /// <summary>Resonances in rising frequency, each listed once, with the axis that shows it best.</summary>
    /// <param name="flight">The flight.</param>
    /// <param name="airframe">Its aircraft.</param>
    /// <param name="hover">Hover that is used.</param>
    /// <param name="masked">Its spectra without the rotors' lines; null when the hover contains no window.</param>
    /// <param name="lines">Frequencies of the rotor orders; null when no speed is known.</param>
    /// <param name="behaviour">Behaviour of a line at a frequency while speeds vary.</param>
    internal static IReadOnlyList<StructureMode> Find(
        Flight flight,
        Airframe airframe,
        IReadOnlyList<TimeInterval> hover,
        MaskedAverages? masked,
        RotorLines? lines,
        SpeedBehaviour behaviour
    )
    {
        List<(StructureMode Mode, double Strength)> found = [];
        string[] channels = ["acc_x", "acc_y", "acc_z"];
        IReadOnlyList<MaskedSpectrum> spectra = masked?.Finish() ?? [];
        for (int axis = 0; axis < spectra.Count; axis++)
        {
            found.AddRange(Humps(spectra[axis], channels[axis]).Where(h => IsOfStructure(h.Mode, lines, behaviour)));
        }

        if (hover.Count > 0 && FreeDecay.After(flight.Imu, hover[0].ToS) is { } decay)
        {
            found.Add((decay, 0));
        }

        FlightCrossings crossings = new(flight, airframe, hover);
        return [.. Distinct(found).OrderBy(r => r.Hz.Value).Select(r => WithRotors(r, lines, crossings))];
    }

    private static IEnumerable<(StructureMode Mode, double Strength)> Humps(MaskedSpectrum spectrum, string channel)
    {
        double[] levelDb = SmoothDb(spectrum);
        double resolution = spectrum.ResolutionHz;
        foreach ((int bin, double _) in Peaks.Prominent(levelDb, LeastProminenceDb))
        {
            if (bin * resolution < LowestHz)
            {
                continue;
            }

            double width = Math.Max(2 * resolution, WidthBins(levelDb, bin) * resolution);
            if (ModeFit.Of(spectrum, bin * resolution, width) is { } fit && IsMode(fit, resolution))
            {
                yield return (
                    new()
                    {
                        Channel = channel,
                        Hz = Estimate.Around(fit.Hz, 1.96 * fit.HzDeviation),
                        DampingRatio = Estimate.Of(fit.DampingRatio, OnLogScale(fit.DampingRatio, 1.96 * fit.DampingDeviation)),
                        Method = ModeEvidence.HoverSpectrum,
                    },
                    fit.PeakOverFloor
                );
            }
        }
    }

    /// <summary>Whether it stands out of its floor, is wider than a line would be, and is a resonance and not a slope of the
    /// floor.</summary>
    private static bool IsMode(ModeFit fit, double resolutionHz) =>
        fit.PeakOverFloor >= LeastPeakOverFloor
        && 2 * fit.DampingRatio * fit.Hz > 0.5 * resolutionHz
        && fit.DampingRatio is > 0.001 and < 0.25
        && fit.DampingDeviation < 0.5 * fit.DampingRatio;

    /// <summary>A rotor line of an order that is not measured is broadened by the variation of its speed and looks like a lightly damped
    /// hump. So a hump must be twice as wide as that (half-power width 2ζf against 2.35 spreads), or be shown to stay while speeds
    /// vary.</summary>
    private static bool IsOfStructure(StructureMode mode, RotorLines? lines, SpeedBehaviour behaviour)
    {
        double spread = lines?.All.Select(l => l.SpreadHz / l.Hz).DefaultIfEmpty(0).Max() ?? 0;
        return mode.DampingRatio.Value >= 2.35 * spread || behaviour.Of(mode.Hz.Value!.Value) == PeakKind.Structure;
    }

    private static Interval OnLogScale(double value, double half) => new(value * Math.Exp(-half / value), value * Math.Exp(half / value));

    /// <summary>Level of the masked spectrum, dB, averaged over a few bins; bins that are always masked are bridged.</summary>
    private static double[] SmoothDb(MaskedSpectrum spectrum)
    {
        double[] density = [.. spectrum.Density];
        for (int k = 0; k < density.Length; k++)
        {
            if (spectrum.Windows[k] == 0)
            {
                int next = k;
                while (next < density.Length && spectrum.Windows[next] == 0)
                {
                    next++;
                }

                // The lower neighbour is used, because a bridge must not create a hump.
                double before = k > 0 ? density[k - 1] : double.PositiveInfinity;
                double after = next < density.Length ? density[next] : double.PositiveInfinity;
                double bridge = Math.Min(before, after);
                Array.Fill(density, double.IsFinite(bridge) ? bridge : 0, k, next - k);
                k = next;
            }
        }

        return Array.ConvertAll(Robust.Smoothed(density, SmoothingBins), d => 10 * Math.Log10(Math.Max(d, double.Epsilon)));
    }

    private static int WidthBins(double[] levelDb, int bin)
    {
        int left = bin,
            right = bin;
        while (left > 0 && levelDb[left] > levelDb[bin] - 3)
        {
            left--;
        }

        while (right < levelDb.Length - 1 && levelDb[right] > levelDb[bin] - 3)
        {
            right++;
        }

        return right - left;
    }

    private static List<StructureMode> Distinct(List<(StructureMode Mode, double Strength)> found)
    {
        List<StructureMode> kept = [];
        foreach ((StructureMode resonance, double _) in found.OrderByDescending(f => f.Strength))
        {
            double hz = resonance.Hz.Value!.Value;
            if (!kept.Exists(r => Math.Abs(r.Hz.Value!.Value - hz) < SameHzShare * hz))
            {
                kept.Add(resonance);
            }
        }

        return kept;
    }

    private static StructureMode WithRotors(StructureMode resonance, RotorLines? lines, FlightCrossings crossings)
    {
        double hz = resonance.Hz.Value!.Value;
        if (lines is null || lines.All.Count == 0)
        {
            return resonance;
        }

        RotorLine nearest = lines.All.Where(l => l.Measured).DefaultIfEmpty(lines.All[0]).MinBy(l => Math.Abs(l.Hz - hz));
        return resonance with
        {
            NearestOrder = new(nearest.MotorId, nearest.Order),
            Margin = nearest.Hz / hz - 1,
            CrossedIn = crossings.Of(hz),
        };
    }
}
