namespace VibeCheck.Core.Airframes;

/// <summary>Sense of rotation of a rotor, seen from above.</summary>
public enum Spin
{
    /// <summary>Clockwise from above; its reaction turns the airframe counter-clockwise.</summary>
    Clockwise,

    /// <summary>Counter-clockwise from above; its reaction turns the airframe clockwise.</summary>
    CounterClockwise,
}
