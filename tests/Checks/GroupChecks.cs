using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Checks;

/// <summary>Rotors measured as a group: floors, bands, levels, paths and the choice of the speed, on spectra and sines that are
/// known.</summary>
public sealed class GroupChecks
{
    private const double RateHz = 1000;
    private const double Exact = 1e-9;

    // Of a power law the 35 % quantile within ± 25 % of a frequency is its value at 0.75 + 0.35 · 0.5 of it where it rises and at
    // 1.25 - 0.35 · 0.5 where it falls: numpy.quantile(k ** p, 0.35) of k from 0.75 f to 1.25 f.
    [Theory]
    [InlineData(0, 1)]
    [InlineData(1.5, 0.925)]
    [InlineData(-1.5, 1.075)]
    [InlineData(-3, 1.075)]
    public void The_floor_of_a_coloured_noise_is_the_lower_part_of_what_lies_within_a_quarter_of_a_frequency(double power, double at)
    {
        double[] mean = [.. Enumerable.Range(0, 1000).Select(k => 0.02 * Math.Pow(Math.Max(1, k) / 100.0, power))];
        double[] floor = SpectralFloor.Of(mean, 0.5);
        foreach (int k in (int[])[100, 230, 411, 640, 790])
        {
            double expected = 0.02 * Math.Pow(at * k / 100, power);
            Assert.Equal(expected, floor[k], tolerance: 0.02 * expected);
        }

        // At the ends what there is counts: bins 1 to 7 for the lowest, the upper quarter for the last.
        Assert.Equal(mean[power < 0 ? 5 : 3], floor[1], tolerance: Exact);
        double last = 0.02 * Math.Pow((power < 0 ? 0.75 + 0.65 * 0.25 : 0.75 + 0.35 * 0.25) * 9.99, power);
        Assert.Equal(last, floor[999], tolerance: 0.02 * last);
    }

    // A quantile of 35 % does not see what fills less than 65 %.
    [Theory]
    [InlineData(6, 1)]
    [InlineData(7, 100)]
    public void Lines_of_rotors_do_not_lift_the_floor_until_they_fill_two_thirds_of_it(int ofTen, double floor)
    {
        double[] mean = [.. Enumerable.Range(0, 600).Select(k => k % 10 < ofTen ? 100.0 : 1)];
        Assert.All(SpectralFloor.Of(mean, 1)[100..450], f => Assert.Equal(floor, f, tolerance: Exact));
    }

    [Fact]
    public void An_empty_spectrum_has_a_floor_above_zero() => Assert.All(SpectralFloor.Of(new double[100], 1), f => Assert.True(f > 0));

    // White noise: power = density · width. The band, and one and a half bins to each side, but never beyond the middle between two orders;
    // a quarter of the floor is its standard uncertainty (docs/methods/group.md).
    [Theory]
    [InlineData(1, 0.1)]
    [InlineData(2, 0.1)]
    [InlineData(5, 0.1)]
    [InlineData(12, 1 / 12.0)]
    public void White_noise_is_taken_off_in_full_and_leaves_a_quarter_as_doubt(int order, double widthShare)
    {
        const double density = 1 / 64.0;
        ShortSpectra spectra = Spectra(4, (_, _) => density);
        double[] hz = [.. Enumerable.Range(0, spectra.Windows).Select(w => 30 + w % 3 * 0.5)];
        (double[] net, double floorU) = new GroupLevels(spectra, new(spectra.CentreS, hz), new(-0.05, 0.05)).Of(order);
        Assert.All(net, n => Assert.Equal(0, n, tolerance: Exact));
        double width = order * hz.Average() * widthShare + (order < 12 ? 2 * 1.5 * spectra.ResolutionHz : 0);
        Assert.Equal(0.25 * density * width, floorU, tolerance: Exact);
    }

    // A line's power stands in one bin and moves with the speed; noise of known density beside it.
    [Theory]
    [InlineData(1)]
    [InlineData(3)]
    [InlineData(7)]
    public void A_line_that_moves_with_the_speed_keeps_its_power_in_every_window(int order)
    {
        int[] bin = [.. Enumerable.Range(0, 40).Select(w => 31 + w % 4)];
        double Power(int w) => 0.5 + 0.125 * w;
        ShortSpectra spectra = Spectra(4, (w, k) => 1 / 64.0 + (k > 0 && k % bin[w] == 0 ? Power(w) / (k / bin[w]) / (RateHz / 1024) : 0));
        double[] hz = [.. Enumerable.Range(0, spectra.Windows).Select(w => bin[w] * spectra.ResolutionHz)];
        (double[] net, _) = new GroupLevels(spectra, new(spectra.CentreS, hz), new(-0.04, 0.04)).Of(order);
        for (int w = 0; w < net.Length; w++)
        {
            Assert.Equal(Power(w) / order, net[w], tolerance: 1e-5);
        }
    }

