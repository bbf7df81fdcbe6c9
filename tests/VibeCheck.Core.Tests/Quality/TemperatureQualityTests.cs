using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Tests.Flights;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Quality;

/// <summary>Compares temperatures with ambient and load, within one flight.</summary>
public sealed class TemperatureQualityTests
{
    private static readonly Flight s_cold = MadeTelemetry.Flight() with { AmbientC = 21 };

    private static readonly TimeInterval[] s_hover = [new(12, 98)];

    [Fact]
    public void A_cold_start_at_the_ambient_that_was_given_is_no_fault()
    {
        FlightAnalysis analysis = Analyse(s_cold);
        Assert.Empty(analysis.Quality);
        Assert.All(analysis.Motors, m => Assert.True(m.MotorTemp.RiseSteadyC.IsKnown && m.EscTemp.RiseSteadyC.IsKnown));
    }

    // A ground potential that the motor's current raises by some millivolts shifts a thermistor's reading immediately.
    [Fact]
    public void Readings_that_the_current_shifts_widen_every_rise_down_to_the_true_one()
    {
        Flight shifted = s_cold with
        {
            Motors =
            [
                .. s_cold.Motors.Select(m =>
                    m with
                    {
                        MotorTempC = new(
                            m.MotorTempC!.TimeS,
                            [.. m.MotorTempC.Values.Select((v, i) => Math.Round(v + 0.8 * m.CurrentA!.At(m.MotorTempC.TimeS[i])))]
                        ),
                    }
                ),
            ],
        };
        FlightAnalysis right = Analyse(s_cold),
            off = Analyse(shifted);
        Assert.True(off.Quality.Single<TemperaturesStepWithCurrent>(QualityEffect.Widened).StepC > 3);
        Assert.All(
            off.Motors.Zip(right.Motors),
            m => Assert.True(m.First.MotorTemp.RiseSteadyC.Ci95!.Value.Contains(m.Second.MotorTemp.RiseSteadyC.Value!.Value))
        );
        Assert.All(off.Motors.Zip(right.Motors), m => Assert.Equal(m.Second.EscTemp.RiseSteadyC, m.First.EscTemp.RiseSteadyC));
    }

    // An aircraft that flew before starts warm, motors more than ESCs: this is no fault at any temperature.
    [Theory]
    [InlineData(3)]
    [InlineData(8)]
    [InlineData(20)]
    public void A_warm_start_is_no_fault(double soakC)
    {
        Flight warm = SimulatedFlight.Make(MadeTelemetry.Recipe(8) with { SoakC = soakC }).Flight with { AmbientC = 21 };
        Assert.Empty(Analyse(warm).Quality);
    }

    [Theory]
    [InlineData(16)]
    [InlineData(26)]
    public void An_ambient_some_degrees_off_the_cold_start_widens_so_that_either_may_be_true(double givenC)
    {
        FlightAnalysis right = Analyse(s_cold),
            off = Analyse(s_cold with { AmbientC = givenC });
        Assert.Equal(givenC, off.Quality.Single<AmbientContradictsStart>(QualityEffect.Widened).AmbientC);
        Assert.All(
            off.Motors.Zip(right.Motors),
            m => Assert.True(m.First.MotorTemp.RiseSteadyC.Ci95!.Value.Contains(m.Second.MotorTemp.RiseSteadyC.Value!.Value))
        );
    }

    // Half of every reading on a cold day: the start is only a few degrees below the air, and the rise is half of the true one.
    [Fact]
    public void Readings_off_by_a_factor_on_a_cold_day_widen_every_rise_up_to_the_true_one()
    {
        Flight day = s_cold.Temps((v, _) => v - 14.5) with { AmbientC = 6.5 };
        FlightAnalysis right = Analyse(day),
            half = Analyse(day.Temps((v, _) => v / 2));
        half.Quality.Single<AmbientContradictsStart>(QualityEffect.Widened);
        Assert.All(
            half.Motors.Zip(right.Motors),
            m => Assert.True(m.First.MotorTemp.RiseSteadyC.Ci95!.Value.Contains(m.Second.MotorTemp.RiseSteadyC.Value!.Value))
        );
    }

