using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>What is known beforehand of one motor's speed.</summary>
/// <param name="MotorId">The motor, as in the airframe.</param>
/// <param name="Blades">Blades of its rotor, 1 or more.</param>
/// <param name="Command">Its command, 0 to 1, on the IMU clock; null when not logged.</param>
/// <param name="Rpm">Its logged speed, rpm; null when it is the one to be found.</param>
public sealed record SpeedPrior(string MotorId, int Blades, Series? Command = null, Series? Rpm = null)
{
    /// <summary>Whether its command shows how its speed varies over some time.</summary>
    internal bool IsCommanded(IReadOnlyList<TimeInterval> over) => Command?.MeanOver(over) is > SpeedSearchTuning.LeastCommand;

    /// <summary>How its speed varies with time, as far as the log shows: by its command, else by its speed; null when by neither.</summary>
    internal SpeedShape? Shape(IReadOnlyList<TimeInterval> over, ActuatorResponse response, bool byCommand) =>
        byCommand && IsCommanded(over) ? SpeedShape.FromCommand(Command!, over, response)
        : Rpm is { Count: > 1 } ? SpeedShape.FromSpeed(Rpm, over)
        : null;
}
