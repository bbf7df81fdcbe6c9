using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Tests.Comparisons;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests.Quality;

/// <summary>Compares temperatures before with temperatures after.</summary>
public sealed class TemperaturePairQualityTests
{
    private static readonly MadeFlights s_before = new() { MotorRiseC = [38, 30, 34, 27, 36, 32], EscRiseC = [20, 15, 18, 14, 19, 16] };

    [Fact]
    public void Flights_without_a_change_and_with_real_changes_have_no_fault()
    {
        Assert.Empty(MadeFlights.Compare(s_before, s_before).Quality);
        Assert.Empty(
            MadeFlights
                .Compare(s_before, s_before with { MotorRiseC = [32, 24, 28, 21, 30, 26], EscRiseC = [14, 9, 12, 8, 13, 10] })
                .Quality
        );

        // A single repaired motor falls to the level of the others.
        Assert.Empty(MadeFlights.Compare(s_before with { MotorRiseC = [55, 30, 34, 27, 36, 32] }, s_before).Quality);
    }

    [Fact]
    public void Motor_and_esc_columns_that_change_places_are_withheld()
    {
        Comparison c = MadeFlights.Compare(s_before, s_before with { MotorRiseC = s_before.EscRiseC, EscRiseC = s_before.MotorRiseC });
        Assert.Equal("M1, M2, M3, M4, M5, M6", c.Quality.Single<MotorAndEscSwapped>(QualityEffect.Withheld).Motors);
        Assert.Equal((CallKind.Unknown, CallKind.Unknown), (c.MotorTemperature.Kind, c.EscTemperature.Kind));
    }

    [Fact]
    public void At_one_motor_alone_they_are_withheld_there()
    {
        Comparison c = MadeFlights.Compare(
            s_before,
            s_before with
            {
                MotorRiseC = [38, 30, 34, 14, 36, 32],
                EscRiseC = [20, 15, 18, 27, 19, 16],
            }
        );
        Assert.Equal("M4", c.Quality.Single<MotorAndEscSwapped>(QualityEffect.Withheld).Motors);
        Assert.False(c.Motors[3].MotorTemp.Change.IsKnown);
        Assert.True(c.Motors[0].MotorTemp.Change.IsKnown);
    }

    [Fact]
    public void Renumbered_motors_are_withheld_by_motor_and_the_hottest_stays_known()
    {
        double[] Turned(double[] of) => [.. of.Skip(1), of[0]];
        Comparison c = MadeFlights.Compare(
            s_before,
            s_before with
            {
                MotorRiseC = Turned(s_before.MotorRiseC),
                EscRiseC = Turned(s_before.EscRiseC),
            }
        );
        c.Quality.Single<MotorsRenumbered>(QualityEffect.Withheld);
        Assert.Equal(0, c.MotorTemperature.Change.Value!.Value, 1e-9);
        Assert.All(c.Motors, m => Assert.False(m.MotorTemp.Change.IsKnown));
    }

    [Fact]
    public void Two_motors_with_exchanged_temperatures_are_withheld_and_the_others_are_not()
    {
        Comparison c = MadeFlights.Compare(s_before, s_before with { MotorRiseC = [27, 30, 34, 38, 36, 32] });
        Assert.Equal("M1, M4", c.Quality.Single<MotorsRenumbered>(QualityEffect.Withheld).Motors);
        Assert.False(c.Motors[0].MotorTemp.Change.IsKnown);
        Assert.True(c.Motors[1].MotorTemp.Change.IsKnown && c.Motors[0].EscTemp.Change.IsKnown && c.MotorTemperature.Change.IsKnown);
    }

    [Theory]
    [InlineData(0.8)]
    [InlineData(1.25)]
    public void Steps_that_no_logger_prints_are_another_scale(double factor)
    {
        Comparison c = MadeFlights.Compare(s_before, s_before with { TempFactor = factor });
        Assert.Contains(c.Quality, q => q is { Cause: TemperatureStepsDiffer, Effect: QualityEffect.Withheld });
        Assert.Equal((CallKind.Unknown, CallKind.Unknown), (c.MotorTemperature.Kind, c.EscTemperature.Kind));
    }

