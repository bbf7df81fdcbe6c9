namespace VibeCheck.Logs.Columns;

/// <summary>The words for channels in a columns file.</summary>
internal static class EntryChannels
{
    private static readonly (string Word, Quantity Quantity, int Axis)[] Words =
    [
        ("time", Quantity.Time, 0),
        ("acc_x", Quantity.Acceleration, 0),
        ("acc_y", Quantity.Acceleration, 1),
        ("acc_z", Quantity.Acceleration, 2),
        ("rate_x", Quantity.Rate, 0),
        ("rate_y", Quantity.Rate, 1),
        ("rate_z", Quantity.Rate, 2),
        ("rpm", Quantity.RotorSpeed, 0),
        ("command", Quantity.Command, 0),
        ("current", Quantity.Current, 0),
        ("voltage", Quantity.Voltage, 0),
        ("motor_temp", Quantity.MotorTemp, 0),
        ("esc_temp", Quantity.EscTemp, 0),
        ("battery", Quantity.BatteryVoltage, 0),
        ("height", Quantity.Height, 0),
        ("ambient", Quantity.Ambient, 0),
        ("motor_name", Quantity.MotorId, 0),
        ("imu_number", Quantity.ImuId, 0),
    ];

    internal static string All => string.Join(", ", Words.Select(w => w.Word)) + ", ignore";

    /// <summary>The channel for a word; null when there is no such word, or when it says to ignore the column.</summary>
    internal static Channel? Parse(string word, string? motor, Channel? found)
    {
        foreach ((string text, Quantity quantity, int axis) in Words)
        {
            if (text.Equals(word.Trim().Replace(' ', '_'), StringComparison.OrdinalIgnoreCase))
            {
                Channel channel = found?.Quantity == quantity ? found with { Axis = axis } : new Channel(quantity) { Axis = axis };
                return motor is null ? channel : channel with { MotorName = motor, MotorNumber = null, Doubt = null };
            }
        }

        return null;
    }

    /// <summary>Word and motor of a channel as shown in a reading, such as "acc_x" or "M1 esc temp".</summary>
    internal static (string Word, string? Motor) OfShown(string shown)
    {
        static string NameOf((string, Quantity Quantity, int Axis) word) => new Channel(word.Quantity) { Axis = word.Axis }.Show(null);
        foreach (var word in Words.Where(w => NameOf(w) == shown))
        {
            return (word.Word, null);
        }

        foreach (var word in Words.Where(w => shown.EndsWith(" " + NameOf(w), StringComparison.Ordinal)))
        {
            return (word.Word, shown[..^(NameOf(word).Length + 1)]);
        }

        return ("ignore", null);
    }
}
