using System.Numerics;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Checks;

/// <summary>Envelopes, levels and their uncertainty of lines that overlap, against dense matrices by numpy and scipy on the whole Gaussian
/// model: tools/reference-values/envelopes.py (numpy 1.24.2, scipy 1.10.1). Two rotors whose first orders come within 0.5 Hz, and a third
/// order far from both; speeds, sizes and noise change over the segment.</summary>
public sealed class EnvelopeChecks
{
    private const double RateHz = 1000,
        EnvelopeS = 0.032,
        LongS = 3.2;
    private const int Count = 101,
        Rounds = 4;

    private static readonly (int Rotor, int Order)[] s_lines = [(0, 1), (0, 3), (1, 1)];
    private static readonly (double FromHz, double ToHz)[] s_speeds = [(39.5, 40.5), (41.2, 41.0)];

    // Sizes and noise of the script's lines 0, 2 and 1: a segment has the lines of one rotor side by side.
    private static readonly Complex[][] s_sizes =
    [
        [0.9, new(0, 0.5), -0.3],
        [0.3, new(0.1, -0.2), 0.25],
        [new(0.6, 0.3), 0.2, new(0, 0.4)],
    ];

    private static readonly int[] s_scriptLines = [0, 2, 1];
    private static readonly double[] s_noise = [0.0040, 0.0050, 0.0060, 0.0020, 0.0030, 0.0010, 0.0060, 0.0050, 0.0040];

    [Fact]
    public void Lines_that_overlap_get_the_envelopes_of_dense_least_squares_and_their_variances()
    {
        using DemodulatedSegment made = Make();
        EnvelopeFit fit = Fit(made);
        Assert.Equal(
            [
                [0, 2],
                [1],
            ],
            fit.Groups.Select(g => g.Lines).OrderBy(l => l[0])
        );
        AssertVariances(fit, line: 0, 0.15177054888087102, 0.08785605720090295);
        AssertVariances(fit, line: 2, 0.013109913423493064, 0.12234716051817394);
        AssertVariances(fit, line: 1, 0.0240517890256169, 0.0007885322545212802);

        using EnvelopeSet envelopes = fit.Envelopes();
        AssertNear(new(1.0210108964756348, -0.003696253818090099), envelopes[0][20]);
        AssertNear(new(-0.005737418475443526, 0.3914180557888996), envelopes[1][77]);
        AssertNear(new(0.17405918913174545, 0.0016387295356775841), envelopes[7][20]);
        AssertNear(new(0.5919601850053168, 0.27748704360176263), envelopes[6][77]);
        AssertNear(new(0.11234319745013778, -0.2247185729612649), envelopes[4][77]);
    }

    [Fact]
    public void A_level_is_freed_of_the_noise_in_it_and_knows_its_deviation()
    {
        using DemodulatedSegment made = Make();
        LineLevel[] levels = Fit(made).Levels();
        AssertLevel(
            levels[0],
            [0.3652996889148437, 0.11403664798839705, 0.04142179371753287],
            deviation: 0.006735935284925593,
            inflation: 1.2101212455284855
        );
        AssertLevel(
            levels[2],
            [0.18774662452043692, 0.019122786988423686, 0.07164786551878936],
            deviation: 0.005200739667303076,
            inflation: 1.3116339762671207
        );
        AssertLevel(
            levels[1],
            [0.03999216464295608, 0.022185901683727593, 0.02777541978496083],
            deviation: 0.0015447406212497792,
            inflation: 0.9751006280030904
        );
    }

    // Sampling theorem (Shannon 1949; from memory): samples of cos(2 pi 620 t + p) at 1000 Hz are those of cos(2 pi 380 t - p).
    [Fact]
    public void A_line_above_half_the_sample_rate_is_followed_where_it_folds_to_with_its_phase_mirrored()
    {
        const double Size = 0.7,
            PhaseRad = 0.9,
            LateRad = 0.05;
        const int Order = 10;
        DetrendedSegment segment = DetrendedSegment
            .Cut(
                OrderSegments.Track(RateHz, LongS, t => Size * Math.Cos(Math.Tau * 620 * t + PhaseRad + Order * LateRad)),
                [new TimeInterval(0, LongS)],
                0.1
            )
            .Single();
        var line = Line.Of(0, Order, 62, RateHz);
        Assert.Equal(380, line.ApparentHz(62), 1e-9);
        using var reported = DemodulatedSegment.Of(
            segment,
            [line],
            RotorPhases.Reported(segment, [new RotorAngle(new Series([0, LongS], [3720, 3720]))]),
            new Workspace()
        );
        double[] late = new double[segment.EnvelopeCount];
        Array.Fill(late, LateRad);
        using DemodulatedSegment corrected = reported.Rotated([late], withSpeeds: true);

        // Away from the ends, where half a triangle is missing; the triangle leaves 1e-3 of the line at minus its frequency.
        for (int k = 1; k < segment.EnvelopeCount - 1; k++)
        {
            Assert.Equal(0, Complex.Abs(reported.Sums[0][k] - Complex.FromPolarCoordinates(Size, -PhaseRad - Order * LateRad)), 2e-3);
            Assert.Equal(0, Complex.Abs(corrected.Sums[0][k] - Complex.FromPolarCoordinates(Size, -PhaseRad)), 2e-3);
            Assert.Equal(
                0,
                Complex.Abs(
                    corrected.Units[0][k]
                        - Complex.Conjugate(Complex.FromPolarCoordinates(1, Order * (Math.Tau * 62 * k * EnvelopeS + LateRad)))
                ),
                1e-9
            );
        }
    }

