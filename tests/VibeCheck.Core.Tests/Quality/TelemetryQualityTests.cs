using VibeCheck.Core.Quality;
using VibeCheck.Core.Tests.Flights;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Quality;

public sealed class TelemetryQualityTests
{
    private static readonly Flight s_healthy = MadeTelemetry.Flight();

    private static readonly double[] s_ratesHz = [1, 2, 5, 10, 20, 50];

    // Telemetry as written by loggers: all usual rates, whole degrees and tenths, warm starts, coarse speeds, speeds that are smoothed or
    // noisy.
    [Fact]
    [Trait("Category", "Slow")]
    public void Healthy_telemetry_of_every_form_has_no_fault_and_stays_as_it_is()
    {
        for (int seed = 0; seed < 60; seed++)
        {
            FlightRecipe recipe = MadeTelemetry.Recipe(1000 + seed) with
            {
                TelemetryHz = s_ratesHz[seed % 6],
                TemperatureStepC = seed % 2 == 0 ? 1 : 0.1,
                TelemetryStepRpm =
                    seed % 5 == 0 ? 100
                    : seed % 5 == 1 ? 25
                    : 1,
                TelemetrySmoothingS = seed % 3 == 0 ? 0.3 : 0,
                TelemetryNoiseRpm = seed % 7 == 0 ? 60 : 3,
                SoakC = seed % 4 == 0 ? 6 : 0,
                MotorTauS = 18 + 2 * (seed % 30),
                EscTauS = 16 + (seed % 30),
                HoverS = 50 + 5 * (seed % 20),
                AmbientC = -10 + seed,
                ManoeuvresAtS = seed % 3 == 0 ? [20, 30] : [],
                GroundS = seed % 6 == 0 ? 0.5 : 8,
            };
            Flight flight = SimulatedFlight.Make(recipe).Flight;
            (Flight repaired, IReadOnlyList<QualityIssue> issues) = MadeTelemetry.Judge(flight);
            Assert.True(issues.Count == 0, $"seed {seed}: {string.Join("; ", issues.Select(i => $"{i.Effect} {i.Cause}"))}");
            Assert.Same(flight, repaired);
        }
    }

    [Theory]
    [InlineData(0, 0.01)]
    [InlineData(0, 0.25)]
    [InlineData(255, 0.05)]
    [InlineData(-1, 0.25)]
    [InlineData(127, 0.05)]
    [InlineData(-40, 0.25)]
    [InlineData(9999, 0.25)]
    [InlineData(32767, 0.05)]
    public void Fillers_among_temperatures_are_left_out_and_no_reading_with_them(double filler, double share)
    {
        var random = new Random(3);
        Flight damaged = s_healthy.Temps((v, _) => random.NextDouble() < share ? filler : v);
        (Flight repaired, IReadOnlyList<QualityIssue> issues) = MadeTelemetry.Judge(damaged);
        Assert.Equal(share, issues.Single<ReadingsDropped>(QualityEffect.Repaired).MostShare, 0.5 * share);
        Assert.All(repaired.Motors, m => Assert.DoesNotContain(filler, m.MotorTempC!.Values));
        Assert.All(
            repaired.Motors,
            m =>
                Assert.InRange(
                    m.MotorTempC!.Count,
                    0.99 * damaged.Motors[0].MotorTempC!.Values.Count(v => v != filler) * 0.95,
                    m.MotorTempC.Count
                )
        );
    }

    // A rotor does not stop and start again within a second: a speed of 0 between speeds in flight is a missing value.
    [Theory]
    [InlineData(0.01)]
    [InlineData(0.05)]
    [InlineData(0.25)]
    [InlineData(0.6)]
    public void Zero_speeds_in_flight_are_missing_and_those_on_the_ground_stay(double share)
    {
        var random = new Random(4);
        Flight damaged = s_healthy.Speeds((v, _) => random.NextDouble() < share ? 0 : v);
        (Flight repaired, IReadOnlyList<QualityIssue> issues) = MadeTelemetry.Judge(damaged);
        issues.Single<ReadingsDropped>(QualityEffect.Repaired);
        foreach (MotorTrack motor in repaired.Motors)
        {
            double[] amid = [.. motor.Rpm!.Values.Where((_, i) => motor.Rpm.TimeS[i] is > 12 and < 98)];
            Assert.DoesNotContain(0, amid);
            Assert.True(motor.Rpm.TimeS[0] < 1, "the time on the ground is kept");
        }
    }

