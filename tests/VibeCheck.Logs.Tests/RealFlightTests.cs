using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;

namespace VibeCheck.Logs.Tests;

public class RealFlightTests
{
    private static readonly Airframe Quad = new()
    {
        Name = "Small quad",
        Motors =
        [
            .. Enumerable
                .Range(0, 4)
                .Select(i => new Motor(
                    $"M{i + 1}",
                    45 + 90 * i,
                    0.05,
                    i % 2 == 0 ? Spin.Clockwise : Spin.CounterClockwise,
                    MotorLevel.Single,
                    2,
                    null
                )),
        ],
    };

    [Theory]
    [InlineData("normal-1.csv")]
    [InlineData("normal-2.csv")]
    [InlineData("normal-3.csv")]
    [InlineData("weight-near-motor3-1.csv")]
    [InlineData("weight-near-motor3-2.csv")]
    [InlineData("weight-near-motor3-3.csv")]
    public void Real_flight_is_read(string name)
    {
        string path = Repository.Data("real-flights", name);
        Flight flight = FlightReader.Read(new([path], []), ReadOptions.Default, Quad, TestContext.Current.CancellationToken);

        // README of the files: intervals near 9.9 ms, some gaps of 40 ms and more (none in the first).
        Assert.InRange(flight.Imu.RateHz, 100, 102);
        Assert.Equal(name != "normal-1.csv", flight.Input.Imu.Gaps.Count > 0);
        Assert.All(flight.Input.Imu.Gaps, g => Assert.InRange(g.Seconds, 0.03, 1));
        Assert.Equal(0, flight.Input.Imu.RowsUnusable);
        Assert.Equal(["M1", "M2", "M3", "M4"], flight.Motors.Select(m => m.MotorId));
        Assert.All(flight.Motors, m => Assert.InRange(m.Command!.Values.Max(), 0.3, 1));
        Assert.Null(flight.Imu.ZPointsUp);
        Assert.Contains(flight.Input.Imu.Warnings, w => w.Code == "gravity-missing");
        Assert.InRange(flight.BatteryV!.Values[0], 3.5, 4.3);
        Assert.NotNull(flight.HeightM);
    }

    // README of the files: share of motor 3 over the time with position z above 60 % of its maximum.
    [Theory]
    [InlineData("normal-1.csv", 1.118)]
    [InlineData("normal-2.csv", 1.115)]
    [InlineData("normal-3.csv", 1.118)]
    [InlineData("weight-near-motor3-1.csv", 1.169)]
    [InlineData("weight-near-motor3-2.csv", 1.183)]
    [InlineData("weight-near-motor3-3.csv", 1.174)]
    public void Share_of_motor_3_is_that_of_the_readme(string name, double share)
    {
        string path = Repository.Data("real-flights", name);
        Flight flight = FlightReader.Read(new([path], []), ReadOptions.Default, Quad, TestContext.Current.CancellationToken);
        double top = flight.HeightM!.Values.Max();
        double[] means =
        [
            .. flight.Motors.Select(m =>
                Enumerable
                    .Range(0, m.Command!.Count)
                    .Where(i => flight.HeightM.At(m.Command.TimeS[i]) > 0.6 * top)
                    .Average(i => m.Command.Values[i])
            ),
        ];
        Assert.Equal(share, means[2] / means.Average(), 0.0006);
    }
}
