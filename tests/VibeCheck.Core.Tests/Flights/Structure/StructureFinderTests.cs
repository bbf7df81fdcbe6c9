using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Flights.Structure;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Flights.Structure;

public sealed class StructureFinderTests
{
    [Theory]
    [Trait("Category", "Slow")]
    [InlineData(31, 83, 0.03)]
    [InlineData(32, 44, 0.02)]
    [InlineData(33, 150, 0.05)]
    public void A_mode_excited_by_broadband_force_is_found_with_its_damping(int seed, double hz, double damping)
    {
        SimulatedFlight made = SimulatedFlight.Make(Trials.Hexa(seed));
        Flight flight = made.Flight with { Imu = WithMode(made.Flight.Imu, axis: 1, hz, damping, seed) };
        FlightAnalysis analysis = FlightCheck.Of(flight, made.Recipe.Airframe);

        StructureMode mode = Assert.Single(analysis.Resonances, r => Math.Abs(r.Hz.Value!.Value - hz) < 0.05 * hz);
        Assert.Equal("acc_y", mode.Channel);

        // A fifth of the half-power width 2ζf, and a third of the damping: the accuracy that 40 s of broadband noise allow.
        Assert.Equal(hz, mode.Hz.Value!.Value, 0.2 * 2 * damping * hz);
        Assert.Equal(damping, mode.DampingRatio.Value!.Value, 0.35 * damping);

        // Order 2 is at 113 Hz in the hover and passes through all lower frequencies when the rotors slow down.
        Assert.Equal(hz < 113, mode.CrossedIn.Contains(FlightPhase.Landing));
        Assert.NotNull(mode.NearestOrder);
        Assert.All(analysis.Peaks.Where(p => Math.Abs(p.Hz - hz) < damping * hz), p => Assert.Equal(PeakKind.Structure, p.Kind));
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Resonances_do_not_depend_on_how_the_spectra_for_figures_are_made()
    {
        SimulatedFlight made = SimulatedFlight.Make(Trials.Hexa(31));
        Flight flight = made.Flight with { Imu = WithMode(made.Flight.Imu, axis: 1, hz: 83, damping: 0.03, seed: 31) };
        StructureMode usual = FlightCheck.Of(flight, made.Recipe.Airframe).Resonances.Single(r => r.Channel == "acc_y");

        StructureMode coarse = FlightCheck
            .Of(flight, made.Recipe.Airframe, new() { Spectrum = new() { ResolutionHz = 2 } })
            .Resonances.Single(r => r.Channel == "acc_y");

        Assert.Equal(usual.Hz.Value!.Value, coarse.Hz.Value!.Value, tolerance: 1e-9);
        Assert.Equal(usual.DampingRatio.Value!.Value, coarse.DampingRatio.Value!.Value, tolerance: 1e-9);
    }

    [Theory]
    [Trait("Category", "Slow")]
    [InlineData(34)]
    [InlineData(35)]
    [InlineData(36)]
    public void Rotor_lines_and_rumble_alone_are_no_resonance(int seed) =>
        Assert.Empty(FlightCheck.Of(SimulatedFlight.Make(Trials.Hexa(seed)).Flight, Trials.Hexa(seed).Airframe).Resonances);

    [Theory]
    [InlineData(24, 0.04)]
    [InlineData(61, 0.015)]
    public void Ringing_after_touchdown_gives_frequency_and_damping(double hz, double damping)
    {
        SimulatedFlight made = SimulatedFlight.Make(Trials.Hexa(41));
        double touchdownS = made.Truth.Hover.ToS + 2.8;
        ImuTrack imu = WithBump(made.Flight.Imu, touchdownS, hz, damping);
        StructureMode? decay = FreeDecay.After(imu, made.Truth.Hover.ToS);
        Assert.NotNull(decay);
        Assert.Equal("acc_z", decay.Channel);
        Assert.Equal(hz, decay.Hz.Value!.Value, 0.03 * hz);
        Assert.Equal(damping, decay.DampingRatio.Value!.Value, 0.3 * damping);
        Assert.True(decay.DampingRatio.Ci95!.Value.Contains(damping), $"{damping} not in {decay.DampingRatio.Ci95}");
    }

    [Fact]
    public void A_clock_that_was_set_years_apart_in_flight_leaves_the_search_for_ringing_alone()
    {
        const double Year = 365.25 * 86400;
        double[] axis = [.. Enumerable.Range(0, 4000).Select(i => Math.Sin(i))];
        ImuTrack imu = new()
        {
            Blocks = [new ContiguousSegment(0, 2000, -40 * Year, 0.001), new ContiguousSegment(2000, 2000, -20 * Year, 0.001)],
            AccXMps2 = axis,
            AccYMps2 = axis,
            AccZMps2 = axis,
        };
        Assert.Null(FreeDecay.After(imu, afterS: 0));
    }

    [Fact]
    public void A_landing_without_a_bump_rings_nothing()
    {
        SimulatedFlight made = SimulatedFlight.Make(Trials.Hexa(42));
        Assert.Null(FreeDecay.After(made.Flight.Imu, made.Truth.Hover.ToS));
    }

    /// <summary>Adds the response of a damped oscillator to white noise: the usual second-order recursion.</summary>
    private static ImuTrack WithMode(ImuTrack imu, int axis, double hz, double damping, int seed)
    {
        Random random = new(seed);
        double[] samples = [.. imu.Acceleration[axis]];
        double omega = 2 * Math.PI * hz / imu.RateHz,
            radius = Math.Exp(-damping * omega);
        double a1 = 2 * radius * Math.Cos(omega * Math.Sqrt(1 - damping * damping)),
            a2 = -radius * radius,
            y1 = 0,
            y2 = 0;
        double scale = 0.35 * Math.Sqrt(damping * omega);
        for (int i = 0; i < samples.Length; i++)
        {
            double y = a1 * y1 + a2 * y2 + Gauss(random);
            (y2, y1) = (y1, y);
            samples[i] += scale * y * Math.Sin(omega);
        }

        return axis == 1 ? imu with { AccYMps2 = samples } : imu with { AccZMps2 = samples };
    }

    private static ImuTrack WithBump(ImuTrack imu, double atS, double hz, double damping)
    {
        double[] samples = [.. imu.AccZMps2];
        for (int i = 0; i < samples.Length; i++)
        {
            double t = imu.Blocks[0].TimeOf(i) - atS;
            samples[i] +=
                t < 0
                    ? 0
                    : 30 * Math.Exp(-damping * 2 * Math.PI * hz * t) * Math.Cos(2 * Math.PI * hz * Math.Sqrt(1 - damping * damping) * t);
        }

        return imu with
        {
            AccZMps2 = samples,
        };
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