    [Theory]
    [InlineData(0.05)]
    [InlineData(0.25)]
    public void Speeds_at_the_end_of_the_counter_are_left_out(double share)
    {
        var random = new Random(5);
        (Flight repaired, IReadOnlyList<QualityIssue> issues) = MadeTelemetry.Judge(
            s_healthy.Speeds((v, _) => random.NextDouble() < share ? 65535 : v)
        );
        issues.Single<ReadingsDropped>(QualityEffect.Repaired);
        Assert.All(repaired.Motors, m => Assert.True(m.Rpm!.Values.Max() < 10_000));
    }

    [Fact]
    public void A_speed_that_freezes_in_flight_is_left_out_from_there_on()
    {
        (Flight repaired, IReadOnlyList<QualityIssue> issues) = MadeTelemetry.Judge(
            s_healthy.Speeds(Hold(s_healthy.Motors[1].Rpm!, 50), "M2")
        );
        Assert.Equal("M2", issues.Single<SpeedsFrozen>(QualityEffect.Repaired).Motors);
        Assert.InRange(repaired.Track("M2")!.Rpm!.TimeS[^1], 49, 51);
        Assert.Equal(s_healthy.Track("M1")!.Rpm!.Count, repaired.Track("M1")!.Rpm!.Count);
    }

    [Fact]
    public void Reports_that_are_written_again_are_left_out_with_their_temperatures()
    {
        Func<double, int, double> Of(Series? s) => (_, i) => s!.Values[i - i % 40];
        Flight damaged = s_healthy.With(m =>
            m with
            {
                Rpm = m.Rpm!.Map(Of(m.Rpm)),
                Command = m.Command!.Map(Of(m.Command)),
                CurrentA = m.CurrentA!.Map(Of(m.CurrentA)),
                VoltageV = m.VoltageV!.Map(Of(m.VoltageV)),
                MotorTempC = m.MotorTempC!.Map(Of(m.MotorTempC)),
                EscTempC = m.EscTempC!.Map(Of(m.EscTempC)),
            }
        );
        (Flight repaired, IReadOnlyList<QualityIssue> issues) = MadeTelemetry.Judge(damaged);
        Assert.InRange(issues.Single<ReportsRepeated>(QualityEffect.Repaired).LongestS, 1.8, 2.1);
        Assert.InRange(repaired.Motors[0].MotorTempC!.Count, 40, 600);
    }

    // The command comes from the controller: it changes while the ESC's report is frozen.
    [Fact]
    public void Frozen_reports_under_a_live_command_are_left_out()
    {
        // 12 of every 60 reports (3 s) repeat the previous one: a fifth.
        Func<double, int, double> Of(Series? s) => (_, i) => s!.Values[i % 60 < 12 ? Math.Max(0, i - i % 60 - 1) : i];
        Flight damaged = s_healthy.With(
            m =>
                m with
                {
                    Rpm = m.Rpm!.Map(Of(m.Rpm)),
                    CurrentA = m.CurrentA!.Map(Of(m.CurrentA)),
                    VoltageV = m.VoltageV!.Map(Of(m.VoltageV)),
                },
            "M3"
        );
        ReportsRepeated told = MadeTelemetry.Judge(damaged).Issues.Single<ReportsRepeated>(QualityEffect.Repaired);
        Assert.Equal("M3", told.Motors);
        Assert.InRange(told.MostShare, 0.17, 0.23);
    }

