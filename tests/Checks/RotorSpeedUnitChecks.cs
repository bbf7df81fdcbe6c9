using System.Globalization;
using System.Text;
using VibeCheck.Core.Airframes;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;

namespace VibeCheck.Checks;

/// <summary>Electrical speeds and pole pairs: published examples, written as logs and read back.</summary>
public sealed class RotorSpeedUnitChecks : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("vibecheck-poles-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    // MathWorks Answers 2001162: with 5 pole pairs 5000 rpm is 416.67 electrical turns per second, one period in 2.4 ms.
    [Theory]
    [Trait("Category", "Slow")]
    [InlineData("ehz", 416.67)]
    [InlineData("ehz", 1 / 0.0024)]
    [InlineData("erpm", 25_000)]
    public void Electrical_speed_of_five_pole_pairs_is_five_times_the_rotors(string unit, double logged) =>
        Assert.Equal(5000, Rpm(unit, logged, polePairs: 5), 0.05);

    // Texas Instruments SPRUHJ1I, number of pole pairs: half the number of poles. 14 magnets are 7 pairs, so rpm is eRPM / 7.
    [Fact]
    public void Fourteen_magnets_divide_by_seven() => Assert.Equal(10_000, Rpm("erpm", 70_000, polePairs: 14 / 2), 1e-6);

    // n = 60 f / pole pairs (Texas Instruments, as above). 120 f / p counts poles: with 4 pole pairs and 50 Hz it would give 1500 rpm, not
    // 750.
    [Fact]
    public void Four_pole_pairs_at_fifty_hertz_turn_750_times_a_minute() => Assert.Equal(750, Rpm("ehz", 50, polePairs: 4), 1e-6);

    /// <summary>Mean speed read from a log of 5 s whose only motor always reports the same number.</summary>
    private double Rpm(string unit, double logged, int polePairs)
    {
        StringBuilder text = new($"time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,M1_speed_{unit}\n");
        for (int i = 0; i < 500; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $"{i / 100.0},0,0,-9.81,{logged:R}\n");
        }

        string path = Path.Combine(_folder, "flight.csv");
        File.WriteAllText(path, text.ToString());
        Airframe airframe = new()
        {
            Name = "bench rig",
            Motors = [new Motor("M1", AzimuthDeg: 0, ArmM: 0.2, Spin.Clockwise, MotorLevel.Single, Blades: 2, polePairs)],
        };
        return FlightReader
            .Read(new FlightFiles([path], []), ReadOptions.Default, airframe, TestContext.Current.CancellationToken)
            .Motors[0]
            .Rpm!.Values.Average();
    }
}
