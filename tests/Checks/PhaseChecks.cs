using System.Numerics;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Checks;

/// <summary>Angles of rotors from noisy phasors, followed sample by sample and all at once, against dense least squares by numpy and scipy
/// on the whole Gaussian model: tools/reference-values/phases.py (numpy 1.24.2, scipy 1.10.1). Errors are some 1e-7 rad, so that the model
/// is linear.</summary>
public sealed class PhaseChecks
{
    private const double RateHz = 1000,
        EnvelopeS = 0.032,
        Rad = 1e-7;
    private const int Count = 6;

    private static Model OneRotor { get; } =
        new(
            [(0, 1), (0, 3)],
            [
                [new(1, 0.2), new(0.3, -0.4), new(0, 0.5)],
                [0.2, new(-0.1, 0.3), new(0.25, -0.05)],
            ],
            [40]
        );

    private static Model TwoRotors { get; } =
        new(
            [(0, 2), (1, 2)],
            [
                [1, Polar(0.6, 0.4), 0.3],
                [Polar(1, 0.7), Polar(0.6, -1.1), Polar(0.3, 2)],
            ],
            [20, 22.5]
        );

    private static Model ThreeLines { get; } =
        new(
            [(0, 32), (0, 33), (1, 32)],
            [
                [1, Polar(0.6, 0.4), 0.3],
                [Polar(0.4, 0.2), 0.2, Polar(0.5, 3)],
                [Polar(0.8, 0.7), Polar(0.9, -1.1), Polar(0.2, 2)],
            ],
            [10, 10.15]
        );

    // Kalman filter = posterior mean given the samples so far. Orders weigh by exp(-k² variance / 2), the mean of exp(i k x) of a normal x.
    [Fact]
    public void An_angle_followed_from_either_end_is_what_least_squares_makes_of_the_samples_so_far()
    {
        using DemodulatedSegment made = OneRotor.Make();
        double[] weights = [4, 9, 2, 12, 5, 7];
        AssertAngles(
            [
                [
                    -0.22154992537121737,
                    -1.3398187708235243,
                    -1.6955094334995735,
                    -1.6039722385806754,
                    -2.0925191672929526,
                    -1.7896415344110892,
                ],
            ],
            PhaseFilter.Follow(made, OneRotor.Envelopes(made), weights, 0.5, backward: false)
        );
        AssertAngles(
            [
                [1.5568851909664847, 1.4992110367111526, 1.6385919149291421, 1.5129783557424803, 0.6969346216828358, 0.2284835718043262],
            ],
            PhaseFilter.Follow(made, OneRotor.Envelopes(made), weights, 0.5, backward: true)
        );
    }

    [Fact]
    public void Angles_of_two_rotors_whose_lines_overlap_are_followed_together()
    {
        using DemodulatedSegment made = TwoRotors.Make();
        double[] weights = [4, 9, 2, 4, 9, 2];
        AssertAngles(
            [
                [
                    -0.22981598454996835,
                    -2.005494707586564,
                    -0.4556971020293296,
                    -0.10338519597557393,
                    -0.7180198816347959,
                    -1.1229013361182478,
                ],
                [-1.2671248891051565, -0.7392010046472905, -1.5623473067347002, -2.24107740010154, -0.9293110125329747, 2.417145858505877],
            ],
            PhaseFilter.Follow(made, TwoRotors.Envelopes(made), weights, 0.5, backward: false)
        );
        AssertAngles(
            [
                [1.0026397461647054, 0.9774651401333209, 2.8155255112798416, 2.115164365702345, 0.9665129140392872, -0.040857266781508694],
                [-1.0094396059091544, -0.7808537109785347, -1.8480748504546058, -2.186452836882671, -0.5812507203450556, 2.001392661716305],
            ],
            PhaseFilter.Follow(made, TwoRotors.Envelopes(made), weights, 0.5, backward: true)
        );
    }

