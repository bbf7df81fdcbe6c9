namespace VibeCheck.Core.Quality;

/// <summary>How the noise floor of the acceleration changed near half the sample rate and in the middle of the band.</summary>
/// <param name="TopDb">Median over the axes near half the sample rate, dB.</param>
/// <param name="MiddleDb">The same in the middle of the band, dB.</param>
/// <param name="Bends">Whether only a filter explains it.</param>
/// <param name="MayBend">Whether a filter may explain it.</param>
internal readonly record struct FloorBend(double TopDb, double MiddleDb, bool Bends, bool MayBend)
{
    // The top and the middle of the band, as shares of the lower sample rate.
    private const double TopFrom = 0.33,
        TopTo = 0.47,
        MiddleFrom = 0.1,
        MiddleTo = 0.22;

    // Wind and rotor wash raise the floor by some decibels over wide bands, without a step between middle and top (chosen on simulated
    // flights).
    private const double SteepDb = 3.5,
        PerhapsSteepDb = 1.8;

    /// <summary>Compares floors of the three axes.</summary>
    /// <param name="change">Change of the floor of each axis between two frequencies given as shares of the sample rate, dB.</param>
    /// <returns>Null unless all three axes are known.</returns>
    internal static FloorBend? Of(Func<double, double, IEnumerable<double>> change)
    {
        double[] top = [.. change(TopFrom, TopTo)],
            middle = [.. change(MiddleFrom, MiddleTo)];
        if (top.Length < 3 || middle.Length < 3)
        {
            return null;
        }

        double[] steep = [.. top.Zip(middle, (t, m) => t - m).Order()];
        double topDb = top.Order().ElementAt(1),
            middleDb = middle.Order().ElementAt(1);
        bool alike = steep.All(d => Math.Sign(d) == Math.Sign(steep[0]));

        // Wind changes the low and middle bands most; the air and the sensor change all bands alike. Only a filter changes the top most.
        bool filter = alike && Math.Abs(topDb) > Math.Abs(middleDb);
        return new(topDb, middleDb, filter && Math.Abs(steep[1]) > SteepDb, filter && Math.Abs(steep[1]) > PerhapsSteepDb);
    }
}
