using VibeCheck.Core.Airframes;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Reports.Tests;

/// <summary>An invented re-shim job on an invented six-rotor aircraft. All numbers are made up to test the writers.</summary>
internal static class Examples
{
    private static readonly string[] _axes = ["acc_x", "acc_y", "acc_z"];
    private static readonly double[] _orderOneBefore = [1.42, 0.61, 2.35, 0.78, 1.10, 0.55];
    private static readonly double[] _orderOneAfter = [0.48, 0.57, 0.83, 0.70, 0.46, 0.58];
    private static readonly double[] _rpmBefore = [3312, 3188, 3330, 3170, 3298, 3201];
    private static readonly double[] _rpmAfter = [3252, 3247, 3261, 3240, 3255, 3250];
    private static readonly double[] _acrossFound = [0.42, -0.05, 0.61, 0.04, 0.38, -0.08];
    private static readonly double[] _acrossLeft = [0.04, -0.05, -0.03, 0.04, 0.02, -0.08];
    private static readonly double[] _alongFound = [-0.10, 0.06, 0.22, -0.12, 0.05, 0.03];

    internal static Airframe Hexa { get; } =
        new()
        {
            Name = "Demo hexa",
            MassKg = 6.8,
            TorquePerThrustM = 0.018,
            Bolts = BoltPattern.Rectangle(28.6, 28.6),
            ShimKit = new ShimKit([0.1, 0.2, 0.3], 2),
            Motors =
            [
                .. Enumerable
                    .Range(0, 6)
                    .Select(i => new Motor(
                        $"M{i + 1}",
                        30 + 60 * i,
                        0.42,
                        i % 2 == 0 ? Spin.Clockwise : Spin.CounterClockwise,
                        MotorLevel.Single,
                        2,
                        14
                    )),
            ],
        };

    /// <summary>Four arms with a coaxial pair each.</summary>
    internal static Airframe Octo { get; } =
        new()
        {
            Name = "Demo coaxial octo",
            Motors =
            [
                .. Enumerable
                    .Range(0, 8)
                    .Select(i => new Motor(
                        $"M{i + 1}",
                        45 + 90 * (i / 2),
                        0.5,
                        i % 4 is 0 or 3 ? Spin.Clockwise : Spin.CounterClockwise,
                        i % 2 == 0 ? MotorLevel.Upper : MotorLevel.Lower,
                        3,
                        12
                    )),
            ],
        };

    internal static Survey Survey { get; } =
        new(
            [.. Enumerable.Range(0, 6).Select(i => Tilt(i, _acrossFound))],
            [.. Enumerable.Range(0, 6).Where(i => i != 5).Select(i => Tilt(i, _acrossLeft))]
        );

    internal static FlightAnalysis Before { get; } = Flight("before-1", _rpmBefore, _orderOneBefore, 1.0, 46);

    internal static FlightAnalysis After { get; } = Flight("after-1", _rpmAfter, _orderOneAfter, 0.6, 40);

    /// <summary>A single wide file without temperatures or ambient, and two motors that no window can separate.</summary>
    internal static FlightAnalysis Wide { get; } =
        After with
        {
            AmbientC = null,
            Input = After.Input with
            {
                Esc = null,
                ClockOffsetS = 0,
                ClockOffsetU95S = null,
                ClockDriftPpm = null,
                StartedUtc = null,
                ClockWhy = null,
            },
            Motors =
            [
                .. After.Motors.Select(
                    (m, i) =>
                        m with
                        {
                            CurrentA = Estimate.Unknown(new CurrentMissingInHover()),
                            MotorTemp = TemperatureRise.Unknown(new TemperatureNotLogged(Esc: false)),
                            EscTemp = TemperatureRise.Unknown(new TemperatureNotLogged(Esc: true)),
                            UnbalanceGmm = Estimate.Unknown(new MassNotGiven()),
                            Orders = i is 1 or 3 ? [.. m.Orders.Select(Merged)] : m.Orders,
                        }
                ),
            ],
        };

