using VibeCheck.Core.Flights;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Quality;

/// <summary>Noise floors of the acceleration in two flights, compared with each other.</summary>
/// <param name="one">The first flight.</param>
/// <param name="two">The second flight.</param>
/// <param name="rateHz">The lower of the two sample rates, Hz: frequencies are given as shares of it.</param>
internal sealed class FloorPair(FlightAnalysis one, FlightAnalysis two, double rateHz)
{
    private const double FlatDb = 1.5;

    // Parts of the band, as shares of the sample rate, in rising order.
    private static readonly (double From, double To)[] _bands = [(0.1, 0.2), (0.2, 0.33), (0.33, 0.47)];

    /// <summary>Change of the floor of each acceleration axis between two frequencies given as shares of the sample rate, dB.</summary>
    internal IEnumerable<double> Change(double from, double to)
    {
        double topHz = 0.49 * rateHz;
        foreach (string channel in (string[])["acc_x", "acc_y", "acc_z"])
        {
            if (
                one.Spectra.FirstOrDefault(s => s.Channel == channel) is { } a
                && two.Spectra.FirstOrDefault(s => s.Channel == channel) is { } b
                && Floor(two, b, topHz).Above(Floor(one, a, topHz), from * rateHz, to * rateHz) is double change
            )
            {
                yield return change;
            }
        }
    }

    private readonly Dictionary<(FlightAnalysis, string), NoiseFloor> _floors = [];

    private NoiseFloor Floor(FlightAnalysis of, Spectrum spectrum, double topHz)
    {
        if (!_floors.TryGetValue((of, spectrum.Channel), out NoiseFloor? floor))
        {
            floor = NoiseFloor.Of(spectrum, topHz);
            _floors.Add((of, spectrum.Channel), floor);
        }

        return floor;
    }

    /// <summary>Change of the floor by part of the band, then axis, dB; null where it is not known on all axes.</summary>
    internal double[][]? BandChanges()
    {
        double[][] bands = [.. _bands.Select(band => Change(band.From, band.To).ToArray())];
        return bands.Any(b => b.Length < 3) ? null : bands;
    }

    /// <summary>Whether the floor of a flight has the same level in all parts of the band, on each axis.</summary>
    internal bool IsFlat(FlightAnalysis of) =>
        of
            .Spectra.Where(s => s.Channel.StartsWith("acc_", StringComparison.Ordinal))
            .All(spectrum =>
            {
                double[] densities = [.. _bands.Select(band => MedianDensity(spectrum, band.From, band.To))];
                return 10 * Math.Log10(densities.Max() / Math.Max(1e-30, densities.Min())) < FlatDb;
            });

    private double MedianDensity(Spectrum spectrum, double from, double to)
    {
        int first = (int)(from * rateHz / spectrum.ResolutionHz),
            end = Math.Min(spectrum.Density.Length, (int)(to * rateHz / spectrum.ResolutionHz));
        return end > first ? Robust.UpperMedian(spectrum.Density[first..end]) : 0;
    }

    /// <summary>Power of the floor of the acceleration from the middle of the band on, extrapolated to the whole band, (m/s²)².</summary>
    internal double Power(FlightAnalysis of)
    {
        double power = 0;
        foreach (Spectrum spectrum in of.Spectra.Where(s => s.Channel.StartsWith("acc_", StringComparison.Ordinal)))
        {
            power += MedianDensity(spectrum, 0.2, 0.47) * rateHz / 2;
        }

        return power;
    }

    /// <summary>A hole in the floor at a frequency.</summary>
    /// <param name="MedianDb">Change of the floor there relative to the change beside it, median over the axes, dB.</param>
    /// <param name="OwnDb">Floor there relative to the floor beside it in the flight with the hole, on the axis where it is shallowest, dB.
    /// A line that was stronger in the other flight leaves no hole in this one.</param>
    internal readonly record struct Hole(double MedianDb, double OwnDb);

    /// <summary>The hole at a frequency, Hz; null where the floor is not known there.</summary>
    internal Hole? HoleAt(double hz)
    {
        double[] depths = [.. Depths((from, to) => [.. Change(from / rateHz, to / rateHz)], hz)];
        if (depths.Length < 3)
        {
            return null;
        }

        double median = Robust.UpperMedian(depths);
        FlightAnalysis weak = median < 0 ? two : one;
        double topHz = 0.49 * rateHz;
        double[] own =
        [
            .. Depths(
                (from, to) =>
                    [
                        .. weak
                            .Spectra.Where(s => s.Channel.StartsWith("acc_", StringComparison.Ordinal))
                            .Select(s => Floor(weak, s, topHz).Between(from, to))
                            .OfType<double>(),
                    ],
                hz
            ),
        ];
        return own.Length < 3 ? null : new(median, own.Max());
    }

    /// <summary>For each axis, a level of the floor at a frequency minus the mean of the levels on both sides.</summary>
    private static double[] Depths(Func<double, double, double[]> level, double hz)
    {
        double[] at = level(hz * 0.92, hz * 1.09),
            below = level(hz * 0.6, hz * 0.75),
            above = level(hz * 1.35, hz * 1.7);
        return at.Length == 3 && below.Length == 3 && above.Length == 3 ? [.. at.Select((x, i) => x - (below[i] + above[i]) / 2)] : [];
    }
}
