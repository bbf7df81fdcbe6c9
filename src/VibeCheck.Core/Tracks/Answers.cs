namespace VibeCheck.Core.Tracks;

/// <summary>Which answers a fault of a log reaches.</summary>
[Flags]
public enum Answers
{
    /// <summary>None.</summary>
    None = 0,

    /// <summary>Orders, levels and spectra: all that comes from the IMU.</summary>
    Vibration = 1,

    /// <summary>Which motor makes which order; the total of all motors stays known.</summary>
    MotorOrders = 2,

    /// <summary>Speeds, load shares and yaw trim.</summary>
    Speeds = 4,

    /// <summary>Steady rises of motors.</summary>
    MotorTemperatures = 8,

    /// <summary>Steady rises of ESCs.</summary>
    EscTemperatures = 16,

    /// <summary>Steady rises of motors and ESCs.</summary>
    Temperatures = MotorTemperatures | EscTemperatures,

    /// <summary>Which motor has which temperature; the hottest stays known.</summary>
    MotorTemperaturesByMotor = 32,

    /// <summary>Which ESC has which temperature; the hottest stays known.</summary>
    EscTemperaturesByMotor = 64,

    /// <summary>Both.</summary>
    TemperaturesByMotor = MotorTemperaturesByMotor | EscTemperaturesByMotor,

    /// <summary>All.</summary>
    All = Vibration | MotorOrders | Speeds | Temperatures | TemperaturesByMotor,
}
