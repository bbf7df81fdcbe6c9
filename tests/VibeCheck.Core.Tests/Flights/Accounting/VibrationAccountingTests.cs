using VibeCheck.Core.Airframes;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Flights.Accounting;

/// <summary>A simulated quad with a known signal added to its vibration.</summary>
public sealed class VibrationAccountingTests
{
    private static readonly Airframe s_quad = DemoAirframes.Ring(4, "Quad", 3, 0.3, 2);
    private static readonly SimulatedFlight s_plain = Made(1);

    [Fact]
    public void Mean_squares_of_the_parts_add_up_to_the_total()
    {
        VibrationAccount account = Account(Knocked(WithLine(s_plain.Flight, 0.5, 0.6), 12));
        double parts = account.Parts.Sum(p => Math.Pow(p.Mps2.Value!.Value, 2)),
            total = Math.Pow(account.TotalMps2.Value!.Value, 2);
        Assert.InRange(parts / total, 0.98, 1.02);
        Assert.InRange(account.Parts.Sum(p => p.Share!.Value), 0.98, 1.02);
        Assert.All(account.Parts, p => Assert.True(p.Mps2.Value >= 0));
    }

    // Welch's spectra are compared with scipy.signal.welch to 1e-9 in tests/Checks; their rms in a band is calculated independently of the
    // account.
    [Fact]
    public void The_total_is_that_of_the_spectra_in_its_band()
    {
        VibrationAccount account = Account(s_plain.Flight);
        IReadOnlyList<Spectrum> spectra = Spectra.Of(s_plain.Flight.Imu, FlightCheck.Of(s_plain.Flight, s_quad).Hover.Segments, new());
        double total = Math.Sqrt(
            spectra.Where(s => s.Unit == "m/s²").Sum(s => Math.Pow(s.Rms(account.BandHz.Low, account.BandHz.High), 2))
                - Math.Pow(account.SensorNoiseMps2.Value!.Value, 2)
        );
        Assert.InRange(account.TotalMps2.Value!.Value / total, 0.99, 1.01);
        Assert.Equal(0.4 * 500, account.BandHz.High);
    }

    // White noise of density d (one-sided, m/s²/√Hz) on three axes has an rms of d·√(3·bandwidth): definition of the density.
    [Fact]
    public void Noise_that_the_sensor_shows_at_rest_is_no_vibration()
    {
        VibrationAccount account = Account(Made(1, rumble: 0).Flight);
        double noise = 0.02 * Math.Sqrt(3 * account.BandHz.Width);

        // Without broadband vibration the floor of the hover limits it to a slightly lower value.
        Assert.InRange(account.SensorNoiseMps2.Value!.Value / noise, 0.97, 1.02);
        Assert.True(account.Part(VibrationPartKind.Broadband).Mps2.Value < 0.3 * noise);
    }

    [Fact]
    public void Broadband_vibration_is_the_same_whatever_the_noise_of_the_sensor()
    {
        VibrationAccount quiet = Account(Made(1, noise: 0.002).Flight),
            noisy = Account(s_plain.Flight);
        double truth = quiet.Part(VibrationPartKind.Broadband).Mps2.Value!.Value;
        Interval ci95 = noisy.Part(VibrationPartKind.Broadband).Mps2.Ci95!.Value;
        Assert.InRange(truth, ci95.Low, ci95.High);
    }

    // W. R. Bennett, Bell System Technical Journal 27 (1948) 446-472, from memory: rounding to steps q adds q² / 12, from 0 to half the sample rate. Here
    // that is as much as all other power between the lines.
    [Fact]
    public void Broadband_vibration_is_the_same_in_a_log_with_coarse_steps()
    {
        Flight fine = InFlight(s_plain);
        VibrationAccount truth = Account(fine);
        double broadband = truth.Part(VibrationPartKind.Broadband).Mps2.Value!.Value,
            step = broadband * Math.Sqrt(12 / 3.0 * fine.Imu.RateHz / 2 / truth.BandHz.Width);
        double[] InSteps(double[] axis) => Array.ConvertAll(axis, v => Math.Round(v / step) * step);
        ImuTrack imu = fine.Imu with
        {
            AccXMps2 = InSteps(fine.Imu.AccXMps2),
            AccYMps2 = InSteps(fine.Imu.AccYMps2),
            AccZMps2 = InSteps(fine.Imu.AccZMps2),
        };
        Estimate uncorrected = Account(fine with { Imu = imu }).Part(VibrationPartKind.Broadband).Mps2;
        VibrationAccount coarse = Account(fine with { Imu = imu with { AccStepsMps2 = [step, step, step] } });
        Estimate corrected = coarse.Part(VibrationPartKind.Broadband).Mps2;
        Assert.Equal(broadband, coarse.RoundingNoiseMps2, tolerance: 1e-9);
        Assert.InRange(uncorrected.Value!.Value / broadband, 1.35, 1.5);
        Assert.InRange(corrected.Value!.Value / broadband, 0.95, 1.05);
        Assert.InRange(broadband, corrected.Ci95!.Value.Low, corrected.Ci95.Value.High);
    }

