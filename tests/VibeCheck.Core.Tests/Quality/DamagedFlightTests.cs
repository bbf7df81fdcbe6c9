using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Quality;

/// <summary>A comparison with damage to one flight never gives a result for the vibration; the same flight without damage does.</summary>
[Trait("Category", "Slow")]
public class DamagedFlightTests
{
    // A job of the campaigns' simulator, seed chosen freely: 3 dB less vibration after the work.
    private static readonly (Flight Before, Flight After, JobTrial Trial) _job = Make(4711);

    private static (Flight Before, Flight After, JobTrial Trial) Make(int seed)
    {
        JobTrial trial = JobTrial.Make(seed, -3, 0);
        FlightRecipe Short(FlightRecipe recipe) => recipe with { HoverS = 60, ManoeuvresAtS = [], ImuGaps = [] };
        return (SimulatedFlight.Make(Short(trial.Before[0])).Flight, SimulatedFlight.Make(Short(trial.After[0])).Flight, trial);
    }

    private static Comparison Compare(Func<ImuTrack, ImuTrack> damage, bool after)
    {
        (Flight one, Flight two, JobTrial trial) = _job;
        return JobComparison.Run(
            new()
            {
                Title = "Damaged",
                Airframe = trial.Airframe,
                Before = [after ? one : one with { Imu = damage(one.Imu) }],
                After = [after ? two with { Imu = damage(two.Imu) } : two],
            }
        );
    }

    /// <summary>White noise with a normal distribution (Box and Muller, 1958).</summary>
    private static double[] Noise(int count, double deviationMps2, int seed)
    {
        var random = new Random(seed);
        double[] noise = new double[count];
        for (int n = 0; n < count; n++)
        {
            double radius = Math.Sqrt(-2 * Math.Log(1 - random.NextDouble()));
            noise[n] = deviationMps2 * (radius * Math.Cos(Math.Tau * random.NextDouble()));
        }

        return noise;
    }