    // Noise that falls as exp(-f / 100 Hz) is a straight line of the logarithm; within the band lines stand a constant above it.
    [Theory]
    [InlineData(2)]
    [InlineData(4)]
    [InlineData(6)]
    public void Beneath_the_lines_the_floor_is_a_straight_line_of_the_logarithm(int order)
    {
        const double hz = 50;
        double leak = 1.5 * RateHz / 1024,
            half = 0.03 * order * hz + leak;
        ShortSpectra spectra = Spectra(
            4,
            (_, k) => 0.1 * Math.Exp(-k * RateHz / 1024 / 100) + (Math.Abs(k * RateHz / 1024 - order * hz) < half + 1 ? 1 : 0)
        );
        GroupSpeedPath path = new(spectra.CentreS, [.. Enumerable.Repeat(hz, spectra.Windows)]);
        (double[] net, double floorU) = new GroupLevels(spectra, path, new(-0.03, 0.03)).Of(order);
        double floor = 0.1 * Math.Exp(-order * hz / 100);
        Assert.Equal(0.25 * floor * 2 * half, floorU, tolerance: 0.02 * 0.25 * floor * 2 * half);
        Assert.All(net, n => Assert.Equal(2 * half, n, tolerance: 0.01 * half));
    }

    // 461 bins of 0.977 Hz reach 450 Hz: the fourteenth order of 30 Hz, its band and leak ends at 442 Hz, at 31.5 Hz at 457 Hz.
    [Theory]
    [InlineData(30, 14, true)]
    [InlineData(30, 15, false)]
    [InlineData(31.5, 14, false)]
    public void An_order_is_shown_while_its_band_lies_within_the_log_at_the_highest_speed(double fastestHz, int order, bool shown)
    {
        ShortSpectra spectra = Spectra(4, (_, _) => 1);
        double[] hz = [.. Enumerable.Range(0, spectra.Windows).Select(w => w == 2 ? fastestHz : 30)];
        Assert.Equal(shown, new GroupLevels(spectra, new(spectra.CentreS, hz), new(-0.05, 0.05)).Shows(order));
    }

    // GUM 5.1.2: half width of the mean (Student's t of five values, NIST e-Handbook 1.3.6.7.2: 2.776; s = sqrt(2.5)) and that of the
    // floor.
    [Fact]
    public void The_interval_of_a_group_adds_the_uncertainty_of_the_floor_to_that_of_the_mean()
    {
        double[] net = [6, 3, 5, 4, 7];
        double own = 2.776445105197794 * Math.Sqrt(2.5 / 5);
        Assert.Equal(own, DependentMean.Of(net).Half95!.Value, tolerance: 1e-6);
        Estimate size = GroupLevels.Size(net, floorU: 1.2);
        double half = Math.Sqrt(own * own + Math.Pow(1.96 * 1.2, 2));
        Assert.Equal(Math.Sqrt(5), size.Value!.Value, tolerance: Exact);
        Assert.Equal(Math.Sqrt(5 - half), size.Ci95!.Value.Low, tolerance: 1e-6);
        Assert.Equal(Math.Sqrt(5 + half), size.Ci95.Value.High, tolerance: 1e-6);
        Assert.IsType<HoverTooShortForInterval>(GroupLevels.Size([5, 6], 1).Why);
    }

    // Mean squares of sines of different frequency add up (Parseval), and so do the variances of their floors (GUM 5.1.2).
    [Fact]
    public void The_size_of_some_orders_is_the_root_of_their_powers()
    {
        double[][] powers =
        [
            [6, 3, 5, 4, 7],
            [1, 2, 0, 2, 0],
            [9, 9, 8, 9, 9],
        ];
        GroupResult group = new()
        {
            Rpm = Estimate.Around(3000, 10),
            Orders = [],
            TotalMps2 = Estimate.Around(4, 1),
            Counted = [1, 2, 4],
            NetPowers = powers,
            FloorU = [0.3, 0.4, 7],
        };
        Assert.Equal(GroupLevels.Size([7, 5, 5, 6, 7], 0.5), group.SizeOf([1, 2]));
        Assert.Equal(Math.Sqrt(6), group.SizeOf([2, 1]).Value!.Value, tolerance: Exact);
        GroupResult unknown = GroupResult.Unknown(new NoRotorLines());
        Assert.IsType<NoRotorLines>(unknown.SizeOf([1]).Why);
    }