    internal static FlightAnalysis NoHover { get; } =
        Wide with
        {
            Hover = new HoverTime([], new NoSteadyHover(2, HoverSource.Command, 0.1, HoverCriterion.Load, 0.9)),
            RotorVibrationMps2 = Estimate.Unknown(new NoHoverFound()),
            YawTrim = new YawTrim(Estimate.Unknown(new NoHoverFound()), YawTrimSource.Command),
            Levels = [],
            Motors = [.. Hexa.Motors.Select(m => Nothing(m.Id, new NoHoverFound()))],
            Peaks = [],
            Spectra = [],
            Findings = [],
        };

    internal static Comparison Improved { get; } =
        new()
        {
            Title = "Re-shim after arm swap",
            Airframe = Hexa,
            Survey = Survey,
            Verdict = Verdict.Improved,
            Reasons =
            [
                new RotorVibrationChanged(ByGroup: false, 3.18, 1.62, -5.9, new Interval(-6.8, -5.0)),
                new HottestUnitChanged(Esc: false, 46.2, 40.1, -6.1, new Interval(-7.7, -4.5), "M3", "M1"),
                new NoClearChangeOf(Quantity.EscTemperature, Judged(-0.8, 1.7, false, Significance.NotSignificant)),
            ],
            NextSteps = [new FlyMoreFlights(Quantity.MotorTemperature, 1.6, 2), new LogRotorSpeedsByMotor(), new KeepAsReference()],
            Vibration = Known(
                CallKind.Improved,
                3.18,
                1.62,
                Estimate.Around(-5.9, 0.9),
                "m/s²",
                "dB",
                Judged(-5.9, 0.9, true, Significance.Clear)
            ),
            MotorTemperature = Known(
                CallKind.Improved,
                46.2,
                40.1,
                Estimate.Around(-6.1, 1.6),
                "°C",
                "°C",
                Judged(-6.1, 1.6, false, Significance.Clear)
            ),
            EscTemperature = Known(
                CallKind.NoClearChange,
                27.4,
                26.6,
                Estimate.Around(-0.8, 1.7),
                "°C",
                "°C",
                Judged(-0.8, 1.7, false, Significance.NotSignificant)
            ),
            Motors = [.. Enumerable.Range(0, 6).Select(Change)],
            Levels =
            [
                new LevelChange(
                    "acc_x",
                    "m/s²",
                    Estimate.Around(1.92, 0.08),
                    Estimate.Around(1.02, 0.05),
                    Estimate.Around(-5.5, 0.8),
                    CallKind.Improved
                ),
                new LevelChange(
                    "acc_y",
                    "m/s²",
                    Estimate.Around(1.75, 0.07),
                    Estimate.Around(0.98, 0.05),
                    Estimate.Around(-5.0, 0.8),
                    CallKind.Improved
                ),
                new LevelChange(
                    "acc_z",
                    "m/s²",
                    Estimate.Around(2.60, 0.10),
                    Estimate.Around(2.41, 0.10),
                    Estimate.Around(-0.7, 0.9),
                    CallKind.NoClearChange
                ),
                new LevelChange(
                    "rate_z",
                    "rad/s",
                    Estimate.Around(0.041, 0.002),
                    Estimate.Unknown(new ChannelNotInFlight("rate_z", "after")),
                    Estimate.Unknown(new ChannelNotInFlight("rate_z", "after")),
                    CallKind.Unknown
                ),
            ],
            YawTrim = new YawTrimChange(
                Estimate.Around(0.0392, 0.0010),
                Estimate.Around(0.0032, 0.0009),
                Estimate.Around(0.0410, 0.0061),
                Estimate.Around(0.0015, 0.0060),
                YawTrimSource.Rpm
            ),
            TiltEffect = new TiltEffect(Estimate.Around(-15.4, 5.2), 5, TiltMethod.TheilSen),
            Conditions =
            [
                new Condition(ConditionKind.HoverSpeed, new AtRpm(3250), new AtRpm(3251), true, new SpeedsAlike(0.01)),
                new Condition(
                    ConditionKind.AmbientTemperature,
                    new AmbientTemperatures([21]),
                    new AmbientTemperatures([23.5]),
                    true,
                    new AmbientTakenOut()
                ),
                new Condition(ConditionKind.Battery, new BatteryVoltage(22.2), new BatteryVoltage(22.1), true, new BatteryAlike()),
                new Condition(ConditionKind.ImuAxes, null, null, null, new AxesTakenAlike()),
                new Condition(ConditionKind.ImuRate, new SampleRates([1000]), new SampleRates([800]), false, new RatesDiffer()),
            ],
            Before = [Before],
            After = [After],
        };

