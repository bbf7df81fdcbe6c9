using VibeCheck.Core.Airframes;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Comparisons;

/// <summary>Analyses of a six-rotor aircraft with given levels, rises and speeds, for tests of the comparison alone.</summary>
internal sealed record MadeFlights
{
    internal static readonly Airframe Hexa = DemoAirframes.Ring(6, "Made hexa", 6.8, 0.42, 2);

    /// <summary>Order 1 of each motor, m/s².</summary>
    internal double[] Order1 { get; init; } = [0.5, 0.45, 0.6, 0.48, 0.55, 0.42];

    /// <summary>Order 2 of each motor, m/s².</summary>
    internal double[] Order2 { get; init; } = [0.5, 0.5, 0.5, 0.5, 0.5, 0.5];

    internal double[] MotorRiseC { get; init; } = [27, 26, 28, 26, 27, 26];

    /// <summary>Factor on all temperature readings.</summary>
    internal double TempFactor { get; init; } = 1;

    /// <summary>Time constant of all motors and ESCs, s.</summary>
    internal double TauS { get; init; } = 70;

    /// <summary>Motor whose temperature column is missing; null for none.</summary>
    internal string? MissingMotorTemp { get; init; }

    internal double[] EscRiseC { get; init; } = [18, 17, 18, 17, 18, 17];

    internal double Rpm { get; init; } = 3400;

    /// <summary>Speed of each motor relative to <see cref="Rpm"/>.</summary>
    internal double[] RpmShare { get; init; } = [1, 1, 1, 1, 1, 1];

    internal double? AmbientC { get; init; } = 20;

    internal bool AmbientGiven { get; init; } = true;

    internal bool HasTelemetry { get; init; } = true;

    internal double HoverS { get; init; } = 120;

    internal DateTime? StartedUtc { get; init; }

    internal double[] Split { get; init; } = [0.02];

    /// <summary>Rotation of the IMU about x relative to level, degrees.</summary>
    internal double ImuTurnDeg { get; init; }

    /// <summary>Half width of every interval of a level, relative to the level.</summary>
    internal double Doubt { get; init; } = 0.02;

    /// <summary>Whether order 2 of the first motor is known in this flight.</summary>
    internal bool KnowsOrder2OfFirst { get; init; } = true;

    /// <summary>Faults of the log.</summary>
    internal IReadOnlyList<QualityIssue> Faults { get; init; } = [];

    /// <summary>Parts of all vibration, m/s², in the order of their kinds; null where the vibration was not separated into parts.</summary>
    internal double[]? PartsMps2 { get; init; }

    /// <summary>Noise of the sensor that was subtracted from the parts, m/s²; null where the log contains no time at rest.</summary>
    internal double? NoiseMps2 { get; init; }

    /// <summary>Half width of the interval of each part, m/s²; null for a share of its level.</summary>
    internal double? PartHalfMps2 { get; init; }

    /// <summary>Load share of each motor.</summary>
    internal double[] LoadShare { get; init; } = [1, 1, 1, 1, 1, 1];

    /// <summary>Number of motors, counted from the first, that have telemetry.</summary>
    internal int Logged { get; init; } = 6;

    internal AnalysedFlight Build(string name, bool isAfter)
    {
        TimeInterval[] hover = HoverS > 0 ? [new(5, 5 + HoverS)] : [];
        Flight flight = new()
        {
            Imu = Imu(),
            Motors = HasTelemetry
                ?
                [
                    .. Hexa
                        .Motors.Take(Logged)
                        .Select(m => new MotorTrack
                        {
                            MotorId = m.Id,
                            Rpm = Flat(Rpm),
                            MotorTempC = m.Id == MissingMotorTemp ? null : Warming,
                            EscTempC = Warming,
                        }),
                ]
                : [],
            AmbientC = AmbientGiven ? AmbientC : null,
            Input = new FlightInput
            {
                Imu = new FileRecord
                {
                    Path = name,
                    Rows = 1,
                    RowsUnusable = 0,
                    Columns = [],
                },
                StartedUtc = StartedUtc,
            },
        };
        HoverTime time = new(hover, new HoverGiven());
        return new(
            name,
            isAfter,
            flight,
            new MatchedHover(time, time, HasTelemetry ? Rpm : null),
            QualityEffects.Apply(Analysis(flight, time), Faults)
        );
    }