    // The frequency of made sines is their angle's derivative.
    [Fact]
    public void A_wandering_speed_is_followed_from_window_to_window()
    {
        double Speed(double t) => 1 + 0.06 * Math.Sin(Math.Tau * t / 11) + 0.02 * Math.Cos(Math.Tau * t / 5);
        ShortSpectra spectra = ShortSpectra.Of(Flight(20, [(68.5, 1), (71.5, 1)], Speed), [new(0, 20)], 0.512)!;
        double[] hz = new GroupTracker(spectra, [1, 2, 3], 70, null).Follow().Hz,
            truth = [.. spectra.CentreS.Select(Speed)];
        double mean = hz.Average() / truth.Average();
        Assert.InRange(mean, 68, 72);
        for (int w = 0; w < hz.Length; w++)
        {
            Assert.InRange(hz[w] / truth[w] / mean, 0.992, 1.008);
        }
    }

    // Where the variation is known beforehand there is none left to find.
    [Fact]
    public void A_speed_whose_variation_is_known_is_followed_along_it()
    {
        double Speed(double t) => 1 + 0.15 * Math.Sin(Math.Tau * t / 20);
        ShortSpectra spectra = ShortSpectra.Of(Flight(20, [(68.5, 1), (71.5, 1)], Speed), [new(0, 20)], 0.512)!;
        Series shape = OrderSegments.Rotor("", 20, Speed).Rpm;
        double[] hz = new GroupTracker(spectra, [1, 2, 3], 70, shape).Follow().Hz;
        Assert.All(hz.Zip(spectra.CentreS), p => Assert.InRange(p.First / Speed(p.Second) / 70, 0.97, 1.03));
        double[] left = [.. hz.Zip(spectra.CentreS, (f, t) => f / Speed(t))];
        Assert.InRange(left.Max() / left.Min(), 1, 1.02);
    }

    // Rotors 3 % to either side; a margin of 1.2 % is added (docs/methods/group.md), and at most the two bins that a Hann line reaches and
    // a step of the grid, 0.2 %.
    [Fact]
    public void The_band_of_a_group_reaches_from_its_slowest_rotor_to_its_fastest()
    {
        ShortSpectra spectra = ShortSpectra.Of(Flight(20, [(67.9, 1), (70, 1), (72.1, 1)]), [new(0, 20)], 4)!;
        GroupBand band = GroupBand.Of(spectra, [1, 2], new(spectra.CentreS, [.. Enumerable.Repeat(70.0, spectra.Windows)]));
        Assert.InRange(band.High, 0.040, 0.0535);
        Assert.InRange(-band.Low, 0.040, 0.0535);
        Assert.InRange(band.Middle, -0.003, 0.003);
    }

    [Fact]
    public void Two_speeds_that_explain_the_vibration_as_well_leave_the_speed_open_between_them()
    {
        GroupSpeedChoice choice = GroupSpeedChoice.Of([Curve([(50, 1), (71, 1)])], []);
        GroupSpeedAmbiguous why = Assert.IsType<GroupSpeedAmbiguous>(choice.Why);
        Assert.InRange(why.SlowerRpm / 60, 47, 53);
        Assert.InRange(why.FasterRpm / 60, 67, 75);
        Assert.True(double.IsNaN(choice.Hz));
    }