    // 21 °C is 69.8 °F: a given value of 70 is no ambient temperature, and 10 °C would be 50.
    [Theory]
    [InlineData(6)]
    [InlineData(45)]
    [InlineData(50)]
    public void An_ambient_far_off_the_cold_start_is_withheld(double givenC)
    {
        FlightAnalysis analysis = Analyse(s_cold with { AmbientC = givenC });
        AmbientContradictsStart cause = analysis.Quality.Single<AmbientContradictsStart>(QualityEffect.Withheld);
        Assert.Equal(21, cause.StartC, 0.5);
        Assert.All(analysis.Motors, m => Assert.Same(cause, m.MotorTemp.RiseSteadyC.Why));
    }

    [Fact]
    public void An_ambient_far_below_a_slightly_warm_start_is_withheld_too()
    {
        // 5 °C of residual heat from an earlier flight, and the ambient given 20 °C too low: units that were 25 °C warmer than the air
        // would differ from each other by far more than these.
        Flight warm = SimulatedFlight.Make(MadeTelemetry.Recipe(8) with { SoakC = 5 }).Flight with
        {
            AmbientC = 1,
        };
        Analyse(warm).Quality.Single<AmbientContradictsStart>(QualityEffect.Withheld);
    }

    [Fact]
    public void An_ambient_in_fahrenheit_is_no_ambient() =>
        Analyse(s_cold with { AmbientC = 69.8 }).Quality.Single<AmbientImplausible>(QualityEffect.Withheld);

    [Fact]
    public void Temperatures_in_fahrenheit_contradict_the_ambient_given_and_without_one_are_no_ambient()
    {
        Flight fahrenheit = s_cold.Temps((v, _) => 1.8 * v + 32);
        Analyse(fahrenheit).Quality.Single<AmbientContradictsStart>(QualityEffect.Withheld);
        Analyse(fahrenheit with { AmbientC = null }).Quality.Single<AmbientImplausible>(QualityEffect.Withheld);
    }

    [Theory]
    [InlineData(15)]
    [InlineData(-15)]
    public void One_unit_that_starts_apart_from_all_others_is_withheld_alone(double offC)
    {
        FlightAnalysis analysis = Analyse(s_cold.MotorTemps((v, _) => v + offC, "M3"));
        Assert.Equal("M3", Assert.Single(analysis.Quality).Motor);
        analysis.Quality.Single<UnitStartsApart>(QualityEffect.Withheld);
        Assert.False(analysis.Motors[2].MotorTemp.RiseSteadyC.IsKnown);
        Assert.True(analysis.Motors[1].MotorTemp.RiseSteadyC.IsKnown && analysis.Motors[2].EscTemp.RiseSteadyC.IsKnown);
        Assert.Equal(21, Analyse(s_cold.MotorTemps((v, _) => v + offC, "M3") with { AmbientC = null }).AmbientC!.Value, 0.5);
    }

    [Fact]
    public void A_temperature_that_does_not_follow_the_load_is_withheld()
    {
        FlightAnalysis analysis = Analyse(s_cold.MotorTemps((v, i) => v + 12 * Math.Sin(i / 90.0), "M2"));
        Assert.Equal("M2", Assert.Single(analysis.Quality, q => q.Cause is HeatingDoesNotFollowLoad).Motor);
        Assert.False(analysis.Motors[1].MotorTemp.RiseSteadyC.IsKnown);
    }

    [Fact]
    public void Coarse_steps_count_as_uncertainty()
    {
        FlightAnalysis fine = Analyse(s_cold),
            coarse = Analyse(s_cold.Temps((v, _) => Math.Round(v / 5) * 5));
        Assert.Equal(5, coarse.Quality.Single<TemperatureStepsCoarse>(QualityEffect.Widened).StepC);
        Assert.All(
            coarse.Motors.Zip(fine.Motors),
            m =>
                Assert.True(
                    m.First.MotorTemp.RiseSteadyC.Ci95!.Value.Width > 2 * m.Second.MotorTemp.RiseSteadyC.Ci95!.Value.Width
                        && m.First.MotorTemp.RiseSteadyC.Ci95.Value.Contains(m.Second.MotorTemp.RiseSteadyC.Value!.Value)
                )
        );
    }

    private static FlightAnalysis Analyse(Flight flight) =>
        FlightCheck.Of(flight, Trials.Hexa(1).Airframe, new() { HoverSegments = s_hover });
}
