using VibeCheck.Core.Airframes;

namespace VibeCheck.FlightMaker;

/// <summary>The sample jobs in sample-logs/. All data in them are invented.</summary>
public static class SampleJobs
{
    private static readonly Airframe Hexa = DemoAirframes.Ring(6, "Demo hexa", 6.8, 0.42, 2);

    /// <summary>All sample jobs.</summary>
    public static IReadOnlyList<SampleJob> All => [Reshim, Null, Mixed, NotComparable, NoSpeeds, LooseArm];

    /// <summary>Three mounts lean to the right and are corrected by shims: less vibration, cooler motors, slightly cooler ESCs.</summary>
    public static SampleJob Reshim =>
        new(
            "reshim-hexa",
            "Re-shim after arm swap",
            Flight(
                101,
                [0.41, 0.02, 0.52, -0.04, 0.30, 0.05],
                [1.05, 0.42, 1.30, 0.47, 0.85, 0.38],
                [33.5, 24.1, 36.2, 23.4, 31.0, 24.6],
                [20.5, 16.0, 21.8, 15.7, 19.4, 16.2],
                21
            ),
            Flight(
                202,
                [0.01, 0.02, 0.09, -0.04, 0.08, 0.05],
                [0.43, 0.40, 0.55, 0.46, 0.41, 0.39],
                [27.9, 26.2, 28.8, 26.0, 28.1, 26.6],
                [18.2, 17.2, 18.6, 17.1, 18.2, 17.3],
                24
            ),
            """
            motor,when,where,direction,angle_deg,low_side,note,shims
            M1,as-found,frame,across,0.1,right,hub plate
            M1,as-found,mount,across,0.5,right,
            M1,as-found,mount,across,0.5,right,
            M1,as-found,frame,along,0.2,out,
            M1,as-found,mount,along,0.2,out,
            M2,as-found,frame,across,0.1,left,
            M2,as-found,mount,across,0.1,left,
            M2,as-found,mount,across,0.1,left,
            M3,as-found,frame,across,0.2,left,
            M3,as-found,mount,across,0.3,right,
            M3,as-found,mount,across,0.3,right,
            M4,as-found,frame,across,0.1,left,
            M4,as-found,mount,across,0.1,left,
            M4,as-found,mount,across,0.2,left,
            M5,as-found,frame,across,0.0,level,
            M5,as-found,mount,across,0.3,right,
            M5,as-found,mount,across,0.3,right,
            M6,as-found,frame,across,0.1,right,
            M6,as-found,mount,across,0.1,right,
            M6,as-found,mount,across,0.2,right,
            M1,as-left,frame,across,0.1,right,,right 0.2
            M1,as-left,mount,across,0.1,right,
            M1,as-left,mount,across,0.1,right,
            M2,as-left,frame,across,0.1,left,
            M2,as-left,mount,across,0.1,left,
            M3,as-left,frame,across,0.2,left,,right 0.2
            M3,as-left,mount,across,0.1,left,
            M3,as-left,mount,across,0.1,left,
            M4,as-left,frame,across,0.1,left,
            M4,as-left,mount,across,0.1,left,
            M5,as-left,frame,across,0.0,level,,right 0.1
            M5,as-left,mount,across,0.1,right,
            M5,as-left,mount,across,0.1,right,
            M6,as-left,frame,across,0.1,right,
            M6,as-left,mount,across,0.1,right,

            """,
            SampleFiles.ImuAndEsc
        );