    // Covariance: inverse of information and prior precision. Of the noise at a line, 0.3 % of its square counts besides, and 1e-5 of all
    // lines' squares (OrderTuning); what is given here makes 1 / weight the same for all lines of an axis.
    [Fact]
    public void All_angles_at_once_and_their_variances_are_those_of_least_squares()
    {
        using DemodulatedSegment made = ThreeLines.Make();
        using EnvelopeSet envelopes = ThreeLines.Envelopes(made);
        using var residual = Residual.Of(made, envelopes);
        double[] ofAxis = [0.0045, 0.004, 0.0035];
        double[] noise =
        [
            .. ThreeLines.Phasors.SelectMany(line => line.Select((c, axis) => ofAxis[axis] - 0.003 * c.Magnitude * c.Magnitude)),
        ];
        PhaseEstimate found = PhaseEstimator.Of(made, envelopes, residual, new NoiseEstimate(noise, 1), mostProcessNoise: 1e-4);
        Assert.Equal(1e-4, found.ProcessNoise, tolerance: 1e-12);
        AssertAngles(
            [
                [
                    -0.011263839380540416,
                    -0.7558728821901248,
                    -0.8479943002474439,
                    0.074128392810069,
                    -0.5587994872475344,
                    -0.5069625322036193,
                ],
                [
                    0.9513344666788328,
                    -0.07363088597636126,
                    -1.6312272860834536,
                    -0.9655317868023401,
                    -1.1493067612973815,
                    -0.3404305569096085,
                ],
            ],
            found.Step
        );
        double[][] variances =
        [
            [
                8.522917842205385e-07,
                7.998515649122921e-07,
                7.86651223723153e-07,
                6.874261998316201e-07,
                7.816019887923879e-07,
                9.949717659907882e-07,
            ],
            [
                1.2399117735712335e-06,
                8.906048186381459e-07,
                8.771089926908223e-07,
                9.457599370745488e-07,
                8.940975472680931e-07,
                1.0705253087547397e-06,
            ],
        ];
        double moved = 0,
            all = 0;
        for (int rotor = 0; rotor < 2; rotor++)
        {
            for (int b = 0; b < Count; b++)
            {
                Assert.Equal(variances[rotor][b], found.Variance[rotor][b], tolerance: 1e-5 * variances[rotor][b]);
                moved += Math.Pow(found.Step[rotor][b], 2);
                all += variances[rotor][b];
            }
        }

        Assert.Equal(Math.Sqrt(moved / all), found.Moved, tolerance: 1e-5 * found.Moved);
    }

    private static Complex Polar(double size, double angle) => Complex.FromPolarCoordinates(size, angle);

    private static void AssertAngles(double[][] expected, double[][] found)
    {
        Assert.Equal(expected.Length, found.Length);
        for (int rotor = 0; rotor < expected.Length; rotor++)
        {
            for (int b = 0; b < Count; b++)
            {
                Assert.Equal(expected[rotor][b], found[rotor][b] / Rad, tolerance: 3e-5);
            }
        }
    }

    /// <summary>Steady rotors, lines of constant phasors, and angles that were corrected and are still a little off.</summary>
    /// <param name="Lines">Rotor and order of each.</param>
    /// <param name="Phasors">x, y, z of each line.</param>
    /// <param name="Hz">Frequency of each rotor.</param>
    private sealed record Model((int Rotor, int Order)[] Lines, Complex[][] Phasors, double[] Hz)
    {
        internal DemodulatedSegment Make()
        {
            int samples = (Count - 1) * 32 + 1;
            DetrendedSegment segment = DetrendedSegment
                .Cut(
                    OrderSegments.Track(RateHz, new double[samples], new double[samples], new double[samples]),
                    [new TimeInterval(0, (samples - 1) / RateHz)],
                    0.1
                )
                .Single();
            RotorAngle[] angles = [.. Hz.Select(hz => new RotorAngle(new Series([0, 1], [60 * hz, 60 * hz])))];
            using var steady = DemodulatedSegment.Of(
                segment,
                [.. Lines.Select(l => Line.Of(l.Rotor, l.Order, Hz[l.Rotor], RateHz))],
                RotorPhases.Reported(segment, angles),
                new Workspace()
            );
            DemodulatedSegment made = steady.Rotated(
                [.. Hz.Select((_, r) => Enumerable.Range(0, Count).Select(b => Correction(r, b)).ToArray())],
                withSpeeds: false
            );
            for (int l = 0; l < Lines.Length; l++)
            {
                for (int axis = 0; axis < 3; axis++)
                {
                    for (int b = 0; b < Count; b++)
                    {
                        made.Sums[3 * l + axis][b] = Sum(l, axis, b);
                    }
                }
            }

            return made;
        }

        internal EnvelopeSet Envelopes(DemodulatedSegment made)
        {
            EnvelopeSet set = made.Workspace.Rent(3 * Lines.Length, Count);
            for (int i = 0; i < set.Count; i++)
            {
                Array.Fill(set[i], Phasors[i / 3][i % 3]);
            }

            return set;
        }

        private static double Correction(int rotor, int b) => Rad * (2 * b - rotor * b * b / 2.0);

        private double Angle(int line, int b) =>
            Lines[line].Order * (Math.Tau * Hz[Lines[line].Rotor] * b * EnvelopeS + Correction(Lines[line].Rotor, b));

        /// <summary>All lines seen along one: sinc² of their distance, and how their phases differ.</summary>
        private Complex Sum(int line, int axis, int b)
        {
            Complex sum = 0;
            for (int o = 0; o < Lines.Length; o++)
            {
                double apartHz = Lines[o].Order * Hz[Lines[o].Rotor] - Lines[line].Order * Hz[Lines[line].Rotor],
                    x = Math.PI * EnvelopeS * apartHz,
                    sinc = Math.Abs(apartHz) >= 24 ? 0
                    : x == 0 ? 1
                    : Math.Sin(x) / x;
                double off = Lines[o].Order * Rad * ((3 * o + 5 * axis + 2 * b) % 7 - 3);
                sum += sinc * sinc * Phasors[o][axis] * Polar(1, Angle(o, b) - Angle(line, b) + off);
            }

            return sum;
        }
    }
}
