namespace VibeCheck.Logs.Columns;

/// <summary>The channel that a column was recognised as.</summary>
internal sealed record Channel(Quantity Quantity)
{
    /// <summary>0 for x, 1 for y, 2 for z; for acceleration and rates.</summary>
    internal int Axis { get; init; }

    /// <summary>Number that names the motor in the header; null when it has another name or none.</summary>
    internal int? MotorNumber { get; init; }

    /// <summary>Name of the motor in the header where it is not a number: lower case, words separated by blanks.</summary>
    internal string? MotorName { get; init; }

    /// <summary>Number of the IMU in the header; null when the header has none.</summary>
    internal int? ImuNumber { get; init; }

    /// <summary>Whether positive values point down (height only).</summary>
    internal bool Down { get; init; }

    /// <summary>Rank of the values: -1 where the header says that they are filtered, 1 where it says raw, 0 where it says
    /// neither.</summary>
    internal int Rank { get; init; }

    /// <summary>What is uncertain about the meaning; null when the header is clear.</summary>
    internal string? Doubt { get; init; }

    internal bool IsMotor =>
        Quantity
            is Quantity.RotorSpeed
                or Quantity.Command
                or Quantity.Current
                or Quantity.Voltage
                or Quantity.MotorTemp
                or Quantity.EscTemp;

    internal bool NamesMotor => MotorNumber.HasValue || MotorName is not null;

    /// <summary>How the channel is shown, such as acc_x or M1 rpm.</summary>
    internal string Show(string? motorId) =>
        Quantity switch
        {
            Quantity.Time => "time",
            Quantity.Acceleration => "acc_" + "xyz"[Axis],
            Quantity.Rate => "rate_" + "xyz"[Axis],
            Quantity.BatteryVoltage => "battery voltage",
            Quantity.Height => "height",
            Quantity.Ambient => "ambient temperature",
            Quantity.MotorId => "motor name",
            Quantity.ImuId => "imu number",
            _ => (motorId is null ? "" : motorId + " ") + QuantityWord,
        };

    internal string QuantityWord =>
        Quantity switch
        {
            Quantity.RotorSpeed => "rpm",
            Quantity.Command => "command",
            Quantity.Current => "current",
            Quantity.Voltage => "voltage",
            Quantity.MotorTemp => "motor temp",
            Quantity.EscTemp => "esc temp",
            _ => Quantity.ToString(),
        };
}