    /// <summary>Bolts were loosened and tightened again, nothing else: no change to detect.</summary>
    public static SampleJob Null =>
        new(
            "null-hexa",
            "Mounts re-tightened, no shims",
            Flight(
                303,
                [0.06, -0.05, 0.04, 0.03, -0.06, 0.02],
                [0.52, 0.44, 0.61, 0.47, 0.58, 0.41],
                [27.0, 26.4, 27.8, 26.1, 27.5, 26.3],
                [18.0, 17.4, 18.3, 17.3, 18.1, 17.5],
                18
            ),
            Flight(
                404,
                [0.06, -0.05, 0.04, 0.03, -0.06, 0.02],
                [0.51, 0.45, 0.60, 0.48, 0.57, 0.42],
                [27.3, 26.2, 27.5, 26.4, 27.6, 26.0],
                [18.2, 17.2, 18.3, 17.5, 17.9, 17.6],
                19
            ),
            """
            motor,when,where,direction,angle_deg,low_side,note
            M1,as-found,frame,across,0.1,right,hub plate
            M1,as-found,mount,across,0.2,right,
            M2,as-found,frame,across,0.1,left,
            M2,as-found,mount,across,0.1,left,
            M3,as-found,frame,across,0.0,level,
            M3,as-found,mount,across,0.0,level,
            M4,as-found,frame,across,0.1,left,
            M4,as-found,mount,across,0.1,left,
            M5,as-found,frame,across,0.0,level,
            M5,as-found,mount,across,0.1,left,
            M6,as-found,frame,across,0.1,right,
            M6,as-found,mount,across,0.1,right,

            """,
            SampleFiles.Wide
        );

    /// <summary>The shims reduced the vibration, but one motor now runs hot: tightening pinched a bearing.</summary>
    public static SampleJob Mixed =>
        new(
            "mixed-hexa",
            "Re-shim, second try",
            Flight(
                505,
                [0.35, 0.03, 0.42, -0.02, 0.33, 0.04],
                [0.95, 0.42, 1.15, 0.47, 0.90, 0.38],
                [32.0, 24.5, 33.4, 24.0, 31.6, 24.8],
                [20.0, 16.2, 20.8, 16.0, 19.8, 16.4],
                22
            ),
            Flight(
                606,
                [0.03, 0.03, 0.02, -0.02, 0.04, 0.04],
                [0.44, 0.41, 0.47, 0.45, 0.43, 0.39],
                [27.8, 26.4, 42.0, 26.2, 28.0, 26.7],
                [18.2, 17.3, 19.0, 17.2, 18.3, 17.4],
                22
            ),
            SurveyCsv: null,
            SampleFiles.Wide
        );

    /// <summary>The second flight had another battery and camera: a heavier aircraft with faster rotors.</summary>
    public static SampleJob NotComparable =>
        new(
            "not-comparable-hexa",
            "Re-shim, flown with the long-range battery",
            Flight(
                707,
                [0.30, 0.03, 0.32, -0.02, 0.28, 0.04],
                [0.90, 0.42, 1.05, 0.47, 0.85, 0.38],
                [31.0, 25.0, 32.0, 24.6, 30.6, 25.2],
                [19.6, 16.4, 20.0, 16.3, 19.4, 16.6],
                20
            ),
            Flight(
                808,
                [0.02, 0.03, 0.03, -0.02, 0.03, 0.04],
                [0.75, 0.71, 0.79, 0.75, 0.73, 0.70],
                [41.0, 39.5, 41.5, 39.2, 41.2, 39.8],
                [26.0, 25.1, 26.3, 25.0, 26.2, 25.2],
                20
            ) with
            {
                HoverRpm = 4150,
            },
            SurveyCsv: null,
            SampleFiles.Wide
        );

