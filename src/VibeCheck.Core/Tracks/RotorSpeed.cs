namespace VibeCheck.Core.Tracks;

/// <summary>Prior information on one rotor's speed, before the vibration is used.</summary>
/// <param name="MotorId">The motor, as in the airframe.</param>
/// <param name="Rpm">Its reported speed (mechanical), rpm, on the IMU clock. May lag, be smoothed, be rounded and have holes.</param>
/// <param name="Blades">Blades of the rotor, 1 or more: they choose the default orders.</param>
public sealed record RotorSpeed(string MotorId, Series Rpm, int Blades);
