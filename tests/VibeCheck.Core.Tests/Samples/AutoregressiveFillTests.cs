using VibeCheck.Core.Samples;

namespace VibeCheck.Core.Tests.Samples;

/// <summary>Missing samples are restored where the signal is a sum of sines, and lines keep their level in noise.</summary>
public class AutoregressiveFillTests
{
    private const double RateHz = 500;
    private const int Count = 8192;

    // Two rotors a few hertz apart with orders 1 and 2: levels in m/s², frequencies in Hz.
    private static readonly (double Size, double Hz)[] _lines = [(1, 63.4), (0.6, 66.1), (0.5, 126.8), (0.3, 132.2)];

    private static double Sines(int i) => _lines.Sum(l => l.Size * Math.Cos(Math.Tau * l.Hz * i / RateHz + l.Hz));

    private static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble());

    /// <summary>The signal with samples lost at random, each with the same probability.</summary>
    private static double[] Lost(double[] signal, double share, Random random) =>
        [.. signal.Select((v, i) => i > 0 && i < signal.Length - 1 && random.NextDouble() < share ? double.NaN : v)];

    private static double Size(double[] signal, double hz)
    {
        double re = 0,
            im = 0;
        for (int i = 0; i < signal.Length; i++)
        {
            double weight = 1 - Math.Cos(Math.Tau * i / signal.Length);
            re += weight * signal[i] * Math.Cos(Math.Tau * hz * i / RateHz);
            im += weight * signal[i] * Math.Sin(Math.Tau * hz * i / RateHz);
        }

        return 2 * Math.Sqrt(re * re + im * im) / signal.Length;
    }

    [Theory]
    [InlineData(0.01)]
    [InlineData(0.1)]
    [InlineData(0.3)]
    public void A_sum_of_sines_is_restored_whatever_share_is_lost(double share)
    {
        double[] truth = [.. Enumerable.Range(0, Count).Select(Sines)],
            x = Lost(truth, share, new Random(5));
        bool[] lost = Array.ConvertAll(x, double.IsNaN);
        new AutoregressiveFill(AutoregressiveFill.OrderFor(RateHz)).Fill(x);
        double error = 0,
            power = 0;
        for (int i = 0; i < Count; i++)
        {
            Assert.True(lost[i] || x[i] == truth[i]);
            error += (x[i] - truth[i]) * (x[i] - truth[i]);
            power += truth[i] * truth[i];
        }

        // A sum of sines can be predicted without error; the model of a finite record leaves a small error, at least 40 dB lower.
        Assert.InRange(Math.Sqrt(error / power), 0, 0.01);
    }

    [Theory]
    [InlineData(0.04)]
    [InlineData(0.2)]
    public void Lines_in_noise_keep_their_size_within_a_tenth_of_a_decibel(double share)
    {
        var random = new Random(11);
        double[] x = [.. Enumerable.Range(0, Count).Select(i => Sines(i) + 0.3 * Normal(random))];
        double[] filled = Lost(x, share, random);
        new AutoregressiveFill(AutoregressiveFill.OrderFor(RateHz)).Fill(filled);
        foreach ((double size, double hz) in _lines)
        {
            // Known by construction. Noise of 0.3 gives an error of 0.3 √(3 / 8192) = 0.006 on each, about 0.1 dB on the smallest.
            Assert.Equal(size, Size(filled, hz), 0.03);
        }
    }

    [Fact]
    public void Straight_lines_in_place_of_the_fill_would_make_them_smaller()
    {
        double[] truth = [.. Enumerable.Range(0, Count).Select(Sines)],
            x = Lost(truth, 0.2, new Random(5));
        AutoregressiveFill.FillStraight(x);
        Assert.InRange(Size(x, 126.8), 0.3, 0.46);
    }

    [Fact]
    public void Blocks_of_a_dozen_lost_samples_are_bridged_in_phase()
    {
        double[] truth = [.. Enumerable.Range(0, Count).Select(Sines)],
            x = [.. truth];
        for (int from = 100; from + 40 < Count; from += 90)
        {
            x.AsSpan(from, 12).Fill(double.NaN);
        }

        new AutoregressiveFill(AutoregressiveFill.OrderFor(RateHz)).Fill(x);
        double error = Math.Sqrt(x.Zip(truth, (a, b) => (a - b) * (a - b)).Average()),
            power = Math.Sqrt(truth.Average(v => v * v));
        Assert.InRange(error / power, 0, 0.05);
    }

    [Theory]
    [InlineData(0.1)]
    [InlineData(0.2)]
    public void The_check_says_little_is_lost_of_lines(double share)
    {
        var random = new Random(3);
        double[] x = Lost([.. Enumerable.Range(0, Count).Select(i => Sines(i) + 0.1 * Normal(random))], share, random);
        bool[] lost = Array.ConvertAll(x, double.IsNaN);
        int order = AutoregressiveFill.OrderFor(RateHz);
        new AutoregressiveFill(order).Fill(x);
        Assert.InRange(FillCheck.LossDb(x, lost, RateHz, order)!.Value, 0, 0.15);
    }

    [Fact]
    public void The_check_says_that_noise_is_not_restored()
    {
        var random = new Random(3);
        double[] x = Lost([.. Enumerable.Range(0, Count).Select(_ => Normal(random))], 0.2, random);
        bool[] lost = Array.ConvertAll(x, double.IsNaN);
        int order = AutoregressiveFill.OrderFor(RateHz);
        new AutoregressiveFill(order).Fill(x);

        // White noise cannot be predicted: nothing of a fifth is restored, 20 log10(0.8) = 1.94 dB.
        Assert.Equal(1.94, FillCheck.LossDb(x, lost, RateHz, order)!.Value, 0.4);
    }
}