    internal static Comparison NoSurvey { get; } =
        Improved with
        {
            Title = "Two flights, nothing written down",
            Survey = null,
            Verdict = Verdict.NoClearChange,
            Vibration = Known(
                CallKind.NoClearChange,
                1.66,
                1.62,
                Estimate.Around(-0.2, 0.7),
                "m/s²",
                "dB",
                Judged(-0.2, 0.7, true, Significance.NotSignificant)
            ),
            MotorTemperature = Unknown("°C", "°C", new NoFlightWithTemperatures(Esc: false)),
            EscTemperature = Unknown("°C", "°C", new NoFlightWithTemperatures(Esc: true)),
            Motors =
            [
                .. Improved.Motors.Select(m =>
                    m with
                    {
                        TiltBefore = null,
                        TiltAfter = null,
                        MotorTemp = Unknown("°C", "°C", new NoFlightWithTemperatures(Esc: false)),
                        EscTemp = Unknown("°C", "°C", new NoFlightWithTemperatures(Esc: true)),
                    }
                ),
            ],
            YawTrim = new YawTrimChange(
                Estimate.Around(0.0040, 0.0010),
                Estimate.Around(0.0032, 0.0009),
                Estimate.Unknown(new NoSurvey()),
                Estimate.Unknown(new NoSurvey()),
                YawTrimSource.Command
            ),
            TiltEffect = new TiltEffect(Estimate.Unknown(new NoSurvey()), 0, TiltMethod.None),
            Before = [Wide],
            After = [Wide],
        };

    internal static Comparison NotComparable { get; } =
        NoSurvey with
        {
            Verdict = Verdict.NotComparable,
            Reasons = [new NoHoverInFlights(["after"])],
            Vibration = Unknown("m/s²", "dB", new NoHoverInFlights(["after"])),
            After = [NoHover],
        };

    /// <summary>Three stages: rough, shimmed, and one whose flights had no ESC temperatures.</summary>
    internal static History Life { get; } =
        new(
            "Life of a demo hexa",
            Hexa,
            [
                Stage("as built", new(2026, 3, 1), 3.18, 46.2, Estimate.Around(27.4, 1.3), 0.0392, null),
                Stage("shims on M1, M3 and M5", new(2026, 4, 2), 1.62, 40.1, Estimate.Around(26.6, 1.3), 0.0032, Improved),
                Stage(
                    "new propellers",
                    new(2026, 9, 3),
                    1.66,
                    40.3,
                    Estimate.Unknown(new FlightWithoutTemperatures("after", Esc: true)),
                    0.0040,
                    NoSurvey
                ),
            ],
            Improved with
            {
                Survey = null,
            }
        );

    private static HistoryStage Stage(
        string name,
        DateOnly date,
        double mps2,
        double motorC,
        Estimate escC,
        double split,
        Comparison? step
    ) =>
        new()
        {
            Name = name,
            Date = date,
            VibrationMps2 = Estimate.Around(mps2, 0.1 * mps2),
            HottestMotorC = Estimate.Around(motorC, 1.3),
            HottestEscC = escC,
            MotorSpreadC = Estimate.Around(0.2 * motorC, 1.8),
            Split = Estimate.Around(split, 0.001),
            Step = step,
            Flights = [After],
        };