    private FlightAnalysis Analysis(Flight flight, HoverTime hover) =>
        new()
        {
            Airframe = Hexa,
            Input = flight.Input,
            AmbientC = AmbientC,
            Hover = hover,
            Levels = [new Level("acc_z", "m/s²", Size(1.5), new Interval(5, 500))],
            Motors =
            [
                .. Hexa.Motors.Select(
                    (m, i) =>
                        new MotorAnalysis
                        {
                            Id = m.Id,
                            RpmMean = HasTelemetry ? Estimate.Around(Rpm * RpmShare[i], 2) : Estimate.Unknown(new NoMotorTelemetry()),
                            LoadShare = HasTelemetry ? Estimate.Around(LoadShare[i], 0.01) : Estimate.Unknown(new NoMotorTelemetry()),
                            CurrentA = HasTelemetry ? Estimate.Around(6.5, 0.1) : Estimate.Unknown(new NoMotorTelemetry()),
                            Orders = HasTelemetry ? OrdersOf(i) : [],
                            MotorTemp =
                                m.Id == MissingMotorTemp
                                    ? TemperatureRise.Unknown(new TemperatureNotLogged(Esc: false))
                                    : Rise(MotorRiseC[i]),
                            EscTemp = Rise(EscRiseC[i]),
                            UnbalanceGmm = Estimate.Unknown(new NotMeasured()),
                        }
                ),
            ],
            RotorVibrationMps2 = HasTelemetry
                ? Size(Math.Sqrt(Order1.Concat(Order2).Sum(a => a * a)))
                : Estimate.Unknown(new RotorSpeedsNotLogged()),
            Accounting = Account(),
            YawTrim = new YawTrim(Estimate.Around(Split[0], 0.001), YawTrimSource.Rpm),
            Peaks = [],
            Spectra = [],
            Findings = [],
            Warnings = [],
        };

    private OrderLevel[] OrdersOf(int motor) =>
        motor == 0 && !KnowsOrder2OfFirst ? [Level(1, Order1[0])] : [Level(1, Order1[motor]), Level(2, Order2[motor])];

    private VibrationAccount? Account()
    {
        if (PartsMps2 is null)
        {
            return null;
        }

        double square = PartsMps2.Sum(p => p * p);
        return new()
        {
            TotalMps2 = Size(Math.Sqrt(square)),
            SensorNoiseMps2 = NoiseMps2 is double noise ? Size(noise) : Estimate.Unknown(new NoTimeAtRest()),
            BandHz = new Interval(5, 200),
            Parts = [.. PartsMps2.Select((p, i) => new VibrationPart((VibrationPartKind)i, PartSize(p), p * p / square))],
            Knocks = new(0, null, 0),
        };
    }

    private Estimate PartSize(double mps2) =>
        PartHalfMps2 is double half ? Estimate.Of(mps2, new(Math.Max(0, mps2 - half), mps2 + half)) : Size(mps2);

    private Estimate Size(double mps2) => Estimate.Around(mps2, Doubt * mps2);

    private OrderLevel Level(int order, double mps2) =>
        new()
        {
            Order = order,
            RmsMps2 = Size(mps2),
            Separable = true,
        };

    private TemperatureRise Rise(double riseC) =>
        AmbientC is null || !HasTelemetry
            ? TemperatureRise.Unknown(new AmbientUnknown())
            : new TemperatureRise
            {
                RiseSteadyC = Estimate.Around(riseC, 0.4),
                TauS = TauS,
                OneBodyTauS = TauS,
            };

    private ImuTrack Imu()
    {
        int count = 2000;
        double turn = ImuTurnDeg * Math.PI / 180;
        return new ImuTrack
        {
            Blocks = [new ContiguousSegment(0, count, 0, 0.1)],
            AccXMps2 = new double[count],
            AccYMps2 = [.. Enumerable.Repeat(-9.81 * Math.Sin(turn), count)],
            AccZMps2 = [.. Enumerable.Repeat(-9.81 * Math.Cos(turn), count)],
        };
    }

    private Series Warming =>
        new([0, 20, 40, 60, 80, 100, 200], [.. new double[] { 20, 27, 32, 36, 39, 40, 45 }.Select(c => TempFactor * c)]);

    private static Series Flat(double value) => new([0, 200], [value, value]);

    internal static Comparison Compare(MadeFlights before, MadeFlights after, Survey? survey = null, ComparisonOptions? options = null) =>
        Compare([before], [after], survey, options);

    internal static Comparison Compare(
        MadeFlights[] before,
        MadeFlights[] after,
        Survey? survey = null,
        ComparisonOptions? options = null
    ) =>
        JobComparison.Of(
            "Made job",
            Hexa,
            survey,
            new FlightSet(
                [.. before.Select((f, i) => f.Build(before.Length == 1 ? "before" : $"before {i + 1}", false))],
                [.. after.Select((f, i) => f.Build(after.Length == 1 ? "after" : $"after {i + 1}", true))]
            ),
            before.Concat(after).All(f => f.HasTelemetry) ? HoverBasis.Rpm : HoverBasis.None,
            options ?? new()
        );

    internal static Survey Survey(double[] found, double[]? left) =>
        new([.. found.Select(Tilt)], left is null ? [] : [.. left.Select(Tilt)]);

    private static MotorTilt Tilt(double deg, int motor) =>
        new($"M{motor + 1}", Estimate.Around(deg, 0.06), Estimate.Unknown(new NoMountReading(TiltDirection.Along)));
}