    private static void AssertVariances(EnvelopeFit fit, int line, double withSpeed, double withTime)
    {
        EnvelopeSolution group = fit.Groups.Single(g => g.Lines.Contains(line));
        int at = Array.IndexOf(group.Lines, line);
        Assert.Equal(withSpeed, group.VarianceWithSpeed[at], withSpeed * 1e-5);
        Assert.Equal(withTime, group.VarianceWithTime[at], withTime * 1e-5);
    }

    private static void AssertLevel(LineLevel level, double[] axes, double deviation, double inflation)
    {
        foreach ((double expected, double found) in axes.Zip(level.PerAxis))
        {
            Assert.Equal(expected, found, expected * 1e-6);
        }

        Assert.Equal(axes.Sum(), level.Square, axes.Sum() * 1e-6);
        Assert.Equal(deviation, level.Deviation, deviation * 1e-6);
        Assert.Equal(inflation, level.VarianceInflation, inflation * 1e-6);
    }

    private static void AssertNear(Complex expected, Complex found) => Assert.Equal(0, Complex.Abs(expected - found), 1e-6);

    private static EnvelopeFit Fit(DemodulatedSegment made)
    {
        double[][] phaseVariance =
        [
            [.. Enumerable.Range(0, Count).Select(k => 0.004 + 0.0002 * k)],
            [.. Enumerable.Range(0, Count).Select(k => 0.02 - 0.0001 * k)],
        ];
        return EnvelopeFit.Of(made, phaseVariance, new NoiseEstimate(s_noise, 1), knotS: 1.6, Rounds, before: null);
    }

    private static DemodulatedSegment Make()
    {
        double[] none = new double[(Count - 1) * 32 + 1];
        DetrendedSegment segment = DetrendedSegment
            .Cut(OrderSegments.Track(RateHz, none, none, none), [new TimeInterval(0, LongS)], 0.1)
            .Single();
        RotorAngle[] angles = [.. s_speeds.Select(s => new RotorAngle(new Series([0, LongS], [60 * s.FromHz, 60 * s.ToHz])))];
        var made = DemodulatedSegment.Of(
            segment,
            [.. s_lines.Select(l => Line.Of(l.Rotor, l.Order, 40, RateHz))],
            RotorPhases.Reported(segment, angles),
            new Workspace()
        );
        for (int i = 0; i < 3 * s_lines.Length; i++)
        {
            for (int k = 0; k < Count; k++)
            {
                made.Sums[i][k] = Sum(i / 3, i % 3, k);
            }
        }

        return made;
    }

    /// <summary>All lines seen along one, through the triangle of the demodulation, and something like noise.</summary>
    private static Complex Sum(int line, int axis, int k)
    {
        Complex sum = 0;
        for (int other = 0; other < s_lines.Length; other++)
        {
            double x = Math.PI * EnvelopeS * (s_lines[other].Order * Hz(other, k) - s_lines[line].Order * Hz(line, k)),
                sinc = Math.Abs(x) > 3 ? 0
                : x == 0 ? 1
                : Math.Sin(x) / x;
            double size = 1 + 0.3 * Math.Cos(0.05 * k + s_scriptLines[other]);
            sum += sinc * sinc * size * s_sizes[other][axis] * Complex.FromPolarCoordinates(1, Angle(other, k) - Angle(line, k));
        }

        int script = s_scriptLines[line];
        return sum + 0.02 * new Complex(Wobble(script, axis, k), Wobble(script, axis + 4, 3 * k));
    }

    private static int Wobble(int a, int b, int c) => (3 * a + 5 * b + 2 * c) % 7 - 3;

    private static double Angle(int line, int k) => s_lines[line].Order * RotorAngleAt(s_lines[line].Rotor, k);

    /// <summary>The angle of a speed that changes evenly, rad.</summary>
    private static double RotorAngleAt(int rotor, int k)
    {
        (double from, double to) = s_speeds[rotor];
        double t = k * EnvelopeS;
        return Math.Tau * (from * t + 0.5 * (to - from) / LongS * t * t);
    }

    private static double Hz(int line, int k)
    {
        int low = Math.Max(0, k - 2),
            high = Math.Min(Count - 1, k + 2),
            rotor = s_lines[line].Rotor;
        return (RotorAngleAt(rotor, high) - RotorAngleAt(rotor, low)) / (Math.Tau * (high - low) * EnvelopeS);
    }
}