    // A payload that hums all the time, on the ground too, vibrates: its line is not sensor noise.
    [Fact]
    public void A_hum_on_the_ground_stays_vibration()
    {
        VibrationAccount hum = Account(WithLine(s_plain.Flight, null, 0.8));
        Assert.Equal(Account(s_plain.Flight).SensorNoiseMps2.Value!.Value, hum.SensorNoiseMps2.Value!.Value, 0.01);
        Assert.InRange(hum.Part(VibrationPartKind.SteadyLines).Mps2.Value!.Value, 0.76, 0.84);
    }

    [Fact]
    public void A_log_that_begins_and_ends_in_flight_does_not_show_the_noise_of_the_sensor()
    {
        Flight flight = InFlight(s_plain);
        VibrationAccount account = Account(flight);
        Assert.IsType<NoTimeAtRest>(account.SensorNoiseMps2.Why);
        Assert.Null(account.SensorNoiseMps2.Value);

        // Noise of unknown size remains in the total, which is therefore larger than with the noise subtracted.
        Assert.True(account.TotalMps2.Value > Account(s_plain.Flight).TotalMps2.Value);
    }

    // A descent with a third of the hover's vibration, all rotors turning, and without the time on the ground: calm flight is not rest,
    // with or without speeds.
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_calm_descent_is_not_taken_for_rest(bool withSpeeds)
    {
        TimeInterval hover = FlightCheck.Of(s_plain.Flight, s_quad).Hover.Segments[0];
        ImuTrack imu = s_plain.Flight.Imu;
        ContiguousSegment block = imu.Blocks[0];
        double calmFromS = hover.ToS - 12;
        double[] Calmer(double[] axis)
        {
            double mean = axis.Average();
            return
            [
                .. axis.Select((v, i) => block.TimeOf(i) < hover.FromS + 1 || block.TimeOf(i) > calmFromS ? mean + 0.33 * (v - mean) : v),
            ];
        }

        int first = (int)((hover.FromS + 1 - block.StartS) / block.PeriodS),
            count = (int)((hover.Seconds - 2) / block.PeriodS);
        double[] Cut(double[] axis) => Calmer(axis)[first..(first + count)];
        Flight flight = s_plain.Flight with
        {
            Imu = imu with
            {
                Blocks = [block with { FirstSample = 0, SampleCount = count, StartS = block.TimeOf(first) }],
                AccXMps2 = Cut(imu.AccXMps2),
                AccYMps2 = Cut(imu.AccYMps2),
                AccZMps2 = Cut(imu.AccZMps2),
                RateXRadps = null,
                RateYRadps = null,
                RateZRadps = null,
            },
            Motors = withSpeeds ? s_plain.Flight.Motors : [],
            HoverWithin = new TimeInterval(hover.FromS + 1, calmFromS - 2),
        };
        Assert.Null(FlightCheck.Of(flight, s_quad).Accounting?.SensorNoiseMps2.Value);
    }

    [Fact]
    public void The_part_of_the_rotors_is_that_of_their_orders()
    {
        double truth = s_plain.Truth.RotorVibrationMps2(FlightCheck.Of(s_plain.Flight, s_quad).Hover.Segments);
        Assert.InRange(20 * Math.Log10(Account(s_plain.Flight).Part(VibrationPartKind.RotorOrders).Mps2.Value!.Value / truth), -0.4, 0.4);
    }

