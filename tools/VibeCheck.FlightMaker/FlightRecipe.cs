using VibeCheck.Core.Airframes;

namespace VibeCheck.FlightMaker;

/// <summary>Parameters of one simulated flight: ground, climb, hover, landing. All random numbers come from the seed.</summary>
public sealed record FlightRecipe
{
    /// <summary>The aircraft; the order of its motors is the order of every list below.</summary>
    public required Airframe Airframe { get; init; }

    public required int Seed { get; init; }

    /// <summary>Vibration of each rotor, one entry per motor.</summary>
    public required IReadOnlyList<RotorSource> Rotors { get; init; }

    /// <summary>Tilt of each motor across the arm, degrees, right side low positive; empty for none.</summary>
    public IReadOnlyList<double> TiltAcrossDeg { get; init; } = [];

    /// <summary>Mean rotor speed in an even hover, rpm.</summary>
    public double HoverRpm { get; init; } = 3400;

    /// <summary>Random spread of the motors' hover speeds beyond the thrust balance (propellers differ), one standard deviation, as a
    /// share.</summary>
    public double SpeedSpread { get; init; } = 0.002;

    /// <summary>Centre of gravity, metres forward and right of the hub.</summary>
    public double GravityForwardM { get; init; }

    public double GravityRightM { get; init; }

    // Phases, seconds.
    public double GroundS { get; init; } = 6;

    public double ClimbS { get; init; } = 4;

    public double HoverS { get; init; } = 60;

    public double LandingS { get; init; } = 4;

    // The IMU.
    public double ImuRateHz { get; init; } = 1000;

    /// <summary>White noise of each acceleration axis, m/s² per root Hz.</summary>
    public double AccNoise { get; init; } = 0.02;

    /// <summary>Coloured noise (first order, 30 Hz) of each acceleration axis, rms m/s²: the broadband vibration of the frame.</summary>
    public double RumbleMps2 { get; init; } = 0.15;

    /// <summary>Quantisation step of the accelerometer, m/s²; 0 for none.</summary>
    public double AccStepMps2 { get; init; }

    /// <summary>Corner frequency of the logger's second-order low pass on acceleration, Hz; 0 for none.</summary>
    public double LoggerLowPassHz { get; init; }

    /// <summary>Noise of the gyro, rad/s rms.</summary>
    public double GyroNoiseRadps { get; init; } = 0.004;

    public bool ZPointsUp { get; init; }

    /// <summary>Resonances of the airframe that act on all rotor orders.</summary>
    public IReadOnlyList<Resonance> Resonances { get; init; } = [];

    /// <summary>Intervals that the IMU recorder lost, s of flight.</summary>
    public IReadOnlyList<(double FromS, double ToS)> ImuGaps { get; init; } = [];

    // Speeds.
    /// <summary>Slow random variation of each motor's speed in hover, one standard deviation, as a share.</summary>
    public double Wander { get; init; } = 0.006;

    /// <summary>Correlation time of the slow variation, s.</summary>
    public double WanderS { get; init; } = 1.5;

    /// <summary>Fast speed variation from the controller, correlation time 0.2 s, one standard deviation, as a share.</summary>
    public double FastWander { get; init; } = 0.0015;

    /// <summary>Times of manoeuvres in the hover; each changes all speeds for about 3 s.</summary>
    public IReadOnlyList<double> ManoeuvresAtS { get; init; } = [];

    // ESC telemetry.
    public double TelemetryHz { get; init; } = 20;

    /// <summary>Battery voltage without load, V.</summary>
    public double BatteryV { get; init; } = 24.6;

    /// <summary>Rate of the voltage drop as the battery empties, V/s.</summary>
    public double BatterySagVps { get; init; } = 0.012;

    /// <summary>Whether currents rise as the battery empties, because the power stays the same; otherwise they follow the power
    /// alone.</summary>
    public bool CurrentFollowsBattery { get; init; }

    /// <summary>Latency of the reported speed, s.</summary>
    public double TelemetryLatencyS { get; init; } = 0.02;

    /// <summary>Time constant of the first-order smoothing of the reported speed, s; 0 for none.</summary>
    public double TelemetrySmoothingS { get; init; }

    /// <summary>Noise of the reported speed, rpm.</summary>
    public double TelemetryNoiseRpm { get; init; } = 3;

    /// <summary>Quantisation step of the reported speed, rpm.</summary>
    public double TelemetryStepRpm { get; init; } = 1;

    /// <summary>Quantisation step of reported temperatures, °C.</summary>
    public double TemperatureStepC { get; init; } = 1;

    /// <summary>ESC clock minus IMU clock, s: ESC timestamps are true time plus this offset.</summary>
    public double EscClockOffsetS { get; init; }

    /// <summary>Rate error of the ESC clock, parts per million; positive where it runs fast.</summary>
    public double EscClockPpm { get; init; }

    // Temperatures.
    public double AmbientC { get; init; } = 21;

    /// <summary>Steady rise of each motor at hover, °C; if empty, 25 each.</summary>
    public IReadOnlyList<double> MotorRiseC { get; init; } = [];

    /// <summary>Steady rise of each ESC at hover, °C; if empty, 18 each.</summary>
    public IReadOnlyList<double> EscRiseC { get; init; } = [];

    public double MotorTauS { get; init; } = 70;

    public double EscTauS { get; init; } = 45;

    /// <summary>Residual heat of an earlier flight at the start, °C above ambient: the mean over the motors; ESCs keep half of
    /// it.</summary>
    public double SoakC { get; init; }
}

/// <summary>Vibration that one rotor causes in the airframe.</summary>
/// <param name="Orders">Orders with their level at hover speed.</param>
public sealed record RotorSource(IReadOnlyList<OrderSource> Orders);

/// <summary>One order of one rotor.</summary>
/// <param name="Order">Cycles per revolution; half orders come from looseness.</param>
/// <param name="RmsMps2">Rms of the vector sum of the axes at hover speed, before resonances, m/s².</param>
/// <param name="SpeedExponent">Exponent of the level's dependence on speed: 2 for unbalance.</param>
/// <param name="Modulation">Slow random variation of the level, one standard deviation, as a share.</param>
public sealed record OrderSource(double Order, double RmsMps2, double SpeedExponent = 2, double Modulation = 0);

/// <summary>A resonance of the airframe: a single-degree-of-freedom gain added to the direct path.</summary>
/// <param name="Hz">Natural frequency.</param>
/// <param name="DampingRatio">Fraction of critical damping.</param>
/// <param name="Gain">Strength of the resonant path relative to the direct one, far below resonance.</param>
public sealed record Resonance(double Hz, double DampingRatio, double Gain);
