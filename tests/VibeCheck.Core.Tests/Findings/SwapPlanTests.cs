using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Tests.Flights;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Findings;

public sealed class SwapPlanTests
{
    private static readonly Lazy<FlightAnalysis> s_hexa = new(() =>
        FlightCheck.Of(SimulatedFlight.Make(Trials.Hexa(61)).Flight, Trials.Hexa(61).Airframe)
    );

    [Theory]
    [InlineData("M1", "M3")]
    [InlineData("M1", "M2")]
    [InlineData("M1", "M3", "M2", "M6")]
    public void Suspects_swap_with_calm_motors_of_their_spin_only(params string[] suspects)
    {
        IReadOnlyList<PropellerSwap> plan = SwapPlan.Of(s_hexa.Value, suspects);
        Assert.Equal(suspects, plan.Select(p => p.Suspect));
        Assert.All(plan, p => Assert.DoesNotContain(p.Calm, suspects));

        // Odd and even motors have opposite spins.
        Assert.All(plan, p => Assert.Equal(Number(p.Suspect) % 2, Number(p.Calm!) % 2));
        Assert.Equal(plan.Count, plan.Select(p => (p.Flight, p.Calm)).Distinct().Count());
    }

    [Fact]
    public void Where_all_motors_of_a_spin_stand_out_another_propeller_is_fitted()
    {
        IReadOnlyList<PropellerSwap> plan = SwapPlan.Of(s_hexa.Value, ["M1", "M3", "M5"]);
        Assert.All(plan, p => Assert.Null(p.Calm));
    }

    private static int Number(string motor) => motor[1] - '0';
}