    // A line is measured above the floor of its own bins; one at the limit must be detected, one at a third of it lies within the interval.
    [Fact]
    public void Where_nothing_is_found_the_interval_ends_at_the_detection_limit()
    {
        VibrationAccount plain = Account(s_plain.Flight);
        foreach (VibrationPartKind kind in new[] { VibrationPartKind.RotorLocked, VibrationPartKind.SteadyLines, VibrationPartKind.Knocks })
        {
            VibrationPart part = plain.Part(kind);
            Assert.Equal(0, part.Mps2.Value);
            Assert.InRange(part.Mps2.Ci95!.Value.High, 1e-3, 0.1 * plain.TotalMps2.Value!.Value);
        }

        double limit = plain.Part(VibrationPartKind.SteadyLines).Mps2.Ci95!.Value.High;
        SteadyLine found = Assert.Single(Account(WithLine(s_plain.Flight, null, 1.2 * limit)).SteadyLines);
        Assert.Equal(137.3, found.Hz, 0.5);
        Assert.Empty(Account(WithLine(s_plain.Flight, null, 0.2 * limit)).SteadyLines);
    }

    [Fact]
    public void The_part_of_the_rotors_is_split_by_motor_and_adds_up()
    {
        FlightAnalysis analysis = FlightCheck.Of(s_plain.Flight, s_quad);
        IReadOnlyList<MotorPart> split = RotorPartByMotor.Of(analysis.Accounting!, analysis.Motors);
        double whole = analysis.Accounting!.Part(VibrationPartKind.RotorOrders).Mps2.Value!.Value;
        Assert.Equal(["M1", "M2", "M3", "M4", null], split.Select(m => m.MotorId));
        Assert.Equal(whole * whole, split.Sum(m => m.Mps2.Value!.Value * m.Mps2.Value.Value), 0.001 * whole * whole);
        Assert.Equal(1, split.Sum(m => m.Share), 0.001);

        // The simulated motors, with orders below 0.4 of the sample rate.
        foreach ((MotorPart own, MotorTruth truth) in split.Zip(s_plain.Truth.Motors))
        {
            double made = Math.Sqrt(
                truth.Orders.Where(o => o.Order * truth.RpmMean / 60 < 200).Sum(o => Math.Pow(o.RmsMps2(analysis.Hover.Segments), 2))
            );
            Assert.InRange(20 * Math.Log10(own.Mps2.Value!.Value / made), -0.5, 0.5);
        }
    }

    [Fact]
    public void A_healthy_flight_has_no_finding_beside_its_orders() =>
        Assert.DoesNotContain(
            FlightCheck.Of(s_plain.Flight, s_quad).Findings,
            f => f.Code is "looseness" or "bearing-tone" or "steady-line" or "hard-knocks" or "broadband"
        );

    [Fact]
    public void A_loose_arm_vibrates_at_half_the_speed_of_its_motor()
    {
        FlightAnalysis analysis = FlightCheck.Of(WithLine(s_plain.Flight, 0.5, 0.6), s_quad);
        Assert.InRange(analysis.Accounting!.Part(VibrationPartKind.HalfOrders).Mps2.Value!.Value, 0.57, 0.63);
        Finding loose = Assert.Single(analysis.Findings, f => f.Code == "looseness");
        Assert.True(loose.Motor is null or "M2");
    }

    [Fact]
    public void A_worn_bearing_has_a_line_at_a_multiple_that_no_blade_makes()
    {
        FlightAnalysis analysis = FlightCheck.Of(WithLine(s_plain.Flight, 2.77, 0.7), s_quad);
        Assert.InRange(analysis.Accounting!.Part(VibrationPartKind.RotorLocked).Mps2.Value!.Value, 0.63, 0.77);
        Finding tone = Assert.Single(analysis.Findings, f => f.Code == "bearing-tone");
        Assert.Equal("M2", tone.Motor);
        Assert.Equal(2.77, Assert.IsType<LineLockedToRotor>(tone.Cause).Lines[0].Multiple, 0.005);
    }

    [Fact]
    public void A_gimbal_that_hums_is_no_rotor()
    {
        FlightAnalysis analysis = FlightCheck.Of(WithLine(s_plain.Flight, null, 0.8), s_quad);
        Assert.InRange(analysis.Accounting!.Part(VibrationPartKind.SteadyLines).Mps2.Value!.Value, 0.76, 0.84);
        SteadyLine line = Assert.Single(analysis.Accounting.SteadyLines);
        Assert.Equal(137.3, line.Hz, 0.3);
        Assert.True(line.IsUnambiguous);
        Assert.Contains(analysis.Findings, f => f.Code == "steady-line");
        Assert.DoesNotContain(analysis.Findings, f => f.Code == "bearing-tone");
    }

