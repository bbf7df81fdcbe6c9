using VibeCheck.Core.Airframes;
using VibeCheck.Core.Signals;

namespace VibeCheck.Core.Flights.Structure;

/// <summary>Spectral density of one axis in the hover, each window's rotor lines left out of the mean: what the rest of the aircraft does.</summary>
/// <param name="ResolutionHz">Spacing of the bins, Hz.</param>
/// <param name="Density">Density in bin k, (m/s²)²/Hz; NaN where a rotor line always lay.</param>
/// <param name="Windows">Windows that each bin is the mean of.</param>
internal sealed record MaskedSpectrum(double ResolutionHz, double[] Density, int[] Windows)
{
    private const double LongestWindowS = 2;

    // Higher orders than these are weak, and masking them all would leave nothing.
    private const int HighestOrder = 8;

    /// <summary>The masked spectra of the three axes; null when the hover holds no window.</summary>
    internal static IReadOnlyList<MaskedSpectrum>? Of(Flight flight, Airframe airframe, IReadOnlyList<SampleRun> runs)
    {
        double rateHz = flight.Imu.RateHz;
        if (Spectra.WindowLength(runs, rateHz, new() { ResolutionHz = 1 / LongestWindowS }) is not int length)
        {
            return null;
        }

        int fitting = Math.Min(length, Spectra.WindowLength(runs, rateHz, new())!.Value);
        WelchPlan plan = new(Window.Hann, fitting, fitting / 2, rateHz);
        List<(Series Rpm, int Blades)> speeds = [.. airframe.Motors
            .Where(m => flight.Track(m.Id)?.Rpm is { Count: > 0 })
            .Select(m => (flight.Track(m.Id)!.Rpm!, m.Blades))];
        List<(int First, bool[] Mask)> windows = Cut(flight.Imu, runs, plan, speeds);
        MaskedSpectrum[] spectra = new MaskedSpectrum[3];
        Parallel.For(0, 3, axis => spectra[axis] = Average(flight.Imu.Acceleration[axis], windows, plan));
        return spectra;
    }

    private static List<(int First, bool[] Mask)> Cut(ImuTrack imu, IReadOnlyList<SampleRun> runs, WelchPlan plan, List<(Series Rpm, int Blades)> speeds)
    {
        List<(int, bool[])> windows = [];
        foreach (SampleRun run in runs)
        {
            ClockBlock block = imu.Blocks.First(b => run.First >= b.FirstSample && run.First < b.FirstSample + b.SampleCount);
            for (int first = run.First; first + plan.Length <= run.First + run.Count; first += plan.Step)
            {
                Segment time = new(block.TimeOf(first), block.TimeOf(first + plan.Length - 1));
                windows.Add((first, Mask(time, plan, speeds)));
            }
        }

        return windows;
    }

    private static bool[] Mask(Segment time, WelchPlan plan, List<(Series Rpm, int Blades)> speeds)
    {
        bool[] mask = new bool[plan.Bins];
        foreach ((Series rpm, int blades) in speeds)
        {
            double low = double.PositiveInfinity, high = 0;
            for (int i = 0; i <= 4; i++)
            {
                double speed = rpm.At(time.FromS + i * time.Seconds / 4);
                low = Math.Min(low, speed);
                high = Math.Max(high, speed);
            }

            for (int order = 1; order <= HighestOrder; order++)
            {
                // Folded lines of high orders are faint (blades and loggers both see to that) and would hide half of the spectrum.
                if (order > 2 * blades && order * high / 60 > plan.RateHz / 2)
                {
                    break;
                }

                Cover(mask, order * low / 60, order * high / 60, plan);
            }
        }

        return mask;
    }

    /// <summary>Covers the bins of a line that moves between two frequencies, folded where it lies above half the rate.</summary>
    private static void Cover(bool[] mask, double lowHz, double highHz, WelchPlan plan)
    {
        // A Hann line is four bins wide; telemetry late or rounded moves it by a little more.
        double margin = 2.5 + 0.004 * highHz / plan.ResolutionHz;
        double a = Folding.SeenHz(lowHz, plan.RateHz), b = Folding.SeenHz(highHz, plan.RateHz);
        int from = (int)Math.Floor(Math.Min(a, b) / plan.ResolutionHz - margin), to = (int)Math.Ceiling(Math.Max(a, b) / plan.ResolutionHz + margin);
        for (int k = Math.Max(0, from); k <= Math.Min(mask.Length - 1, to); k++)
        {
            mask[k] = true;
        }
    }

    private static MaskedSpectrum Average(double[] samples, List<(int First, bool[] Mask)> windows, WelchPlan plan)
    {
        double[] sums = new double[plan.Bins], density = new double[plan.Bins];
        int[] counts = new int[plan.Bins];
        WelchAverage one = new(plan, []);
        foreach ((int first, bool[] mask) in windows)
        {
            one.Clear();
            one.Add(samples.AsSpan(first, plan.Length));
            if (one.WindowCount == 0)
            {
                continue;
            }

            one.FillDensity(density);
            for (int k = 0; k < sums.Length; k++)
            {
                if (!mask[k])
                {
                    sums[k] += density[k];
                    counts[k]++;
                }
            }
        }

        for (int k = 0; k < sums.Length; k++)
        {
            sums[k] = counts[k] == 0 ? double.NaN : sums[k] / counts[k];
        }

        return new(plan.ResolutionHz, sums, counts);
    }
}
