namespace VibeCheck.Reports.Formatting;

/// <summary>Channel names for readers, not those of the JSON.</summary>
internal static class ChannelNames
{
    /// <summary>The axis of an acceleration channel, such as "x, forward"; null for any other channel.</summary>
    internal static string? Axis(string channel) =>
        channel switch
        {
            "acc_x" => "x, forward",
            "acc_y" => "y, right",
            "acc_z" => "z, vertical",
            _ => null,
        };

    /// <summary>A channel by name, such as "acceleration x".</summary>
    internal static string Of(string channel)
    {
        int at = channel.LastIndexOf('_');
        string kind = at < 0 ? channel : channel[..at];
        string axis = at < 0 ? "" : " " + channel[(at + 1)..];
        return kind switch
        {
            "acc" => "acceleration" + axis,
            "rate" => "rate of turn" + axis,
            "velocity" => "vibration velocity" + axis,
            _ => channel,
        };
    }
}