    [Fact]
    public void A_cable_that_the_propeller_strikes_knocks_and_the_first_knock_is_timed()
    {
        FlightAnalysis analysis = FlightCheck.Of(Knocked(s_plain.Flight, 12), s_quad);
        KnockSummary knocks = analysis.Accounting!.Knocks;
        Assert.InRange(knocks.Count, 10, 13);
        Assert.Equal(20, knocks.FirstS!.Value, 0.1);
        Finding finding = Assert.Single(analysis.Findings, f => f.Code == "hard-knocks");
        Assert.Equal(20, Assert.IsType<KnocksStandOut>(finding.Cause).FirstS!.Value, 0.05);

        // 12 bursts a·exp(-t/τ)·sin(ωt) have an energy of a²τ/4 each, averaged over the hover used.
        double truth = Math.Sqrt(12 * 15 * 15 * 0.015 / 4 / analysis.Hover.SecondsUsed);
        Assert.InRange(analysis.Accounting.Part(VibrationPartKind.Knocks).Mps2.Value!.Value / truth, 0.8, 1.2);
    }

    [Fact]
    public void Without_speeds_the_account_rests_on_the_group()
    {
        VibrationAccount account = Account(s_plain.Flight with { Motors = [] });
        Assert.InRange(
            account.Part(VibrationPartKind.RotorOrders).Mps2.Value!.Value
                / Account(s_plain.Flight).Part(VibrationPartKind.RotorOrders).Mps2.Value!.Value,
            0.95,
            1.05
        );
    }

    [Fact]
    public void Calmer_rotors_and_rougher_air_are_a_mixed_result_that_names_the_part_that_got_worse()
    {
        Comparison c = JobComparison.Run(
            new()
            {
                Title = "Job",
                Airframe = s_quad,
                Before = [s_plain.Flight],
                After = [Made(2, size: 0.5, rumble: 0.9).Flight],
            }
        );
        Assert.Equal(CallKind.Improved, c.Vibration.Kind);
        PartChange broadband = c.Parts.Single(p => p.Kind == VibrationPartKind.Broadband);
        Assert.True(broadband.Call == CallKind.Worse, broadband.ToString());
        Assert.Equal(Verdict.Mixed, c.Verdict);
        Assert.Contains(c.Reasons, r => r is PartChanged { Part: VibrationPartKind.Broadband });
    }

    [Fact]
    public void Smoother_rotors_reduce_all_vibration()
    {
        Comparison c = JobComparison.Run(
            new()
            {
                Title = "Job",
                Airframe = s_quad,
                Before = [s_plain.Flight],
                After = [Made(3, size: 0.6).Flight],
            }
        );
        Assert.Equal((CallKind.Improved, CallKind.Improved, Verdict.Improved), (c.Vibration.Kind, c.AllVibration.Kind, c.Verdict));
    }

    [Theory]
    [InlineData("looseness", 0.5)]
    [InlineData("bearing-tone", 2.77)]
    [InlineData("steady-line", null)]
    public void A_line_that_begins_in_flight_is_found_with_its_size_and_moment(string code, double? multiple)
    {
        TimeInterval hover = FlightCheck.Of(s_plain.Flight, s_quad).Hover.Segments[0];
        double fromS = hover.FromS + 0.5 * hover.Seconds;
        FlightAnalysis begun = FlightCheck.Of(WithLine(s_plain.Flight, multiple, 0.9, fromS: fromS), s_quad),
            always = FlightCheck.Of(WithLine(s_plain.Flight, multiple, 0.9), s_quad);
        Assert.Contains(begun.Findings, f => f.Code == code);
        Assert.Equal(fromS, Assert.Single(begun.Onsets, o => o.Code == code).FromS, 2.0);
        Assert.Contains(always.Findings, f => f.Code == code);
        Assert.DoesNotContain(always.Onsets, o => o.Code == code);
    }