    internal static ChangeJudged Judged(double change, double half95, bool inDb, Significance how) =>
        new(change, new Interval(change - half95, change + half95), inDb, inDb ? 1 : 2, half95, how);

    internal static Call Known(CallKind kind, double before, double after, Estimate change, string unit, string changeUnit, Reason why) =>
        new()
        {
            Kind = kind,
            Before = before,
            After = after,
            Change = change,
            Unit = unit,
            ChangeUnit = changeUnit,
            Why = why,
        };

    internal static Call Unknown(string unit, string changeUnit, Reason why) =>
        new()
        {
            Kind = CallKind.Unknown,
            Change = Estimate.Unknown(why),
            Unit = unit,
            ChangeUnit = changeUnit,
            Why = why,
        };

    private static MotorTilt Tilt(int i, double[] across) =>
        new(
            $"M{i + 1}",
            Estimate.Around(across[i], 0.05),
            i == 4 ? Estimate.Unknown(new NoMountReading(TiltDirection.Along)) : Estimate.Around(_alongFound[i], 0.05)
        );

    private static MotorComparison Change(int i)
    {
        double[] factor = Factors(i);
        return new MotorComparison
        {
            Id = $"M{i + 1}",
            TiltBefore = Survey.Found($"M{i + 1}"),
            TiltAfter = Survey.Left($"M{i + 1}"),
            RpmBefore = Estimate.Around(_rpmBefore[i], 4),
            RpmAfter = Estimate.Around(_rpmAfter[i], 4),
            Orders =
            [
                .. Enumerable
                    .Range(1, 4)
                    .Select(k =>
                    {
                        double before = _orderOneBefore[i] * factor[k - 1],
                            after = _orderOneAfter[i] * factor[k - 1];
                        double db = 20 * Math.Log10(after / before);
                        return new OrderChange
                        {
                            Order = k,
                            BeforeMps2 = i == 3 && k == 3 ? Estimate.Unknown(new GroupInNoise()) : Estimate.Around(before, 0.06 * before),
                            AfterMps2 = Estimate.Around(after, 0.08 * after),
                            ChangeDb =
                                i == 3 && k == 3
                                    ? Estimate.Unknown(new KnownOnOneSide(After: true, new GroupInNoise()))
                                    : Estimate.Around(db, 0.9),
                            Call =
                                i == 3 && k == 3 ? CallKind.Unknown
                                : db < -1.9 ? CallKind.Improved
                                : CallKind.NoClearChange,
                        };
                    }),
            ],
            MotorTemp =
                i == 5
                    ? Unknown("°C", "°C", new TemperatureNotLogged(Esc: false))
                    : Known(
                        i % 2 == 0 ? CallKind.Improved : CallKind.NoClearChange,
                        46 - i % 3 * 2,
                        40 - i % 3 * 2,
                        Estimate.Around(i % 2 == 0 ? -6 + i * 0.2 : -0.9, 1.7),
                        "°C",
                        "°C",
                        Judged(i % 2 == 0 ? -6 + i * 0.2 : -0.9, 1.7, false, i % 2 == 0 ? Significance.Clear : Significance.NotSignificant)
                    ),
            EscTemp = Known(
                CallKind.NoClearChange,
                27.4 - i,
                26.6 - i,
                Estimate.Around(-0.8, 1.7),
                "°C",
                "°C",
                Judged(-0.8, 1.7, false, Significance.NotSignificant)
            ),
        };
    }

    private static double[] Factors(int i) => [1, 0.32 + 0.03 * i, 0.11, 0.06 + 0.004 * i];

    private static OrderLevel Merged(OrderLevel order) =>
        order with
        {
            RmsMps2 = Estimate.Unknown(new OrderNotSeparable()),
            PerAxisMps2 = null,
            Separable = false,
            Group = ["M2", "M4"],
            GroupMps2 = Estimate.Around(0.92 / order.Order, 0.05),
        };

