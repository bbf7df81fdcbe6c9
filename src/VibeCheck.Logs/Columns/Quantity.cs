namespace VibeCheck.Logs.Columns;

/// <summary>What a column holds.</summary>
internal enum Quantity
{
    Time,
    Acceleration,
    Rate,
    RotorSpeed,
    Command,
    Current,
    Voltage,
    MotorTemp,
    EscTemp,
    BatteryVoltage,
    Height,
    Ambient,
    MotorId,
    ImuId,
}