    // docs/methods/group.md: lines of one comb are lines of its multiples too, so a rival at two, three or four times the speed, or at that
    // part of it, leaves the power known and the numbers of the orders open; any other rival leaves nothing.
    [Theory]
    [InlineData(160, 4.5, true, false)]
    [InlineData(245, 4.5, true, false)]
    [InlineData(320, 4.5, true, false)]
    [InlineData(40, 4.5, true, false)]
    [InlineData(124, 4.5, false, true)]
    [InlineData(400, 4.5, false, true)]
    [InlineData(160, 4.2, false, false)]
    [InlineData(124, 4.2, false, false)]
    [InlineData(90, 4.9, false, false)]
    public void A_rival_speed_is_another_numbering_of_the_orders_only_where_it_is_a_multiple(
        double rivalHz,
        double score,
        bool octave,
        bool ambiguous
    )
    {
        SpeedCurve curve = Curve([(80, 1)]);
        Array.Clear(curve.Score);
        curve.Score[SpeedCurve.IndexOf(rivalHz)] = score;
        curve.Score[SpeedCurve.IndexOf(80)] = 5;
        GroupSpeedChoice choice = GroupSpeedChoice.Of([curve], []);
        Assert.Equal(octave, choice.Octave is not null);
        Assert.Equal(ambiguous, choice.Why is not null);
        if ((choice.Why ?? choice.Octave) is GroupSpeedAmbiguous open)
        {
            Assert.Equal(Math.Min(rivalHz, 80), open.SlowerRpm / 60, tolerance: 0.003 * rivalHz);
            Assert.Equal(Math.Max(rivalHz, 80), open.FasterRpm / 60, tolerance: 0.003 * rivalHz);
        }

        Assert.True(ambiguous || Math.Abs(choice.Hz / 80 - 1) < 0.003);
    }

    [Theory]
    [InlineData(35, 65, 50)]
    [InlineData(55, 87, 71)]
    public void A_speed_logged_on_other_flights_decides_between_two(double oneHz, double otherHz, double hz)
    {
        GroupSpeedChoice choice = GroupSpeedChoice.Of([Curve([(50, 1), (71, 1)])], [oneHz, otherHz]);
        Assert.Null(choice.Why);
        Assert.Null(choice.Octave);
        Assert.InRange(choice.Hz / hz, 0.94, 1.06);
    }

    // docs/methods/group.md: flights whose own scores are clear and 10 to 60 % apart keep their own speeds.
    [Theory]
    [InlineData(50, 65, true)]
    [InlineData(50, 90, false)]
    [InlineData(50, 50, false)]
    public void Flights_that_hover_at_speeds_of_their_own_keep_them(double oneHz, double otherHz, bool own)
    {
        SpeedCurve[] flights = [Curve([(oneHz, 1)]), Curve([(otherHz, 1)])];
        IReadOnlyList<GroupSpeedChoice> choices = GroupSpeedChoice.ForEach(flights, []);
        Assert.Equal(2, choices.Count);
        if (own || oneHz == otherHz)
        {
            Assert.InRange(choices[0].Hz / oneHz, 0.94, 1.06);
            Assert.InRange(choices[1].Hz / otherHz, 0.94, 1.06);
        }

        Assert.Equal(!own, ReferenceEquals(choices[0], choices[1]));
        IReadOnlyList<GroupSpeedChoice> known = GroupSpeedChoice.ForEach(flights, [oneHz]);
        Assert.Same(known[0], known[1]);
        Assert.InRange(known[0].Hz / oneHz, 0.9, 1.1);
    }

    /// <summary>Spectra of windows of 1.024 s with densities that are given, (m/s²)²/Hz.</summary>
    private static ShortSpectra Spectra(double seconds, Func<int, int, double> density)
    {
        ShortSpectra spectra = ShortSpectra.Of(OrderSegments.Track(RateHz, seconds, _ => 0), [new(0, seconds)], 1.024)!;
        for (int w = 0; w < spectra.Windows; w++)
        {
            for (int k = 0; k < spectra.Bins; k++)
            {
                spectra.Density[w][k] = (float)density(w, k);
            }
        }

        return spectra;
    }

    private static SpeedCurve Curve((double Hz, double Size)[] rotors) => GroupAnalysis.Curve(Flight(8, rotors), [new(0, 8)], [2])!;

    /// <summary>Orders 1 to 4 of rotors on x, in white noise of 0.1 m/s² on every axis.</summary>
    private static ImuTrack Flight(double seconds, (double Hz, double Size)[] rotors, Func<double, double>? speed = null)
    {
        int count = (int)(seconds * RateHz);
        var random = new Random(7);
        double[][] axes =
        [
            .. Enumerable.Range(0, 3).Select(_ => Enumerable.Range(0, count).Select(_ => 0.1 * OrderSegments.Normal(random)).ToArray()),
        ];
        foreach ((double hz, double size) in rotors)
        {
            double angle = Math.Tau * random.NextDouble();
            for (int i = 0; i < count; i++)
            {
                angle += Math.Tau * hz * (speed?.Invoke(i / RateHz) ?? 1) / RateHz;
                for (int k = 1; k <= 4; k++)
                {
                    axes[0][i] += size * Math.Cos(k * angle + k) / k;
                }
            }
        }

        return OrderSegments.Track(RateHz, axes[0], axes[1], axes[2]);
    }
}