    private static MotorAnalysis Nothing(string id, Reason why) =>
        new()
        {
            Id = id,
            RpmMean = Estimate.Unknown(why),
            LoadShare = Estimate.Unknown(why),
            CurrentA = Estimate.Unknown(why),
            Orders = [],
            MotorTemp = TemperatureRise.Unknown(why),
            EscTemp = TemperatureRise.Unknown(why),
            UnbalanceGmm = Estimate.Unknown(why),
        };

    private static FlightAnalysis Flight(string name, double[] rpm, double[] orderOne, double floor, double rise)
    {
        double mean = rpm.Average(r => r * r);
        return new FlightAnalysis
        {
            Airframe = Hexa,
            Input = new FlightInput
            {
                Imu = new FileRecord
                {
                    Path = $"{name}/imu.csv",
                    Rows = 182_400,
                    RowsUnusable = 12,
                    RateHz = 1000,
                    JitterS = 0.00004,
                    Gaps = [new TimeInterval(61.20, 61.45)],
                    ClippedSamples = 3,
                    Columns =
                    [
                        new ColumnRecord("time [us]", "time", "us", "header", 0, 182.4, 1),
                        new ColumnRecord("Accel X (g)", "acc_x", "g", "header", -31, 28, 1),
                        new ColumnRecord("note", null, null, null, null, null, 0),
                    ],
                    Form = ["comma separated", "decimal point", "UTF-8"],
                },
                Esc = new FileRecord
                {
                    Path = $"{name}/esc.csv",
                    Rows = 3640,
                    RowsUnusable = 0,
                    RateHz = 20,
                    Columns = [new ColumnRecord("M1 eRPM", "M1 rpm", "erpm", "header", 0, 6100, 1)],
                },
                ClockOffsetS = 0.412,
                ClockOffsetU95S = 0.006,
                ClockDriftPpm = 12,
                StartedUtc = new DateTime(2026, 3, 14, 9, 30, 0, DateTimeKind.Utc),
                ContentHash = new string('a', 64),
            },
            AmbientC = 21,
            Hover = new HoverTime(
                [new TimeInterval(22.5, 88.0), new TimeInterval(96.0, 163.4)],
                new HoverFound(HoverSource.Rpm, 0.05, true, false, false)
            ),
            Levels =
            [
                new Level("acc_x", "m/s²", Estimate.Around(1.92 * floor, 0.08), new Interval(10, 400)),
                new Level("acc_y", "m/s²", Estimate.Around(1.75 * floor, 0.07), new Interval(10, 400)),
                new Level("acc_z", "m/s²", Estimate.Around(2.60 * floor, 0.10), new Interval(10, 400)),
                new Level("rate_z", "rad/s", Estimate.Unknown(new ChannelStill()), new Interval(10, 400)),
            ],
            Motors =
            [
                .. Enumerable
                    .Range(0, 6)
                    .Select(i => new MotorAnalysis
                    {
                        Id = $"M{i + 1}",
                        RpmMean = Estimate.Around(rpm[i], 4),
                        LoadShare = Estimate.Around(rpm[i] * rpm[i] / mean, 0.004),
                        CurrentA = Estimate.Around(6.1 + 0.2 * i, 0.2),
                        Orders =
                        [
                            .. Enumerable
                                .Range(1, 4)
                                .Select(k => new OrderLevel
                                {
                                    Order = k,
                                    RmsMps2 = Estimate.Around(orderOne[i] * Factors(i)[k - 1], 0.05 * orderOne[i] * Factors(i)[k - 1]),
                                    PerAxisMps2 =
                                    [
                                        0.6 * orderOne[i] * Factors(i)[k - 1],
                                        0.6 * orderOne[i] * Factors(i)[k - 1],
                                        0.53 * orderOne[i] * Factors(i)[k - 1],
                                    ],
                                    Separable = true,
                                }),
                        ],
                        MotorTemp =
                            i == 5
                                ? TemperatureRise.Unknown(new TemperatureNotLogged(Esc: false))
                                : new TemperatureRise
                                {
                                    RiseSteadyC = Estimate.Around(rise - i % 3 * 2, 1.1),
                                    TauS = 74,
                                    Reached = true,
                                },
                        EscTemp = new TemperatureRise
                        {
                            RiseSteadyC = Estimate.Around(27 + (rise > 43 ? 0.4 : -0.4) - i, 0.9),
                            TauS = i == 2 ? null : 45,
                            Reached = false,
                        },
                        UnbalanceGmm = Estimate.Around(orderOne[i] * 6.8 * 1e6 / Math.Pow(rpm[i] * Math.PI / 30, 2) * 1.414, 8),
                    }),
            ],
            RotorVibrationMps2 = Estimate.Around(Math.Sqrt(orderOne.Sum(o => o * o)), 0.07),
            YawTrim = new YawTrim(
                Estimate.Around((rpm[0] + rpm[2] + rpm[4] - rpm[1] - rpm[3] - rpm[5]) / 3 / rpm.Average(), 0.001),
                YawTrimSource.Rpm
            ),
            Peaks =
            [
                new SpectralPeak
                {
                    Channel = "acc_x",
                    Hz = rpm[2] / 60,
                    Amplitude = 1.4,
                    Unit = "m/s²",
                    Assigned = [new MotorOrder("M3", 1)],
                    Kind = PeakKind.Rotor,
                },
                new SpectralPeak
                {
                    Channel = "acc_z",
                    Hz = 83.1,
                    Amplitude = 0.3,
                    Unit = "m/s²",
                    Assigned = [],
                    Kind = PeakKind.Structure,
                },
                new SpectralPeak
                {
                    Channel = "acc_z",
                    Hz = 388,
                    Amplitude = 0.1,
                    Unit = "m/s²",
                    Assigned = [new MotorOrder("M1", 11)],
                    Kind = PeakKind.Unknown,
                    FoldedFromHz = 612,
                },
            ],
            Spectra = [.. _axes.Select((channel, axis) => LineSpectrum(channel, rpm, orderOne, axis, floor))],
            Findings =
            [
                new Finding("hot-motor", Severity.Act, "M3", new HotterThanLoad("M3", Esc: false, 46.2, new Interval(45, 47.4), 35)),
                new Finding(
                    "soft-imu-mount",
                    Severity.Look,
                    null,
                    new DampedResonanceBelowRotors(new ResonanceSeen("acc_z", 33.1, new Interval(32.9, 33.3), 0.08), 53.5)
                ),
            ],
            Warnings = [new FlightWarning("clipped", new SamplesClipped(3))],
        };
    }

    private static Spectrum LineSpectrum(string channel, double[] rpm, double[] orderOne, int axis, double floor)
    {
        const double StepHz = 0.25;
        double[] density = new double[2001];
        for (int k = 0; k < density.Length; k++)
        {
            double hz = k * StepHz;
            // Noise with a fixed pattern: similar to a spectrum, and the same in every run.
            density[k] = 1e-4 * floor * floor * (1 + 0.7 * Math.Sin(k * 12.9898) * Math.Sin(k * 78.233)) * (1 + 40 / (hz + 4));
            for (int i = 0; i < rpm.Length; i++)
            {
                for (int order = 1; order <= 4; order++)
                {
                    double width = 0.25 + 0.1 * order,
                        off = (hz - order * rpm[i] / 60) / width;
                    double size = orderOne[i] * Factors(i)[order - 1] * (axis == 2 ? 0.5 : 0.6);
                    density[k] += size * size / (width * 2.5) * Math.Exp(-off * off / 2);
                }
            }
        }

        return new Spectrum
        {
            Channel = channel,
            Unit = "m/s²",
            ResolutionHz = StepHz,
            Density = density,
            NoiseBandwidthBins = 1.5,
            DegreesOfFreedom = 120,
        };
    }
}
