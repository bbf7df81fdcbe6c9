namespace VibeCheck.Core.Quality;

/// <summary>Power that lines have above the noise around them.</summary>
/// <param name="Mps2Squared">The power, (m/s²)²; below 0 where chance left less there than around.</param>
/// <param name="Variance">Variance from the noise, (m/s²)⁴.</param>
internal readonly record struct LinePower(double Mps2Squared, double Variance)
{
    // Two standard deviations: common practice.
    private const double Deviations = 2;

    /// <summary>What another power is of this one.</summary>
    /// <param name="fitted">The other power, (m/s²)².</param>
    /// <param name="without">The share where this power is not above 0.</param>
    internal FittedShare Share(double fitted, double without)
    {
        if (Mps2Squared <= 0)
        {
            return new(without, without, without);
        }

        double off = Deviations * Math.Sqrt(Variance),
            least = Mps2Squared - off;
        return new(fitted / Mps2Squared, fitted / (Mps2Squared + off), least > 0 ? fitted / least : double.PositiveInfinity);
    }

    /// <summary>The mean of independent windows, from their sum.</summary>
    internal LinePower MeanOf(int windows) => new(Mps2Squared / windows, Variance / ((double)windows * windows));

    public static LinePower operator +(LinePower a, LinePower b) => new(a.Mps2Squared + b.Mps2Squared, a.Variance + b.Variance);
}