    [Fact]
    public void One_factor_for_all_rises_at_one_load_is_another_scale()
    {
        double[] Scaled(double[] of) => [.. of.Select(r => 1.8 * r)];
        Comparison c = MadeFlights.Compare(
            s_before,
            s_before with
            {
                MotorRiseC = Scaled(s_before.MotorRiseC),
                EscRiseC = Scaled(s_before.EscRiseC),
            }
        );
        Assert.Equal(1.8, c.Quality.Single<RisesScaledAlike>(QualityEffect.Withheld).Ratio, 1e-6);
    }

    // Without support from other data a change of 25 °C or more is a fault of the reading; supported by the ESC's temperature it is a
    // change of the motor.
    [Fact]
    public void A_very_large_change_needs_support_from_other_data()
    {
        MadeFlights hot = s_before with { MotorRiseC = [70, 30, 34, 27, 36, 32] };
        Comparison alone = MadeFlights.Compare(hot, s_before);
        Assert.Equal(-32, alone.Quality.Single<TemperatureChangeUnsupported>(QualityEffect.Withheld).ChangeC, 1e-9);
        Assert.Equal(CallKind.Unknown, alone.MotorTemperature.Kind);
        Comparison supported = MadeFlights.Compare(hot with { EscRiseC = [32, 15, 18, 14, 19, 16] }, s_before);
        Assert.Empty(supported.Quality);
        Assert.Equal(CallKind.Improved, supported.MotorTemperature.Kind);
    }

    [Theory]
    [InlineData(1.05, QualityEffect.Repaired)]
    [InlineData(1.2, QualityEffect.Widened)]
    [InlineData(0.6, QualityEffect.Withheld)]
    public void Units_that_all_have_another_time_constant_are_widened_or_withheld(double ratio, QualityEffect effect)
    {
        Comparison alike = MadeFlights.Compare(s_before, s_before),
            c = MadeFlights.Compare(s_before, s_before with { TauS = 70 * ratio });
        if (effect == QualityEffect.Repaired)
        {
            Assert.Empty(c.Quality);
            return;
        }

        Assert.Equal(ratio, c.Quality.Single<TimeConstantsDiffer>(effect).Ratio, 1e-6);
        Assert.Equal(effect == QualityEffect.Widened, c.MotorTemperature.Change.IsKnown);
        Assert.True(
            effect == QualityEffect.Withheld
                || c.MotorTemperature.Change.Ci95!.Value.Width > 1.5 * alike.MotorTemperature.Change.Ci95!.Value.Width
        );
    }

    // A change of 20 % adds ln(1.2)/2 of the rise as standard uncertainty: 4.6 °C for rises of 50 °C, and the interval of their change is
    // ± 13 °C.
    [Fact]
    public void High_rises_with_another_time_constant_are_withheld_where_the_interval_would_exceed_any_change_by_work_on_mounts()
    {
        MadeFlights hot = s_before with { MotorRiseC = [52, 50, 51, 49, 50, 48], EscRiseC = [51, 49, 50, 48, 50, 47] };
        Comparison c = MadeFlights.Compare(hot, hot with { TauS = 70 * 1.2 });
        c.Quality.Single<TimeConstantsDiffer>(QualityEffect.Withheld);
        Assert.False(c.MotorTemperature.Change.IsKnown);
    }

    // The hottest of six compared with the hottest of five others gives no information on the job.
    [Fact]
    public void The_hottest_unit_must_be_known_on_both_sides()
    {
        Comparison hottest = MadeFlights.Compare(s_before, s_before with { MissingMotorTemp = "M1" });
        Assert.Equal(new HottestUnitMissing("M1", MissingAfter: true), hottest.MotorTemperature.Why);
        Assert.True(hottest.EscTemperature.Change.IsKnown && hottest.Motors[1].MotorTemp.Change.IsKnown);

        // M4 is 11 °C below the hottest, so it cannot be the hottest.
        Assert.True(MadeFlights.Compare(s_before, s_before with { MissingMotorTemp = "M4" }).MotorTemperature.Change.IsKnown);

        // The same holds for a unit that no flight reads.
        Assert.True(
            MadeFlights
                .Compare(s_before with { MissingMotorTemp = "M1" }, s_before with { MissingMotorTemp = "M1" })
                .MotorTemperature.Change.IsKnown
        );
    }
}
