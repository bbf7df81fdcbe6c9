using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;
using VibeCheck.FlightMaker.Damage;

namespace VibeCheck.Core.Tests.Quality;

/// <summary>Flights of two aircraft, and renumbered speed columns, are distinguished from work on one aircraft.</summary>
/// <remarks>The flights are simulated with known truth (docs/log-damage.md): no published pairs of logs with exchanged columns are
/// known.</remarks>
[Trait("Category", "Slow")]
public sealed class OtherAircraftTests
{
    // A hexa with four orders per motor: enough to recognise a rotor. Its centre of gravity is off the middle, so the speeds of its motors
    // differ in the same way in every flight.
    private static readonly DamageJob _job = DamageJob.Make(7);
    private static readonly Flight _before = SimulatedFlight.Make(Steady(_job.Before)).Flight,
        _after = SimulatedFlight.Make(Steady(_job.After)).Flight;

    private static FlightRecipe Steady(FlightRecipe recipe) =>
        recipe with
        {
            SpeedSpread = 0,
            GravityForwardM = 0.012,
            GravityRightM = 0.005,
        };

    private static Comparison Compare(Flight after) =>
        JobComparison.Run(
            new()
            {
                Title = "Two flights",
                Airframe = _job.Airframe,
                Before = [_before],
                After = [after],
            }
        );

    [Fact]
    public void Two_flights_of_one_aircraft_are_compared()
    {
        Comparison c = Compare(_after);
        Assert.DoesNotContain(c.Quality, q => q.Cause is AircraftDiffers or SpeedsRenumbered);
        Assert.True(c.Vibration.Change.IsKnown);
    }

    [Fact]
    public void Another_aircraft_with_as_many_rotors_at_the_same_speed_is_not_compared()
    {
        // Rotors and heating of another job on the same frame, as from an owner of two aircraft of one kind.
        FlightRecipe other = DamageJob.Make(13).After;
        FlightRecipe exchanged = _job.After with { Rotors = other.Rotors, MotorRiseC = other.MotorRiseC, EscRiseC = other.EscRiseC };
        Comparison c = Compare(SimulatedFlight.Make(Steady(exchanged)).Flight);
        AircraftDiffers cause = Assert.IsType<AircraftDiffers>(c.Quality.First(q => q.Cause is AircraftDiffers).Cause);
        Assert.True(cause.SpreadDb > 2, $"{cause.SpreadDb} dB");
        Assert.Equal(
            (CallKind.Unknown, CallKind.Unknown, CallKind.Unknown),
            (c.Vibration.Kind, c.MotorTemperature.Kind, c.EscTemperature.Kind)
        );
    }

    [Fact]
    public void New_propellers_on_all_motors_change_the_orders_alone_and_are_compared()
    {
        FlightRecipe other = DamageJob.Make(13).After;
        Comparison c = Compare(SimulatedFlight.Make(Steady(_job.After with { Rotors = other.Rotors })).Flight);
        Assert.DoesNotContain(c.Quality, q => q.Cause is AircraftDiffers);
        Assert.True(c.Vibration.Change.IsKnown);
    }

    [Fact]
    public void Propellers_of_two_motors_exchanged_change_their_orders_alone_and_are_compared()
    {
        RotorSource[] rotors = [.. _job.After.Rotors];
        (rotors[3], rotors[5]) = (rotors[5], rotors[3]);
        Comparison c = Compare(SimulatedFlight.Make(Steady(_job.After with { Rotors = rotors })).Flight);
        Assert.DoesNotContain(c.Quality, q => q.Cause is AircraftDiffers or SpeedsRenumbered);
        Assert.All(c.Motors, m => Assert.True(m.Orders[0].ChangeDb.IsKnown));
    }

    [Fact]
    public void Speed_columns_of_two_motors_exchanged_leave_the_total_known_and_these_motors_unknown()
    {
        string[] ids = [.. _job.Airframe.Motors.Select(m => m.Id)];
        MotorTrack[] tracks = [.. _after.Motors];

        // The two motors whose speeds differ most: exchanging equal speeds would show nothing.
        int slow = Array.IndexOf(tracks, tracks.MinBy(m => m.Rpm!.MeanOver([new(15, 45)]))),
            fast = Array.IndexOf(tracks, tracks.MaxBy(m => m.Rpm!.MeanOver([new(15, 45)])));
        (Series? a, Series? b) = (tracks[slow].Rpm, tracks[fast].Rpm);
        tracks[slow] = tracks[slow] with { Rpm = b };
        tracks[fast] = tracks[fast] with { Rpm = a };
        Comparison c = Compare(_after with { Motors = tracks });
        QualityIssue[] issues = [.. c.Quality.Where(q => q.Cause is SpeedsRenumbered)];
        Assert.Equal([.. new[] { ids[slow], ids[fast] }.Order()], [.. issues.Select(q => q.Motor!).Order()]);
        Assert.True(c.Vibration.Change.IsKnown);
        Assert.All(c.Before.Concat(c.After), f => Assert.IsType<SpeedsRenumbered>(f.YawTrim.Split.Why));
        Assert.All(c.Motors, m => Assert.Equal(m.Id != ids[slow] && m.Id != ids[fast], m.Orders[0].ChangeDb.IsKnown));
    }
}
