using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tests.Flights;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Findings;

public sealed class LoadOutlierTests
{
    private static readonly Lazy<FlightAnalysis> s_hexa = new(() =>
        FlightCheck.Of(SimulatedFlight.Make(Trials.Hexa(62)).Flight, Trials.Hexa(62).Airframe)
    );

    [Fact]
    public void One_motor_that_carries_a_quarter_more_is_distinguished_from_trim_and_balance()
    {
        (int motor, double odds) = LoadOutlier.Of(With([0.97, 0.95, 1.21, 0.96, 0.95, 0.96]))!.Value;
        Assert.Equal(2, motor);
        Assert.True(odds > 3, $"{odds}");
    }

    [Fact]
    public void A_load_to_one_side_is_attributed_to_no_motor() =>
        Assert.True(LoadOutlier.Of(With(Of(a => 1 + 0.2 * Math.Cos(a))))!.Value.LogOdds < 0);

    [Fact]
    public void A_higher_load_of_all_motors_of_one_spin_is_attributed_to_no_motor() =>
        Assert.True(LoadOutlier.Of(With([1.1, 0.9, 1.1, 0.9, 1.1, 0.9]))!.Value.LogOdds < 0);

    [Fact]
    public void Even_shares_point_to_no_motor() =>
        Assert.True(LoadOutlier.Of(With([1.01, 0.99, 1.0, 1.01, 0.98, 1.01]))!.Value.LogOdds < 0);

    [Fact]
    public void Without_all_shares_there_is_no_result()
    {
        FlightAnalysis analysis = With([1, 1, 1, 1, 1, 1]);
        MotorAnalysis[] motors = [.. analysis.Motors];
        motors[4] = motors[4] with { LoadShare = Estimate.Unknown(new SpeedMissingInHover()) };
        Assert.Null(LoadOutlier.Of(analysis with { Motors = motors }));
    }

    // Load shares of the motors of a symmetric hexa as a function of the angle of their arms.
    private static double[] Of(Func<double, double> at) =>
        [.. s_hexa.Value.Airframe.Motors.Select(m => at(double.DegreesToRadians(m.AzimuthDeg)))];

    private static FlightAnalysis With(double[] shares) =>
        s_hexa.Value with
        {
            Motors = [.. s_hexa.Value.Motors.Select((m, i) => m with { LoadShare = Estimate.Around(shares[i], 0.005) })],
        };
}
