using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights;

/// <summary>The shape of the spectrum's floor with a soft mount: a hump at the mount's own frequency, and a steep fall above it.</summary>
/// <param name="Hz">Frequency of the hump, Hz.</param>
/// <param name="RiseDb">Height above the floor below it, dB.</param>
/// <param name="FallDb">Decrease of the floor at 1.8 times its frequency, dB.</param>
/// <remarks>A mass on a spring transmits 1 / (1 - (f/f0)²) of the motion of its support above its own frequency: at 1.8 f0 that is 7 dB
/// less than below it, and another 20 log10(1 / (2ζ)) less than at the hump (textbooks on vibration: transmissibility).</remarks>
internal sealed record MountRollOff(double Hz, double RiseDb, double FallDb)
{
    /// <summary>Fall of a mount with 30 % of critical damping, 7 dB and 20 log10(1 / (2 · 0.3)). Wash and frames fall by less (simulated
    /// flights).</summary>
    internal const double LeastFallDb = 11,
        LeastRiseDb = 3;

    private const double LowestHz = 7,
        BelowRotors = 0.75,
        BandShare = 0.12,
        Step = 1.04,
        Above = 1.8,
        Below = 0.6,
        Quantile = 0.35;

    /// <summary>Damping as a share of critical damping that would give a hump of this height, at most 0.3.</summary>
    internal double DampingRatio => Math.Min(0.3, 0.5 * Math.Pow(10, -RiseDb / 20));

    /// <summary>The highest hump below the rotors; null without spectra or speeds.</summary>
    internal static MountRollOff? Of(IReadOnlyList<Spectrum> spectra, double slowestHz)
    {
        Spectrum[] axes = [.. spectra.Where(s => s.Channel.StartsWith("acc", StringComparison.Ordinal))];
        if (axes.Length == 0 || !double.IsFinite(slowestHz))
        {
            return null;
        }

        double[] sum = [.. Enumerable.Range(0, axes[0].Density.Length).Select(k => axes.Sum(a => a.Density[k]))];
        (double Hz, double Db) best = (0, double.NegativeInfinity);
        double topHz = Math.Min(BelowRotors * slowestHz, axes[0].HighestHz / (1 + BandShare));
        for (double hz = LowestHz; hz < topHz; hz *= Step)
        {
            double db = Level(sum, axes[0].ResolutionHz, hz);
            best = db > best.Db ? (hz, db) : best;
        }

        if (best.Hz <= LowestHz * Step || Above * best.Hz * (1 + BandShare) > axes[0].HighestHz)
        {
            return null;
        }

        return new(
            best.Hz,
            best.Db - Level(sum, axes[0].ResolutionHz, Below * best.Hz),
            best.Db - Level(sum, axes[0].ResolutionHz, Above * best.Hz)
        );
    }

    /// <summary>Low quantile of the density in a narrow band, dB: lines of rotors do not count.</summary>
    private static double Level(double[] density, double resolutionHz, double hz)
    {
        int from = Math.Max(1, (int)Math.Floor(hz * (1 - BandShare) / resolutionHz)),
            to = Math.Min(density.Length - 1, (int)Math.Ceiling(hz * (1 + BandShare) / resolutionHz));
        return 10 * Math.Log10(Math.Max(1e-20, Robust.Quantile(density[from..(to + 1)], Quantile)));
    }
}
