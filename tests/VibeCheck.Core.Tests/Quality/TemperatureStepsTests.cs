using VibeCheck.Core.Quality;

namespace VibeCheck.Core.Tests.Quality;

/// <summary>Quantisation step of a temperature sensor, hidden by the decimals written.</summary>
public sealed class TemperatureStepsTests
{
    /// <summary>Four units that warm up in a minute, ten readings per second, in steps of a sensor, times a factor, written in
    /// tenths.</summary>
    private static IReadOnlyList<double[]> Units(double stepC, double factor, double writtenC = 0.1) =>
        [
            .. Enumerable
                .Range(0, 4)
                .Select(unit =>
                    Enumerable
                        .Range(0, 600)
                        .Select(i => 18.3 + (26 + 4 * unit) * (1 - Math.Exp(-i / 10.0 / (18 + unit))))
                        .Select(c =>
                            Math.Round(factor * Math.Round(c / stepC) * stepC / writtenC, MidpointRounding.AwayFromZero) * writtenC
                        )
                        .ToArray()
                ),
        ];

    [Theory]
    [InlineData(0.1, 1, 0.1)]
    [InlineData(1, 1, 1)]
    [InlineData(2, 1, 2)]
    [InlineData(0.1, 1.25, 0.125)]
    [InlineData(0.1, 0.8, 0.08)]
    [InlineData(1, 1.25, 1.25)]
    [InlineData(1, 0.8, 0.8)]
    [InlineData(0.125, 1, 0.125)]
    public void The_step_shows_through_the_decimals(double stepC, double factor, double expectedC) =>
        Assert.Equal(expectedC, TemperatureSteps.Of(Units(stepC, factor))!.Value, 0.02 * expectedC);

    [Fact]
    public void Readings_without_steps_have_none() => Assert.Null(TemperatureSteps.Of(Units(1e-9, 1, 1e-9)));
}
