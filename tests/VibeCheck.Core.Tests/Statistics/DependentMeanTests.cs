using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Tests.Statistics;

public sealed class DependentMeanTests
{
    // Elementary: n var(mean) / var = (1 + r) / (1 - r) for a long first-order series, so its interval must contain the true mean of 0
    // nearly as often as stated; a plain interval (r assumed 0) would contain it in 52 to 74 of 100.
    [Theory]
    [Trait("Category", "Slow")]
    [InlineData(0.0, 60)]
    [InlineData(0.5, 100)]
    [InlineData(0.8, 300)]
    [InlineData(0.95, 1200)]
    public void The_mean_of_dependent_values_lies_in_its_interval_as_often_as_promised(double r, int count)
    {
        Random random = new(20261125);
        int held = 0;
        const int Trials = 1000;
        for (int trial = 0; trial < Trials; trial++)
        {
            double[] values = new double[count];
            double value = Gauss(random) / Math.Sqrt(1 - r * r);
            for (int i = 0; i < count; i++)
            {
                value = r * value + Gauss(random);
                values[i] = value;
            }

            held += Math.Abs(MeanOf(values).Value!.Value) <= MeanOf(values).Ci95!.Value.Width / 2 ? 1 : 0;
        }

        Assert.InRange(held, 0.90 * Trials, 0.985 * Trials);
    }

    [Fact]
    public void Few_values_have_a_mean_but_no_interval()
    {
        Estimate mean = MeanOf([1, 2]);
        Assert.Equal(1.5, mean.Value);
        Assert.Null(mean.Ci95);
        Assert.NotNull(mean.Why);
    }

    [Fact]
    public void Equal_values_have_an_interval_of_no_width() => Assert.Equal(0, MeanOf([3, 3, 3, 3, 3]).Ci95!.Value.Width);

    private static Estimate MeanOf(double[] values) => DependentMean.Of(values).ToEstimate(IndependentValues.Readings);

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