    /// <summary>The recorder has no ESC telemetry, as is usual: no rotor speeds, no temperatures. Shims corrected two mounts.</summary>
    public static SampleJob NoSpeeds =>
        new(
            "no-speeds-hexa",
            "Re-shim, recorder without ESC telemetry",
            Flight(909, [0.38, 0.02, 0.45, -0.03, 0.05, 0.04], [1.00, 0.42, 1.20, 0.46, 0.45, 0.39], [], [], 19),
            Flight(1010, [0.02, 0.02, 0.06, -0.03, 0.05, 0.04], [0.42, 0.41, 0.50, 0.45, 0.44, 0.40], [], [], 20),
            """
            motor,when,where,direction,angle_deg,low_side,note,shims
            M1,as-found,frame,across,0.1,right,hub plate
            M1,as-found,mount,across,0.5,right,
            M1,as-found,mount,across,0.5,right,
            M2,as-found,frame,across,0.1,left,
            M2,as-found,mount,across,0.1,left,
            M3,as-found,frame,across,0.2,left,
            M3,as-found,mount,across,0.2,right,
            M3,as-found,mount,across,0.3,right,
            M4,as-found,frame,across,0.1,left,
            M4,as-found,mount,across,0.1,left,
            M5,as-found,frame,across,0.0,level,
            M5,as-found,mount,across,0.1,right,
            M6,as-found,frame,across,0.1,right,
            M6,as-found,mount,across,0.1,right,
            M1,as-left,frame,across,0.1,right,,right 0.2
            M1,as-left,mount,across,0.1,right,
            M3,as-left,frame,across,0.2,left,,right 0.2
            M3,as-left,mount,across,0.1,left,
            M3,as-left,mount,across,0.2,left,

            """,
            SampleFiles.Commands
        );

    /// <summary>The arm of M4 was loose in its clamp and knocked once every second turn, which gives half orders. Its screws were
    /// tightened, nothing else.</summary>
    public static SampleJob LooseArm =>
        new(
            "loose-arm-hexa",
            "Clamp screws of one arm tightened",
            WithHalfOrders(
                Flight(
                    1111,
                    [0.05, 0.03, 0.04, -0.02, 0.03, 0.04],
                    [0.50, 0.42, 0.58, 0.52, 0.55, 0.41],
                    [27.2, 26.5, 27.6, 26.2, 27.4, 26.4],
                    [18.0, 17.4, 18.3, 17.3, 18.1, 17.5],
                    17
                ),
                3
            ),
            Flight(
                1212,
                [0.05, 0.03, 0.04, -0.02, 0.03, 0.04],
                [0.51, 0.43, 0.57, 0.50, 0.56, 0.40],
                [27.0, 26.3, 27.8, 26.4, 27.2, 26.2],
                [18.1, 17.3, 18.2, 17.4, 18.0, 17.6],
                18
            ),
            SurveyCsv: null,
            SampleFiles.Wide
        );

    private static FlightRecipe WithHalfOrders(FlightRecipe recipe, int motor) =>
        recipe with
        {
            Rotors =
            [
                .. recipe.Rotors.Select(
                    (r, m) =>
                        m != motor
                            ? r
                            : r with
                            {
                                Orders = [.. r.Orders, new(0.5, 0.55, 2, 0.1), new(1.5, 0.75, 2, 0.1), new(2.5, 0.35, 2, 0.1)],
                            }
                ),
            ],
        };

    private static FlightRecipe Flight(int seed, double[] tilt, double[] order1, double[] motorRise, double[] escRise, double ambientC)
    {
        var random = new Random(seed);
        return new FlightRecipe
        {
            Airframe = Hexa,
            Seed = seed,
            TiltAcrossDeg = tilt,
            HoverS = 95,
            ImuRateHz = 500,
            AccStepMps2 = 0.001,
            AmbientC = ambientC,
            MotorRiseC = motorRise,
            EscRiseC = escRise,
            MotorTauS = 55,
            EscTauS = 38,
            ManoeuvresAtS = [52],
            Resonances = [new Resonance(88, 0.03, 0.15)],
            Rotors = order1
                .Select(size => new RotorSource([
                    new(1, size * Near(random)),
                    new(2, 0.55 * Near(random), 2, 0.05),
                    new(3, 0.12 * Near(random)),
                    new(4, 0.22 * Near(random), 2, 0.05),
                ]))
                .ToArray(),
        };
    }

    /// <summary>A factor that scatters from flight to flight by a few tenths of a dB.</summary>
    private static double Near(Random random) => Math.Pow(10, 0.25 * SpeedTrace.Gauss(random) / 20);
}