    [Fact]
    public void Rows_written_more_often_than_the_esc_reports_are_not_frozen()
    {
        // Four or five rows per report, all with the same ESC report, under a command that changes with each row.
        Func<double, int, double> Of(Series? s) => (_, i) => s!.Values[i - i % 9 % 5];
        Flight slow = s_healthy.With(m =>
            m with
            {
                Rpm = m.Rpm!.Map(Of(m.Rpm)),
                CurrentA = m.CurrentA!.Map(Of(m.CurrentA)),
                VoltageV = m.VoltageV!.Map(Of(m.VoltageV)),
            }
        );
        Assert.DoesNotContain(MadeTelemetry.Judge(slow).Issues, i => i.Cause is ReportsRepeated);
    }

    [Fact]
    public void One_speed_for_several_motors_is_no_speed_of_any()
    {
        Series one = s_healthy.Motors[2].Rpm!;
        (Flight repaired, IReadOnlyList<QualityIssue> issues) = MadeTelemetry.Judge(s_healthy.With(m => m with { Rpm = one }, "M1", "M2"));
        Assert.Equal("M1, M2, M3", issues.Single<SpeedsIdentical>(QualityEffect.Repaired).Motors);
        Assert.All(repaired.Motors.Take(3), m => Assert.Null(m.Rpm));
        Assert.All(repaired.Motors.Skip(3), m => Assert.NotNull(m.Rpm));
    }

    [Theory]
    [InlineData(0.5)]
    [InlineData(2)]
    public void A_speed_out_of_all_proportion_is_left_out(double factor)
    {
        (Flight repaired, IReadOnlyList<QualityIssue> issues) = MadeTelemetry.Judge(s_healthy.Speeds((v, _) => factor * v, "M4"));
        Assert.Equal(factor, issues.Single<SpeedOutOfProportion>(QualityEffect.Repaired).RatioToOthers, 0.03);
        Assert.Null(repaired.Track("M4")!.Rpm);
    }

    [Fact]
    public void A_tail_heavy_aircraft_is_in_proportion() =>
        Assert.Empty(MadeTelemetry.Judge(s_healthy.Speeds((v, _) => 1.2 * v, "M3", "M4")).Issues);

    [Fact]
    public void Temperature_columns_that_are_copies_are_withheld()
    {
        Series one = s_healthy.Motors[0].MotorTempC!;
        IReadOnlyList<QualityIssue> issues = MadeTelemetry.Judge(s_healthy.With(m => m with { MotorTempC = one })).Issues;
        issues.Single<TemperaturesIdentical>(QualityEffect.Withheld);
        Assert.Equal(6, issues.Count);
        Assert.All(issues, i => Assert.Equal(Answers.MotorTemperatures, i.Affects));
        MadeTelemetry
            .Judge(s_healthy.With(m => m with { EscTempC = m.MotorTempC }, "M5"))
            .Issues.Single<TemperaturesIdentical>(QualityEffect.Withheld);
    }

    // The whole-degree columns of this flight: at 30 s a motor is still warming up (τ 70 s), at 70 s it still gains 0.2 °C per second.
    [Theory]
    [InlineData(30)]
    [InlineData(50)]
    [InlineData(70)]
    public void A_temperature_that_freezes_while_warming_up_is_cut_there(double fromS)
    {
        Flight damaged = s_healthy.With(m => m with { MotorTempC = m.MotorTempC!.Map(Hold(m.MotorTempC, fromS)) }, "M3");
        (Flight repaired, IReadOnlyList<QualityIssue> issues) = MadeTelemetry.Judge(damaged);
        TemperaturesFrozen cause = issues.Single<TemperaturesFrozen>(fromS > 46 ? QualityEffect.Repaired : QualityEffect.Withheld);
        Assert.InRange(cause.FromS, fromS - 8, fromS + 0.1);
        Assert.Equal("M3", Assert.Single(issues).Motor);
        Assert.InRange(repaired.Track("M3")!.MotorTempC!.TimeS[^1], fromS - 8, fromS + 0.1);
    }

    [Fact]
    public void All_temperatures_that_freeze_together_are_seen_where_one_alone_would_not_be()
    {
        (_, IReadOnlyList<QualityIssue> issues) = MadeTelemetry.Judge(
            s_healthy.With(m =>
                m with
                {
                    MotorTempC = m.MotorTempC!.Map(Hold(m.MotorTempC, 82)),
                    EscTempC = m.EscTempC!.Map(Hold(m.EscTempC, 82)),
                }
            )
        );
        Assert.True(issues.Count(i => i.Cause is TemperaturesFrozen) >= 6, string.Join("; ", issues));
    }