    // White noise of 4 m/s² rms up to half the sample rate has √(bandwidth / 250 Hz) of it in the band.
    [Fact]
    public void A_cover_that_comes_loose_in_flight_rattles_as_much_as_it_does_since_then()
    {
        TimeInterval hover = FlightCheck.Of(s_plain.Flight, s_quad).Hover.Segments[0];
        double fromS = hover.FromS + 0.5 * hover.Seconds;
        var random = new Random(3);
        ContiguousSegment block = s_plain.Flight.Imu.Blocks[0];
        double[] z =
        [
            .. s_plain.Flight.Imu.AccZMps2.Select(
                (v, i) =>
                    v
                    + (block.TimeOf(i) < fromS || block.TimeOf(i) > hover.ToS ? 0 : 4)
                        * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble()))
                        * Math.Cos(2 * Math.PI * random.NextDouble())
            ),
        ];
        FlightAnalysis analysis = FlightCheck.Of(s_plain.Flight with { Imu = s_plain.Flight.Imu with { AccZMps2 = z } }, s_quad);
        double size = 4 * Math.Sqrt(analysis.Accounting!.BandHz.Width / 250);
        Finding rattle = Assert.Single(analysis.Findings, f => f.Code == "broadband");
        Assert.InRange(Assert.IsType<BroadbandDominates>(rattle.Cause).Mps2.Value!.Value / size, 0.9, 1.1);
        Assert.Equal(fromS, Assert.Single(analysis.Onsets, o => o.Code == "broadband").FromS, 2.0);
    }

    private static VibrationAccount Account(Flight flight) => FlightCheck.Of(flight, s_quad).Accounting!;

    /// <summary>A flight whose log begins and ends in hover.</summary>
    private static Flight InFlight(SimulatedFlight made)
    {
        TimeInterval hover = made.Truth.Hover;
        ImuTrack imu = made.Flight.Imu;
        ContiguousSegment block = imu.Blocks[0];
        int first = (int)((hover.FromS + 1 - block.StartS) / block.PeriodS),
            count = (int)((hover.Seconds - 2) / block.PeriodS);
        double[] Cut(double[] axis) => axis[first..(first + count)];
        return made.Flight with
        {
            Imu = imu with
            {
                Blocks = [block with { FirstSample = 0, SampleCount = count, StartS = block.TimeOf(first) }],
                AccXMps2 = Cut(imu.AccXMps2),
                AccYMps2 = Cut(imu.AccYMps2),
                AccZMps2 = Cut(imu.AccZMps2),
                RateXRadps = imu.RateXRadps is { } x ? Cut(x) : null,
                RateYRadps = imu.RateYRadps is { } y ? Cut(y) : null,
                RateZRadps = imu.RateZRadps is { } z ? Cut(z) : null,
            },
        };
    }

    private static SimulatedFlight Made(int seed, double size = 1, double rumble = 0.15, double noise = 0.02) =>
        SimulatedFlight.Make(
            new()
            {
                Airframe = s_quad,
                Seed = seed,
                HoverS = 50,
                ImuRateHz = 500,
                RumbleMps2 = rumble,
                AccNoise = noise,
                SpeedSpread = 0.01,
                TelemetryHz = 50,
                Rotors = [.. Enumerable.Range(0, 4).Select(m => new RotorSource([new(1, size * (0.6 + 0.1 * m)), new(2, 0.5 * size)]))],
            }
        );

    /// <summary>Adds a line along x at a multiple of M2's speed, or at 137.3 Hz.</summary>
    private static Flight WithLine(Flight flight, double? multiple, double rms, double fromS = 0)
    {
        Series rpm = flight.Track("M2")!.Rpm!;
        double[] x = [.. flight.Imu.AccXMps2];
        double angle = 0;
        for (int i = 0; i < x.Length; i++)
        {
            double t = flight.Imu.Blocks[0].TimeOf(i);
            angle += 2 * Math.PI * (multiple * rpm.At(t + 0.02) / 60 ?? 137.3) * flight.Imu.Blocks[0].PeriodS;
            x[i] += t < fromS ? 0 : rms * Math.Sqrt(2) * Math.Sin(angle);
        }

        return flight with
        {
            Imu = flight.Imu with { AccXMps2 = x },
        };
    }

    /// <summary>Adds bursts along z with a decaying 90 Hz oscillation, one every 3 s from 20 s on.</summary>
    private static Flight Knocked(Flight flight, int count)
    {
        double[] z = [.. flight.Imu.AccZMps2];
        ContiguousSegment block = flight.Imu.Blocks[0];
        for (int n = 0; n < count; n++)
        {
            int first = (int)((20 + 3 * n) / block.PeriodS);
            for (int i = 0; i < 60; i++)
            {
                double t = i * block.PeriodS;
                z[first + i] += 15 * Math.Exp(-t / 0.015) * Math.Sin(2 * Math.PI * 90 * t);
            }
        }

        return flight with
        {
            Imu = flight.Imu with { AccZMps2 = z },
        };
    }
}