    [Fact]
    public void Undamaged_flights_have_no_fault_and_an_answer()
    {
        Comparison c = Compare(imu => imu, after: true);
        Assert.Empty(c.Quality);
        Assert.All(c.Before.Concat(c.After), f => Assert.Empty(f.Quality));
        Assert.True(c.Vibration.Change.IsKnown);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Half_the_scale_shows_in_gravity(bool after) =>
        IsWithheld(Compare(imu => Each(imu, (v, _) => v / 2), after), nameof(GravityOff));

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_gain_that_drifts_by_three_decibels_shows_in_gravity(bool after) =>
        IsWithheld(
            Compare(imu => Each(imu, (v, i) => v * Math.Pow(10, 3.0 * i / imu.Count / 20)), after),
            nameof(GravityDrifts),
            nameof(GravityOff)
        );

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Twice_the_scale_of_one_axis_shows_against_the_others(bool after) =>
        IsWithheld(Compare(imu => imu with { AccXMps2 = Array.ConvertAll(imu.AccXMps2, v => 2 * v) }, after), nameof(AxisScaleDiffers));

    [Theory]
    [InlineData(5, false)]
    [InlineData(5, true)]
    [InlineData(9, false)]
    [InlineData(9, true)]
    public void A_moving_average_shows_in_the_noise_floor(int samples, bool after) =>
        IsWithheld(Compare(imu => Smoothed(imu, samples), after), nameof(RecorderFilterDiffers), nameof(NotchDiffers));

    [Theory]
    [InlineData(0.9)]
    [InlineData(0.97)]
    [InlineData(1.03)]
    [InlineData(1.1)]
    public void A_clock_that_runs_wrong_shows_in_the_lines(double scale) =>
        IsWithheld(
            Compare(
                imu => imu with { Blocks = [.. imu.Blocks.Select(b => b with { StartS = b.StartS * scale, PeriodS = b.PeriodS * scale })] },
                after: true
            ),
            nameof(LinesOffSpeeds),
            nameof(LinesDoNotFollow),
            nameof(PhaseBroken)
        );

    [Theory]
    [InlineData(1.05)]
    [InlineData(0.95)]
    public void Speeds_that_are_wrong_by_a_factor_leave_no_temperature_to_trust(double factor)
    {
        (Flight one, Flight two, JobTrial trial) = _job;
        Flight wrong = two with
        {
            Motors = [.. two.Motors.Select(m => m with { Rpm = new(m.Rpm!.TimeS, Array.ConvertAll(m.Rpm.Values, v => factor * v)) })],
        };
        Comparison c = JobComparison.Run(
            new()
            {
                Title = "Damaged",
                Airframe = trial.Airframe,
                Before = [one],
                After = [wrong],
            }
        );
        IsWithheld(c, nameof(LinesOffSpeeds));
        Assert.False(c.MotorTemperature.Change.IsKnown);
        Assert.False(c.EscTemperature.Change.IsKnown);
    }

    [Theory]
    [InlineData(1.05)]
    [InlineData(0.95)]
    public void A_rotor_that_turns_at_another_speed_than_reported_is_missed(double factor)
    {
        (Flight one, Flight two, JobTrial trial) = _job;
        Flight wrong = two with
        {
            Motors =
            [
                .. two.Motors.Select(
                    (m, i) => i > 0 ? m : m with { Rpm = new(m.Rpm!.TimeS, Array.ConvertAll(m.Rpm.Values, v => factor * v)) }
                ),
            ],
        };
        Comparison c = JobComparison.Run(
            new()
            {
                Title = "Damaged",
                Airframe = trial.Airframe,
                Before = [one],
                After = [wrong],
            }
        );
        IsWithheld(c, nameof(RotorNotDetected));
        Assert.Equal(
            two.Motors[0].MotorId,
            Assert.IsType<RotorNotDetected>(c.After[0].Quality.First(q => q.Cause is RotorNotDetected).Cause).MotorId
        );
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void An_axis_with_a_loose_contact_shows_against_the_others(bool after) =>
        IsWithheld(
            Compare(
                imu => imu with { AccXMps2 = [.. imu.AccXMps2.Select((v, i) => imu.Blocks[0].TimeOf(i) % 5 < 2 ? 0.2 * v : v)] },
                after
            ),
            nameof(AxisGainChanges)
        );

    // Gravity remains correct, so only the rates can show the fault: a rotor line changes acceleration and rotation by the same factor.
    [Theory]
    [InlineData(0.5, false)]
    [InlineData(0.5, true)]
    [InlineData(2, true)]
    public void An_accelerometer_whose_gain_changed_between_the_flights_shows_against_the_rates(double gain, bool after) =>
        IsWithheld(Compare(imu => Vibration(imu, _ => gain, rates: false), after), nameof(RatesDisagree));

    [Fact]
    public void A_gain_error_of_two_decibels_widens_the_interval_until_it_contains_the_truth()
    {
        Comparison c = Compare(imu => Vibration(imu, _ => 0.75, rates: false), after: true);
        QualityIssue issue = Assert.Single(c.Quality, q => q.Cause is RatesDisagree);
        Assert.Equal(QualityEffect.Widened, issue.Effect);
        Assert.InRange(((RatesDisagree)issue.Cause).DifferenceDb, 20 * Math.Log10(0.75) - 1, 20 * Math.Log10(0.75) + 1);
        Assert.True(c.Vibration.Change.Ci95!.Value.Contains(-3));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_gain_that_halves_in_flight_shows_against_the_rates(bool after) =>
        IsWithheld(Compare(imu => Vibration(imu, late => late ? 0.5 : 1, rates: false), after), nameof(SensorGainChanges));

    // Many logs contain no rates: then only a change common to all orders and the floor can show the fault.
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_gain_that_drifts_moves_all_orders_and_the_floor_alike(bool after)
    {
        Comparison c = Compare(
            imu =>
                Each(
                    imu,
                    axis =>
                    {
                        double mean = axis.Average();
                        return [.. axis.Select((v, i) => mean + (v - mean) * (1 - 0.4 * i / axis.Length))];
                    }
                ) with
                {
                    RateXRadps = null,
                    RateYRadps = null,
                    RateZRadps = null,
                },
            after
        );
        QualityIssue issue = Assert.Single(
            (after ? c.After : c.Before).SelectMany(f => f.Quality),
            q => q.Cause is VibrationGainDrifts { OrdersDb: < -1.5, FloorDb: < -1.5 }
        );
        Assert.Equal(QualityEffect.Widened, issue.Effect);
        Assert.True(c.Vibration.Change.Ci95!.Value.Contains(-3));
    }

    [Fact]
    public void Vibration_that_triples_in_flight_has_no_one_level() =>
        IsWithheld(Compare(imu => Vibration(imu, late => late ? 3 : 1, rates: true), after: true), nameof(PiecesDisagree));

    [Fact]
    public void A_filter_that_sets_in_during_the_flight_shows_in_the_noise_floor() =>
        IsWithheld(Compare(imu => Smoothed(imu, 9, from: imu.Count / 2), after: true), nameof(FloorChanges));

    /// <summary>Scales the deviation from the mean of each axis, with separate factors for the first and the second half of the
    /// track.</summary>
    private static ImuTrack Vibration(ImuTrack imu, Func<bool, double> gain, bool rates)
    {
        double[] Scaled(double[] values)
        {
            double mean = values.Average();
            return [.. values.Select((v, i) => mean + (v - mean) * gain(i > values.Length / 2))];
        }

        double[]? Rate(double[]? values) => values is null || !rates ? values : Scaled(values);
        return imu with
        {
            AccXMps2 = Scaled(imu.AccXMps2),
            AccYMps2 = Scaled(imu.AccYMps2),
            AccZMps2 = Scaled(imu.AccZMps2),
            RateXRadps = Rate(imu.RateXRadps),
            RateYRadps = Rate(imu.RateYRadps),
            RateZRadps = Rate(imu.RateZRadps),
        };
    }

    [Theory]
    [InlineData(0.5, false)]
    [InlineData(1, true)]
    [InlineData(2, true)]
    public void Compressed_peaks_show_in_the_shape_of_the_signal(double deviations, bool after) =>
        IsWithheld(
            Compare(
                imu =>
                    Each(
                        imu,
                        axis =>
                        {
                            double mean = axis.Average(),
                                size = deviations * Math.Sqrt(axis.Average(v => (v - mean) * (v - mean)));
                            return Array.ConvertAll(axis, v => mean + size * Math.Tanh((v - mean) / size));
                        }
                    ),
                after
            ),
            nameof(PeaksFlattened)
        );

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void An_axis_that_holds_noise_alone_loses_its_orders(bool after) =>
        IsWithheld(
            Compare(imu => imu with { AccYMps2 = Noise(imu.Count, deviationMps2: 0.5, seed: 12) }, after),
            nameof(AxisLosesOrders),
            nameof(AxisScaleDiffers),
            nameof(RatesDisagree)
        );

    [Theory]
    [InlineData(20, false)]
    [InlineData(500, true)]
    public void Rows_in_a_wrong_order_under_even_stamps_raise_the_floor(int apart, bool after) =>
        IsWithheld(
            Compare(
                imu =>
                {
                    var random = new Random(13);
                    double[] keys = [.. Enumerable.Range(0, imu.Count).Select(i => i + apart * random.NextDouble())];
                    int[] rows = [.. Enumerable.Range(0, imu.Count)];
                    Array.Sort(keys, rows);
                    return Each(imu, axis => Array.ConvertAll(rows, r => axis[r]));
                },
                after
            ),
            nameof(FloorRaised),
            nameof(LinesDoNotFollow),
            nameof(PhaseBroken),
            nameof(ChangeUnsupported),
            nameof(RecorderFilterDiffers)
        );

    [Theory]
    [InlineData(1, false)]
    [InlineData(57.29577951308232, true)]
    public void A_rate_of_turn_in_a_column_of_acceleration_shows_beside_the_rate(double unit, bool after) =>
        IsWithheld(
            Compare(imu => imu with { AccXMps2 = [.. imu.RateXRadps!.Select(r => Math.Round(unit * r, 4))] }, after),
            nameof(RateInAcceleration)
        );

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void The_rows_of_two_flights_in_turn_show_as_images_of_the_lines(bool after)
    {
        ImuTrack other = (after ? _job.Before : _job.After).Imu;
        double[] Alternate(double[] own, double[] others) => [.. own.Select((v, i) => i % 2 == 1 && i < others.Length ? others[i] : v)];
        IsWithheld(
            Compare(
                imu =>
                    imu with
                    {
                        AccXMps2 = Alternate(imu.AccXMps2, other.AccXMps2),
                        AccYMps2 = Alternate(imu.AccYMps2, other.AccYMps2),
                        AccZMps2 = Alternate(imu.AccZMps2, other.AccZMps2),
                    },
                after
            ),
            nameof(RowsAlternate)
        );
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Samples_taken_unevenly_under_even_stamps_show_in_the_residual_beside_the_lines(bool after) =>
        IsWithheld(
            Compare(
                imu =>
                {
                    var random = new Random(14);
                    double[] late = [.. Enumerable.Range(0, imu.Count).Select(_ => 1.4 * (random.NextDouble() - 0.5))];
                    double At(double[] values, int i)
                    {
                        double at = Math.Clamp(i + late[i], 0, values.Length - 1.001);
                        return values[(int)at] + (at - (int)at) * (values[(int)at + 1] - values[(int)at]);
                    }

                    double[] Taken(double[] values) => [.. values.Select((_, i) => At(values, i))];
                    return Each(imu, Taken) with
                    {
                        RateXRadps = Taken(imu.RateXRadps!),
                        RateYRadps = Taken(imu.RateYRadps!),
                        RateZRadps = Taken(imu.RateZRadps!),
                    };
                },
                after
            ),
            nameof(SamplesTakenUnevenly)
        );

    [Theory]
    [InlineData(0.5, false)]
    [InlineData(1, true)]
    public void A_sensor_that_cannot_follow_shows_in_steps_of_one_size(double deviations, bool after) =>
        IsWithheld(
            Compare(
                imu =>
                    Each(
                        imu,
                        axis =>
                        {
                            double mean = axis.Average(),
                                most = deviations * Math.Sqrt(axis.Average(v => (v - mean) * (v - mean))),
                                last = axis[0];
                            return Array.ConvertAll(axis, v => last += Math.Clamp(v - last, -most, most));
                        }
                    ),
                after
            ),
            nameof(SlewLimited)
        );

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Steps_coarser_than_the_vibration_hide_it(bool after) =>
        IsWithheld(Compare(imu => InSteps(imu, 2.5 * Deviation(imu.AccZMps2)), after), nameof(AccelerationStepsCoarse));

    // A third of the deviation adds noise of 1 % of the power, and takes nothing from the lines.
    [Fact]
    public void Steps_finer_than_the_vibration_leave_the_answer()
    {
        Comparison fine = Compare(imu => imu, after: true),
            coarse = Compare(imu => InSteps(imu, Deviation(imu.AccZMps2) / 3), after: true);
        Assert.Equal(fine.Vibration.Change.Value!.Value, coarse.Vibration.Change.Value!.Value, tolerance: 0.05);
        Assert.Equal(fine.Verdict, coarse.Verdict);
        Assert.DoesNotContain(coarse.After[0].Quality, q => q.Cause is AccelerationStepsCoarse);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_strong_noise_on_one_axis_alone_shows_in_its_floor(bool after) =>
        IsWithheld(
            Compare(imu => imu with { AccXMps2 = Noise(imu.Count, deviationMps2: 4, seed: 15) }, after),
            nameof(AxisFloorDiffers),
            nameof(AxisLosesOrders),
            nameof(AxisScaleDiffers)
        );

    [Fact]
    public void A_narrow_notch_at_order_1_of_all_motors_shows_against_the_rates() =>
        IsWithheld(
            Compare(
                imu =>
                {
                    // Constrained biquad notch: zeros on the unit circle, poles just inside (J. O. Smith, Introduction to Digital Filters,
                    // 2007, "notch filter").
                    double hz = _job.After.Motors.Average(m => m.Rpm!.Values.Where(v => v > 500).Average()) / 60,
                        w = Math.Tau * hz / imu.RateHz,
                        r = 0.97;
                    double[] Filtered(double[] x)
                    {
                        double[] y = new double[x.Length];
                        for (int i = 0; i < x.Length; i++)
                        {
                            double Before(double[] of, int by) => i >= by ? of[i - by] : x[0];
                            y[i] =
                                x[i]
                                - 2 * Math.Cos(w) * Before(x, 1)
                                + Before(x, 2)
                                + 2 * r * Math.Cos(w) * Before(y, 1)
                                - r * r * Before(y, 2);
                        }

                        return y;
                    }

                    return Each(imu, Filtered);
                },
                after: true
            ),
            nameof(RatesDisagree),
            nameof(NotchDiffers),
            nameof(GravityDiffers),
            nameof(GravityOff)
        );

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void One_flight_written_again_is_no_second_flight(bool after)
    {
        (Flight one, Flight two, JobTrial trial) = _job;
        Flight source = after ? one : two;
        Flight again = source with
        {
            Imu = Each(source.Imu, axis => [.. axis.Select((v, i) => i > 0 ? 0.7 * v + 0.3 * axis[i - 1] : v)]),
            Motors =
            [
                .. source.Motors.Select(m => m with { Rpm = new(m.Rpm!.TimeS, [.. m.Rpm.Values.Select((v, i) => v + 3 * Math.Sin(i))]) }),
            ],
        };
        Comparison c = JobComparison.Run(
            new()
            {
                Title = "Twice",
                Airframe = trial.Airframe,
                Before = [after ? one : again],
                After = [after ? again : two],
            }
        );
        Assert.InRange(Assert.IsType<FlightsAreOne>(c.Quality.First(q => q.Cause is FlightsAreOne).Cause).Likeness, 0.85, 1);
        Assert.Equal(
            (CallKind.Unknown, CallKind.Unknown, CallKind.Unknown),
            (c.Vibration.Kind, c.MotorTemperature.Kind, c.EscTemperature.Kind)
        );
    }

    [Fact]
    public void Speeds_of_two_flights_wander_each_in_its_own_way() =>
        Assert.InRange(OneFlightTwice.Likeness(_job.Before, _job.After)!.Value, -1, 0.7);

    private static double Deviation(double[] values)
    {
        double mean = values.Average();
        return Math.Sqrt(values.Average(v => (v - mean) * (v - mean)));
    }

    private static ImuTrack InSteps(ImuTrack imu, double stepMps2) =>
        Each(imu, axis => Array.ConvertAll(axis, v => Math.Round(v / stepMps2) * stepMps2)) with
        {
            AccStepsMps2 = [stepMps2, stepMps2, stepMps2],
        };

    private static ImuTrack Each(ImuTrack imu, Func<double[], double[]> change) =>
        imu with
        {
            AccXMps2 = change(imu.AccXMps2),
            AccYMps2 = change(imu.AccYMps2),
            AccZMps2 = change(imu.AccZMps2),
        };

    private static void IsWithheld(Comparison c, params string[] causes)
    {
        QualityIssue[] issues = [.. c.Quality, .. c.Before.Concat(c.After).SelectMany(f => f.Quality)];
        Assert.True(
            c.Vibration is { Kind: CallKind.Unknown, Change.IsKnown: false },
            $"{c.Vibration.Change}; " + string.Join("; ", issues.Select(i => $"{i.Effect} {i.Cause}"))
        );
        Assert.True(
            issues.Any(i => i.Effect == QualityEffect.Withheld && causes.Contains(i.Cause.GetType().Name)),
            string.Join("; ", issues.Select(i => $"{i.Effect} {i.Cause}"))
        );
    }

    private static ImuTrack Each(ImuTrack imu, Func<double, int, double> change)
    {
        double[] Changed(double[] values) => [.. values.Select(change)];
        return imu with { AccXMps2 = Changed(imu.AccXMps2), AccYMps2 = Changed(imu.AccYMps2), AccZMps2 = Changed(imu.AccZMps2) };
    }

    private static ImuTrack Smoothed(ImuTrack imu, int samples, int from = 0)
    {
        double[] Mean(double[] values) => [.. values.Select((v, i) => i < from ? v : Around(values, i, samples / 2))];
        return imu with { AccXMps2 = Mean(imu.AccXMps2), AccYMps2 = Mean(imu.AccYMps2), AccZMps2 = Mean(imu.AccZMps2) };
    }

    private static double Around(double[] values, int at, int reach)
    {
        double sum = 0;
        int first = Math.Max(0, at - reach),
            last = Math.Min(values.Length - 1, at + reach);
        for (int i = first; i <= last; i++)
        {
            sum += values[i];
        }

        return sum / (last - first + 1);
    }
}
