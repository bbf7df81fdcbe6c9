using VibeCheck.Core.Airframes;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;

namespace VibeCheck.Logs.Tests;

/// <summary>Comparisons of six short indoor flights of a small four-rotor: Masalimov et al., Data 2024, 9, 79, doi
/// 10.3390/data9060079.</summary>
public class RealFlightComparisonTests
{
    /// <summary>Motors 1 and 3 have one spin, 2 and 4 the other; arm lengths do not matter here.</summary>
    private static readonly Airframe Quad = new()
    {
        Name = "Small four-rotor",
        Motors =
        [
            .. Enumerable
                .Range(0, 4)
                .Select(m => new Motor(
                    $"M{m + 1}",
                    45 + 90 * m,
                    0.05,
                    m % 2 == 0 ? Spin.CounterClockwise : Spin.Clockwise,
                    MotorLevel.Single,
                    2,
                    null
                )),
        ],
    };

    private static readonly Dictionary<string, Flight> Read = [];

    [Theory]
    [Trait("Category", "Slow")]
    [InlineData(new[] { "normal-1" }, new[] { "normal-2" })]
    [InlineData(new[] { "normal-2" }, new[] { "normal-3" })]
    [InlineData(new[] { "normal-3" }, new[] { "normal-1" })]
    [InlineData(new[] { "normal-1", "normal-2" }, new[] { "normal-3" })]
    [InlineData(new[] { "normal-1", "normal-3" }, new[] { "normal-2" })]
    [InlineData(new[] { "normal-2", "normal-3" }, new[] { "normal-1" })]
    [InlineData(new[] { "normal-3" }, new[] { "normal-1", "normal-2" })]
    [InlineData(new[] { "normal-2" }, new[] { "normal-1", "normal-3" })]
    [InlineData(new[] { "normal-1" }, new[] { "normal-2", "normal-3" })]
    [InlineData(new[] { "weight-near-motor3-1", "weight-near-motor3-2" }, new[] { "weight-near-motor3-3" })]
    [InlineData(new[] { "weight-near-motor3-1", "weight-near-motor3-3" }, new[] { "weight-near-motor3-2" })]
    [InlineData(new[] { "weight-near-motor3-2", "weight-near-motor3-3" }, new[] { "weight-near-motor3-1" })]
    public void Nothing_changed_between_flights_of_one_kind(string[] before, string[] after)
    {
        Comparison c = Compare(before, after);
        Assert.Equal(Verdict.NoClearChange, c.Verdict);
        Assert.Equal(CallKind.Unknown, c.Vibration.Kind);
        Assert.Equal(CallKind.Unknown, c.MotorTemperature.Kind);
        Assert.DoesNotContain(c.Levels, l => l.Call is CallKind.Improved or CallKind.Worse);
        Assert.DoesNotContain(c.Reasons, r => r is LoadSharesMoved);
    }

    // README of the flights: share of motor 3 (mean command over the mean of the four) 1.117 in the mean of the normal flights, 1.175 with
    // the weight.
    [Fact]
    public void A_weight_near_motor_3_shows_as_its_share_and_nothing_is_invented()
    {
        Comparison c = Compare(
            ["normal-1", "normal-2", "normal-3"],
            ["weight-near-motor3-1", "weight-near-motor3-2", "weight-near-motor3-3"]
        );
        MotorComparison motor3 = c.Motors[2];
        Assert.Equal(1.175 - 1.117, motor3.LoadShareAfter.Value!.Value - motor3.LoadShareBefore.Value!.Value, tolerance: 0.02);
        Assert.Contains(c.Reasons, r => r is LoadSharesMoved moved && moved.Motors.Any(m => m.Motor == "M3"));
        Assert.Equal(LoadShareCall.More, motor3.LoadShare.Call);
        Assert.True(motor3.LoadShare.IsHarder);
        Assert.Equal(
            (CallKind.Unknown, CallKind.Unknown, CallKind.Unknown),
            (c.Vibration.Kind, c.MotorTemperature.Kind, c.EscTemperature.Kind)
        );
        Assert.Equal(YawTrimSource.Command, c.YawTrim.From);
        Assert.All(c.Motors, m => Assert.All(m.Orders, o => Assert.False(o.ChangeDb.IsKnown)));
    }

    private static Comparison Compare(string[] before, string[] after)
    {
        JobFlights flights = new()
        {
            Title = "Real flights",
            Airframe = Quad,
            Before = [.. before.Select(FlightOf)],
            After = [.. after.Select(FlightOf)],
        };
        return JobComparison.Run(flights);
    }

    private static Flight FlightOf(string name)
    {
        lock (Read)
        {
            if (!Read.TryGetValue(name, out Flight? flight))
            {
                Read[name] = flight = FlightReader.Read(
                    new FlightFiles([Repository.Data("real-flights", name + ".csv")], []),
                    ReadOptions.Default,
                    Quad
                );
            }

            return flight;
        }
    }
}
