using MathNet.Numerics.Distributions;
using VibeCheck.Core.Comparisons;

namespace VibeCheck.Core.Tests.Comparisons;

/// <summary>Trials of the comparison alone on many simulated analyses: flights scatter, and the truth is known. The path from simulated
/// acceleration to the verdict is tested by "campaigns compare".</summary>
public class ComparisonTrialTests
{
    private const int Trials = 300;

    // The goal is 95 of 100; with 300 trials of a comparison that is right 95 of 100 times, 92 is three standard deviations lower.
    private const double LeastRight = 0.95 - 0.03;

    [Theory]
    [Trait("Category", "Slow")]
    [InlineData(1)]
    [InlineData(2)]
    public void Nothing_changed_comes_out_as_no_clear_change(int flights) =>
        Assert.InRange(Share(11, 0, 0, flights, c => c.Verdict == Verdict.NoClearChange), 0.95, 1);

    [Theory]
    [Trait("Category", "Slow")]
    [InlineData(-2, 0, Verdict.Improved)]
    [InlineData(2, 0, Verdict.Worse)]
    [InlineData(0, -4, Verdict.Improved)]
    [InlineData(0, 4, Verdict.Worse)]
    public void Two_dB_and_four_degrees_are_found(double db, double c, Verdict verdict) =>
        Assert.InRange(Share(22, db, c, 1, x => x.Verdict == verdict), LeastRight, 1);

    [Fact]
    public void Intervals_of_single_orders_and_motors_hold_the_truth()
    {
        Comparison[] all = [.. Enumerable.Range(0, 150).Select(i => Trial(33_000 + i, -2, -4, 1))];
        double orders = all.SelectMany(c => c.Motors)
            .SelectMany(m => m.Orders)
            .Where(o => o.Order == 1)
            .Average(o => o.ChangeDb.Ci95!.Value.Contains(-2) ? 1.0 : 0);
        double motors = all.SelectMany(c => c.Motors).Average(m => m.MotorTemp.Change.Ci95!.Value.Contains(-4) ? 1.0 : 0);
        Assert.InRange(orders, 0.90, 0.995);
        Assert.InRange(motors, 0.90, 0.999);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void With_nothing_changed_single_orders_are_hardly_ever_called() =>
        Assert.InRange(Share(44, 0, 0, 1, c => c.Motors.All(m => m.Orders.All(o => o.Call == CallKind.NoClearChange))), 0.95, 1);

    private static double Share(int seed, double db, double c, int flights, Func<Comparison, bool> right) =>
        Enumerable.Range(0, Trials).Count(i => right(Trial(seed * 1000 + i, db, c, flights))) / (double)Trials;

    private static Comparison Trial(int seed, double changeDb, double changeC, int flights)
    {
        // Generators with neighbouring seeds are correlated at first; Knuth's multiplier decorrelates them.
        var random = new Random(unchecked((int)(seed * 2654435761L)));
        double[] sizes = [.. Enumerable.Range(0, 6).Select(_ => Math.Pow(10, -0.6 + 0.8 * random.NextDouble()))],
            rises = [.. Enumerable.Range(0, 6).Select(_ => 22 + 8 * random.NextDouble())];
        MadeFlights Flight(bool after)
        {
            double commonDb = Normal.Sample(random, 0, 0.2),
                commonC = Normal.Sample(random, 0, 0.35);
            double Size(double a) => a * Math.Pow(10, ((after ? changeDb : 0) + commonDb + Normal.Sample(random, 0, 0.3)) / 20);
            double Rise(double r) => r + (after ? changeC : 0) + commonC + Normal.Sample(random, 0, 0.35) + Normal.Sample(random, 0, 0.2);
            return new MadeFlights
            {
                Order1 = Array.ConvertAll(sizes, Size),
                Order2 = [.. sizes.Select(s => Size(s / 2))],
                MotorRiseC = Array.ConvertAll(rises, Rise),
                EscRiseC = [.. rises.Select(r => Rise(0.7 * r))],
            };
        }

        return MadeFlights.Compare(
            [.. Enumerable.Range(0, flights).Select(_ => Flight(false))],
            [.. Enumerable.Range(0, flights).Select(_ => Flight(true))]
        );
    }
}
