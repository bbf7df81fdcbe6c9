using VibeCheck.Core.Flights.Structure;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Checks;

/// <summary>Damping of resonances: textbook relations between a mode's damping, its free decay and its width.</summary>
public sealed class StructureChecks
{
    // W. Thomson, Theory of Vibration with Applications, logarithmic decrement (from memory; digits recomputed): 10 lb on 30 lb/in with
    // 0.12 lb s/in have ζ = 0.0681, decrement 0.429, successive amplitudes 1.54 to 1. The same book: half the amplitude after 0.110/ζ
    // cycles, so 0.02 after 5.5.
    [Theory]
    [InlineData(1.54, 1, 0.0681)]
    [InlineData(2, 5.5, 0.0200)]
    public void Ringing_has_the_damping_of_the_textbook(double ratio, double cycles, double damping)
    {
        const double Hz = 40,
            RateHz = 2000,
            BumpS = 3;
        double[] z =
        [
            .. Enumerable
                .Range(0, 12_000)
                .Select(i => i / RateHz - BumpS)
                .Select(t => -9.81 + (t < 0 ? 0 : 30 * Math.Pow(ratio, -Hz * t / cycles) * Math.Cos(2 * Math.PI * Hz * t))),
        ];
        ImuTrack imu = new()
        {
            Blocks = [new ContiguousSegment(0, z.Length, 0, 1 / RateHz)],
            AccXMps2 = new double[z.Length],
            AccYMps2 = new double[z.Length],
            AccZMps2 = z,
        };

        StructureMode mode = FreeDecay.After(imu, 1)!;
        Assert.Equal(damping, mode.DampingRatio.Value!.Value, 0.05 * damping);
        Assert.Equal(Hz, mode.Hz.Value!.Value, 0.005 * Hz);
    }

    // S. Rao, Mechanical Vibrations, quality factor and bandwidth (from memory): Q = 1/(2ζ), and the half-power points lie f0/Q apart.
    // Mass, damper and spring excited by white noise: 1/|k - mω² + icω|² with Q = 10 at 60 Hz, over a floor of a thousandth of the maximum.
    [Fact]
    public void A_peak_has_the_damping_of_its_half_power_width()
    {
        const double ResolutionHz = 0.5,
            F0 = 60,
            Quality = 10,
            Mass = 2;
        double omega0 = 2 * Math.PI * F0,
            spring = Mass * omega0 * omega0,
            damper = Mass * omega0 / Quality;
        double Power(double hz)
        {
            System.Numerics.Complex stiffness = new(spring - Mass * Math.Pow(2 * Math.PI * hz, 2), damper * 2 * Math.PI * hz);
            return Math.Pow(1 / System.Numerics.Complex.Abs(stiffness), 2);
        }

        double[] density = [.. Enumerable.Range(0, 400).Select(k => Power(k * ResolutionHz) / Power(F0) + 1e-3)];
        ModeFit fit = ModeFit.Of(new MaskedSpectrum(ResolutionHz, density, [.. Enumerable.Repeat(30, density.Length)]), 58, 5)!;
        Assert.Equal(1 / (2 * Quality), fit.DampingRatio, 0.02 / (2 * Quality));
        Assert.Equal(F0, fit.Hz, 0.01);

        // The assumed half-power band of the mode, f0 (1 ± ζ), contains the points at which the power is half: 57.0 and 63.0 Hz.
        StructureMode mode = new()
        {
            Channel = "acc_x",
            Hz = Core.Statistics.Estimate.Around(fit.Hz, 0.01),
            DampingRatio = Core.Statistics.Estimate.Around(fit.DampingRatio, 0.001),
            Method = ModeEvidence.HoverSpectrum,
        };
        for (double hz = 50; hz < 70; hz += 0.25)
        {
            double share = Power(hz) / Power(F0);
            if (Math.Abs(share - 0.5) > 0.05)
            {
                Assert.Equal(share > 0.5, mode.Covers(hz));
            }
        }
    }
}
