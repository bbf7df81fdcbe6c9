using VibeCheck.Core.Statistics;
using Tuning = VibeCheck.Core.Orders.SpeedSearch.SpeedSearchTuning.Band;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>Where the rotors' first order lies, found from lines that stand at whole multiples of one frequency.</summary>
/// <param name="Hz">Rotor frequency of the clearest rotor; NaN when none was found.</param>
/// <param name="Why">Why there is none; null when there is.</param>
internal sealed record RotorBand(double Hz, Reason? Why)
{
    /// <summary>Finds the band.</summary>
    /// <param name="spectra">Spectra of windows of about a second.</param>
    /// <param name="blades">Most blades of a rotor.</param>
    /// <param name="rateHz">Sample rate of the log, Hz.</param>
    internal static RotorBand Find(WarpedSpectra spectra, int blades, double rateHz)
    {
        double[] level = spectra.MeanLevel;
        double top = Math.Min(Tuning.HighestHz, Tuning.HighestShareOfRate * rateHz / 2);
        List<(double Hz, double Score)> combs = [];
        for (double hz = Tuning.LowestHz; hz <= top; hz *= 1 + Tuning.StepShare)
        {
            combs.Add((hz, Comb(level, spectra.ResolutionHz, hz, blades, Tuning.HighestShareOfRate * rateHz)));
        }

        if (combs.Count == 0)
        {
            return new(double.NaN, new LoggerTooSlowForRotors());
        }

        (double bestHz, double best) = combs.MaxBy(c => c.Score);
        if (Seen(level, spectra.ResolutionHz, bestHz) < Tuning.SeenLevel || best < 2 * Tuning.SeenLevel)
        {
            return new(double.NaN, new NoHarmonicLines());
        }

        // Blades alone make lines at the blade count and twice it, which look like orders 1 and 2 of something faster.
        if (Seen(level, spectra.ResolutionHz, (blades == 2 ? 3 : 2) * bestHz) < Tuning.SeenLevel)
        {
            return new(double.NaN, new BladeLinesOnly());
        }

        double rival = combs.Where(c => Math.Abs(Math.Log(c.Hz / bestHz)) > Tuning.OtherSpeed).Select(c => c.Score).DefaultIfEmpty(0).Max();
        return best - rival < Tuning.LeastLead ? new(double.NaN, new RotorSpeedAmbiguous()) : new(bestHz, null);
    }

    /// <summary>Orders 1 to twice the blades: each seen one adds, each unseen one takes away.</summary>
    private static double Comb(double[] level, double resolutionHz, double hz, int blades, double topHz)
    {
        double sum = 0;
        for (int order = 1; order <= Math.Max(4, blades + 1); order++)
        {
            if (order * hz > topHz)
            {
                break;
            }

            double seen = Seen(level, resolutionHz, order * hz);
            double weight = order == 1 || order == blades ? Tuning.StrongOrderWeight : 1;
            sum += weight * (seen < Tuning.SeenLevel ? -1 : Math.Min(Tuning.MostLevel, seen));
        }

        return sum;
    }

    private static double Seen(double[] level, double resolutionHz, double hz)
    {
        int k = (int)Math.Round(hz / resolutionHz);
        return k < 1 || k + 1 >= level.Length ? 0 : Math.Max(level[k], Math.Max(level[k - 1], level[k + 1]));
    }
}
