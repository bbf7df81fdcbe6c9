using VibeCheck.Core.Comparisons;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Comparisons;

public class JobHistoryTests
{
    private static readonly Core.Airframes.Airframe Quad = DemoAirframes.Ring(4, "Made quad", 2, 0.25, 2);

    // Simulated: rough at first, then shimmed (orders halved: 6 dB less), then no work.
    private static readonly Lazy<History> Life = new(() =>
        JobHistory.Run(
            new HistoryFlights(
                "Life of a made quad",
                Quad,
                null,
                [
                    new("as built", new(2026, 3, 1), [Flight(1, 1)]),
                    new("shims", new(2026, 4, 2), [Flight(2, 0.5)]),
                    new("fifty hours later", new(2026, 9, 3), [Flight(3, 0.51)]),
                ]
            ),
            new ComparisonOptions { Orders = [1] }
        )
    );

    [Fact]
    public void Each_stage_is_called_against_the_one_before_and_the_last_against_the_first()
    {
        History life = Life.Value;
        Assert.Null(life.Stages[0].Step);
        Assert.Equal(CallKind.Improved, life.Stages[1].Step!.Vibration.Kind);
        Assert.Equal(CallKind.NoClearChange, life.Stages[2].Step!.Vibration.Kind);
        Assert.Equal(CallKind.Improved, life.Whole.Vibration.Kind);
        Assert.True(life.Stages[1].Step!.Vibration.Change.Ci95!.Value.Contains(20 * Math.Log10(0.5)));
        Assert.Equal(life.Stages[1].VibrationMps2.Value, life.Stages[2].Step!.Vibration.Before);

        // One order on each of four motors: the allowance of 0.4 dB per flight is half common and half independent, √(½ + ½/4); the
        // uncertainty within the flight adds hardly anything.
        Assert.All(
            life.Stages,
            s =>
                Assert.InRange(
                    20 * Math.Log10(s.VibrationMps2.Ci95!.Value.High / s.VibrationMps2.Ci95.Value.Low),
                    2 * 1.96 * 0.4 * Math.Sqrt(0.5 + 0.5 / 4) - 0.01,
                    2
                )
        );
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void The_table_has_a_line_a_stage()
    {
        string[] lines = HistoryTable.ToCsv(Life.Value).Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        Assert.Equal(4, lines.Length);
        Assert.StartsWith("date,stage,flights,vibration_mps2", lines[0], StringComparison.Ordinal);
        Assert.StartsWith("2026-04-02,shims,1,", lines[2], StringComparison.Ordinal);
        Assert.Contains(",improved,", lines[2], StringComparison.Ordinal);
    }

    [Fact]
    public void One_stage_alone_is_no_history() =>
        Assert.Throws<ArgumentException>(() =>
            JobHistory.Run(new HistoryFlights("x", Quad, null, [new("as built", new(2026, 3, 1), [Flight(1, 1)])]))
        );

    private static Core.Tracks.Flight Flight(int seed, double size) =>
        SimulatedFlight
            .Make(
                new FlightRecipe
                {
                    Airframe = Quad,
                    Seed = seed,
                    HoverS = 40,
                    ImuRateHz = 250,
                    Rotors = [.. Enumerable.Range(0, 4).Select(_ => new RotorSource([new OrderSource(1, 0.8 * size)]))],
                }
            )
            .Flight;
}
