using VibeCheck.Core.Airframes;

namespace VibeCheck.FlightMaker;

/// <summary>How one simulated flight is made: ground, climb, hover, landing. Everything random comes from the seed.</summary>
public sealed record FlightRecipe
{
    /// <summary>The aircraft; its order is the order of every list below.</summary>
    public required Airframe Airframe { get; init; }

    public required int Seed { get; init; }

    /// <summary>What each rotor does to the airframe, one a motor.</summary>
    public required IReadOnlyList<RotorSource> Rotors { get; init; }

    /// <summary>Tilt of each motor across the arm, degrees, right side low positive; empty for none.</summary>
    public IReadOnlyList<double> TiltAcrossDeg { get; init; } = [];

    /// <summary>Mean rotor speed in an even hover, rpm.</summary>
    public double HoverRpm { get; init; } = 3400;

    /// <summary>Random spread of the motors' hover speeds beyond the thrust balance (propellers differ), one sigma, share.</summary>
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

    /// <summary>Coloured (first-order, 30 Hz) noise of each acceleration axis, rms m/s²: the frame's rumble.</summary>
    public double RumbleMps2 { get; init; } = 0.15;

    /// <summary>Step of the accelerometer, m/s²; 0 for none.</summary>
    public double AccStepMps2 { get; init; }

    /// <summary>Corner of the logger's second-order low pass on acceleration, Hz; 0 for none.</summary>
    public double LoggerLowPassHz { get; init; }

    /// <summary>Noise of the gyro, rad/s rms.</summary>
    public double GyroNoiseRadps { get; init; } = 0.004;

    public bool ZPointsUp { get; init; }

    /// <summary>Resonances of the airframe that act on all rotor orders.</summary>
    public IReadOnlyList<Resonance> Resonances { get; init; } = [];

    /// <summary>Stretches that the IMU recorder lost, s of flight.</summary>
    public IReadOnlyList<(double FromS, double ToS)> ImuGaps { get; init; } = [];

    // Speeds.
    /// <summary>Slow wander of each motor's speed in hover, one sigma, share.</summary>
    public double Wander { get; init; } = 0.006;

    /// <summary>Correlation time of the wander, s.</summary>
    public double WanderS { get; init; } = 1.5;

    /// <summary>Fast part of the wander, 0.2 s, one sigma, share: the controller at work.</summary>
    public double FastWander { get; init; } = 0.0015;

    /// <summary>Manoeuvres in the hover: each a bump of all speeds for some 3 s.</summary>
    public IReadOnlyList<double> ManoeuvresAtS { get; init; } = [];

    // ESC telemetry.
    public double TelemetryHz { get; init; } = 20;

    /// <summary>Battery at rest, V.</summary>
    public double BatteryV { get; init; } = 24.6;

    /// <summary>How fast it empties, V/s.</summary>
    public double BatterySagVps { get; init; } = 0.012;

    /// <summary>Currents rise as the battery empties, for the power stays; else they follow the power alone.</summary>
    public bool CurrentFollowsBattery { get; init; }

    /// <summary>How late the reported speed is, s.</summary>
    public double TelemetryLatencyS { get; init; } = 0.02;

    /// <summary>First-order smoothing of the reported speed, s; 0 for none.</summary>
    public double TelemetrySmoothingS { get; init; }

    /// <summary>Noise of the reported speed, rpm.</summary>
    public double TelemetryNoiseRpm { get; init; } = 3;

    /// <summary>Step of the reported speed, rpm.</summary>
    public double TelemetryStepRpm { get; init; } = 1;

    /// <summary>Step of reported temperatures, °C.</summary>
    public double TemperatureStepC { get; init; } = 1;

    /// <summary>ESC clock minus IMU clock, s: ESC stamps are true time plus this.</summary>
    public double EscClockOffsetS { get; init; }

    /// <summary>How much faster the ESC clock runs, parts per million.</summary>
    public double EscClockPpm { get; init; }

    // Temperatures.
    public double AmbientC { get; init; } = 21;

    /// <summary>Steady rise of each motor at hover, °C; empty for 25 each.</summary>
    public IReadOnlyList<double> MotorRiseC { get; init; } = [];

    /// <summary>Steady rise of each ESC at hover, °C; empty for 18 each.</summary>
    public IReadOnlyList<double> EscRiseC { get; init; } = [];

    public double MotorTauS { get; init; } = 70;

    public double EscTauS { get; init; } = 45;

    /// <summary>Warmth left from an earlier flight at the start, °C above ambient: that of the
    /// motors on average; ESCs keep half of it.</summary>
    public double SoakC { get; init; }
}

/// <summary>What one rotor does to the airframe.</summary>
/// <param name="Orders">Orders with their size at hover speed.</param>
public sealed record RotorSource(IReadOnlyList<OrderSource> Orders);

/// <summary>One order of one rotor.</summary>
/// <param name="Order">Cycles a revolution; half ones come of looseness.</param>
/// <param name="RmsMps2">Rms of the vector sum of the axes at hover speed, before resonances, m/s².</param>
/// <param name="SpeedExponent">The size goes with speed to this power: 2 for unbalance.</param>
/// <param name="Modulation">Slow random change of the size, one sigma, share.</param>
public sealed record OrderSource(double Order, double RmsMps2, double SpeedExponent = 2, double Modulation = 0);

/// <summary>A resonance of the airframe: a single-degree-of-freedom gain added to the direct path.</summary>
/// <param name="Hz">Natural frequency.</param>
/// <param name="DampingRatio">Share of critical damping.</param>
/// <param name="Gain">Strength of the resonant path against the direct one, far below resonance.</param>
public sealed record Resonance(double Hz, double DampingRatio, double Gain);