    [Fact]
    public void A_ceiling_is_seen_and_the_readings_at_it_are_left_out()
    {
        (Flight repaired, IReadOnlyList<QualityIssue> issues) = MadeTelemetry.Judge(s_healthy.MotorTemps((v, _) => Math.Min(v, 40)));
        Assert.Equal(40, issues.Single<TemperaturesCapped>(QualityEffect.Repaired).AtC);
        Assert.All(repaired.Motors, m => Assert.Single(m.MotorTempC!.Values, v => v == 40));
    }

    [Fact]
    public void A_floor_is_seen_and_the_readings_at_it_are_left_out()
    {
        (Flight repaired, IReadOnlyList<QualityIssue> issues) = MadeTelemetry.Judge(s_healthy.MotorTemps((v, _) => Math.Max(v, 32)));
        issues.Single<TemperaturesFloored>(QualityEffect.Repaired);
        Assert.True(repaired.Motors[0].MotorTempC!.TimeS[0] > 15);
    }

    [Fact]
    public void Kelvin_and_tenths_under_degrees_are_withheld()
    {
        IReadOnlyList<QualityIssue> kelvin = MadeTelemetry.Judge(s_healthy.Temps((v, _) => v + 273.15)).Issues;
        Assert.InRange(kelvin.Single<TemperaturesImplausible>(QualityEffect.Withheld).LeastC, 290, 300);
        Assert.Equal(12, kelvin.Count);
        MadeTelemetry.Judge(s_healthy.MotorTemps((v, _) => 10 * v)).Issues.Single<TemperaturesImplausible>(QualityEffect.Withheld);
    }

    [Fact]
    public void A_sensor_that_fails_in_flight_is_used_up_to_the_failure()
    {
        (Flight repaired, IReadOnlyList<QualityIssue> issues) = MadeTelemetry.Judge(s_healthy.MotorTemps((v, i) => i > 1200 ? 0 : v, "M6"));
        issues.Single<ReadingsDropped>(QualityEffect.Repaired);
        Assert.Equal(1201, repaired.Track("M6")!.MotorTempC!.Count);
    }

    [Fact]
    public void A_jump_that_no_motor_can_make_is_withheld() =>
        MadeTelemetry
            .Judge(s_healthy.MotorTemps((v, i) => i > 1200 ? v + 25 : v, "M6"))
            .Issues.Single<TemperatureJumps>(QualityEffect.Withheld);

    [Fact]
    public void Two_flights_in_one_file_show_by_temperatures_that_jump_together()
    {
        QualityIssue joined = Assert.Single(
            MadeTelemetry.Judge(s_healthy.Temps((v, i) => i > 1200 ? v - 15 : v)).Issues,
            i => i.Cause is FlightsJoined
        );
        Assert.Equal((QualityEffect.Withheld, Answers.All), (joined.Effect, joined.Affects));
        Assert.Equal(12, Assert.IsType<FlightsJoined>(joined.Cause).Columns);

        // A jump of three motors on one board does not indicate another flight.
        Assert.DoesNotContain(
            MadeTelemetry.Judge(s_healthy.MotorTemps((v, i) => i > 1200 ? v + 25 : v, "M4", "M5", "M6")).Issues,
            i => i.Cause is FlightsJoined
        );
    }

    [Fact]
    public void Telemetry_that_was_checked_once_is_not_checked_again()
    {
        var random = new Random(3);
        Flight once = TelemetryQuality.Checked(s_healthy.Temps((v, _) => random.NextDouble() < 0.1 ? 0 : v), Trials.Hexa(1).Airframe);
        Assert.Same(once, TelemetryQuality.Checked(once, Trials.Hexa(1).Airframe));
        Assert.Single(once.Quality);
    }

    private static Func<double, int, double> Hold(Series? held, double fromS)
    {
        Series series = held!;
        int at = series.FirstAtOrAfter(fromS);
        return (v, i) => i > at ? series.Values[at] : v;
    }
}
