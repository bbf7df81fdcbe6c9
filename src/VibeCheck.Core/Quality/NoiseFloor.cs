using VibeCheck.Core.Signals;

namespace VibeCheck.Core.Quality;

/// <summary>The noise floor of one channel in bands of a sixth of an octave, dB: the noise of the sensor and the air, without
/// lines.</summary>
/// <remarks>The lower quartile of the bins of a band: lines fill less than three quarters of any band.</remarks>
internal sealed class NoiseFloor
{
    private const double BandsPerOctave = 6;
    private const double LowestHz = 12;
    private const int LeastBins = 4;

    private NoiseFloor(double[] bandHz, double[] db) => (BandHz, Db) = (bandHz, db);

    /// <summary>Centre of each band, Hz.</summary>
    internal double[] BandHz { get; }

    /// <summary>Floor of each band, dB re 1 (m/s²)²/Hz or (rad/s)²/Hz; NaN for a band with too few bins.</summary>
    internal double[] Db { get; }

    /// <summary>The floor up to a frequency.</summary>
    internal static NoiseFloor Of(Spectrum spectrum, double topHz)
    {
        var centres = new List<double>();
        var floors = new List<double>();
        double step = Math.Pow(2, 1 / BandsPerOctave);
        for (double from = LowestHz; from * step <= topHz; from *= step)
        {
            int a = (int)Math.Ceiling(from / spectrum.ResolutionHz),
                b = Math.Min(spectrum.Density.Length, (int)Math.Ceiling(from * step / spectrum.ResolutionHz));
            centres.Add(from * Math.Sqrt(step));
            floors.Add(b - a < LeastBins ? double.NaN : 10 * Math.Log10(Math.Max(Quartile(spectrum.Density[a..b]), 1e-30)));
        }

        return new([.. centres], [.. floors]);
    }

    /// <summary>Median over the bands between two frequencies of this floor minus another one, dB; null when there is no band.</summary>
    internal double? Above(NoiseFloor other, double fromHz, double toHz)
    {
        double[] differences =
        [
            .. BandHz
                .Select((hz, i) => (hz, i))
                .Where(b => b.hz >= fromHz && b.hz <= toHz && b.i < other.Db.Length)
                .Select(b => Db[b.i] - other.Db[b.i])
                .Where(double.IsFinite)
                .Order(),
        ];
        return differences.Length == 0 ? null : differences[differences.Length / 2];
    }

    /// <summary>Median over the bands between two frequencies, dB; null when there is no band.</summary>
    internal double? Between(double fromHz, double toHz)
    {
        double[] bands =
        [
            .. BandHz
                .Select((hz, i) => (hz, Db: Db[i]))
                .Where(b => b.hz >= fromHz && b.hz <= toHz && double.IsFinite(b.Db))
                .Select(b => b.Db)
                .Order(),
        ];
        return bands.Length == 0 ? null : bands[bands.Length / 2];
    }

    private static double Quartile(double[] values)
    {
        Array.Sort(values);
        return values[values.Length / 4];
    }
}
