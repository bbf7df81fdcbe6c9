using VibeCheck.Core.Airframes;

namespace VibeCheck.Checks;

/// <summary>Torque and thrust of propellers: UIUC Propeller Data Site (Brandt, Deters, Ananda, Dantsker, Selig), static rows of two
/// propellers.</summary>
public sealed class RotorThrustChecks
{
    private static readonly Airframe s_hexa = new()
    {
        Name = "hexa",
        Motors =
        [
            .. Enumerable
                .Range(0, 6)
                .Select(i => new Motor(
                    $"M{i}",
                    30 + 60 * i,
                    0.42,
                    i % 2 == 0 ? Spin.Clockwise : Spin.CounterClockwise,
                    MotorLevel.Single,
                    2,
                    null
                )),
        ],
    };

    // UIUC files apcsf_10x7_static_kt0827.txt and apce_16x8_static_2150od.txt: diameter D in m, CT and CP of the slowest, a middle and the
    // fastest row. Torque over thrust by the definitions of CT and CP is D CP / (2π CT); the balance's default for an airframe without this
    // value must lie within its own bound of each of them.
    [Theory]
    [InlineData(0.2540, 0.1409, 0.0678)]
    [InlineData(0.2540, 0.1523, 0.0735)]
    [InlineData(0.2540, 0.1606, 0.0797)]
    [InlineData(0.4064, 0.077122, 0.029425)]
    [InlineData(0.4064, 0.092172, 0.027613)]
    [InlineData(0.4064, 0.101843, 0.030793)]
    public void The_torque_taken_where_none_is_given_bounds_published_propellers(double diameterM, double ct, double cp)
    {
        double published = diameterM * cp / (2 * Math.PI * ct),
            taken = TakenTorquePerThrustM();
        Assert.InRange(published, taken - ThrustBalance.UsualTorqueBoundM, taken + ThrustBalance.UsualTorqueBoundM);
    }

    // UIUC, all rows from 1960 rpm upwards of both propellers: 0.0191 to 0.0203 m.
    [Fact]
    public void The_torque_taken_lies_among_the_working_rows() => Assert.InRange(TakenTorquePerThrustM(), 0.0191, 0.0203);

    // UIUC, log-log over all rows: thrust grows with rpm to the power 2.14 and 2.12, not 2. The balance uses 2: for this reason it must not
    // overstate a split by more than 7 % of itself (docs/methods/survey.md says so).
    [Theory]
    [InlineData(2.14)]
    [InlineData(2.12)]
    public void The_square_law_overstates_a_split_by_at_most_seven_percent(double exponent)
    {
        ThrustBalance balance = ThrustBalance.Solve(s_hexa with { TorquePerThrustM = 0.018 }, [0.1, 0.1, 0.1, 0.1, 0.1, 0.1]).Balance!;
        double[] speeds = [.. balance.ThrustShares.Select(t => Math.Pow(t, 1 / exponent))];
        double split = (speeds.Where((_, i) => i % 2 == 0).Average() - speeds.Where((_, i) => i % 2 == 1).Average()) / speeds.Average();
        Assert.InRange(balance.Split / split, 1, 1.0701);
    }

    private static double TakenTorquePerThrustM() => ThrustBalance.Solve(s_hexa, new double[6]).Balance!.TorquePerThrustM;
}
