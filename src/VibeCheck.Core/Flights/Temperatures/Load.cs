using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>How hard a motor worked, relative to its own hover: what heats it.</summary>
public static class Load
{
    /// <summary>
    /// Heating power of a motor and its ESC relative to the mean over the hover: speed cubed where the log has speed (the power of a rotor
    /// grows with the third power of its speed), else current squared, else the square of the command. Where only a part of the speeds is
    /// there, the supply's current or the command fills the gaps, brought to the load beside them (<see cref="LoadGaps"/>).
    /// </summary>
    /// <param name="track">Telemetry of the motor.</param>
    /// <param name="hover">Stretches of hover, IMU clock.</param>
    /// <returns>A series without unit whose mean over the hover is 1; null when the log has none of the three in the hover,
    /// or the motor stood still there.</returns>
    /// <remarks>Windings heat with the square of their own current, but most ESCs report that of
    /// the supply, which rises as the battery empties while
    /// the motor does the same work: its square would show a rise of load that is none. The UIUC propeller data give exponents of torque
    /// on speed of 2.0 to 2.2, so power scales with speed to the power 3.0 to 3.2. The square of the command is a stand-in only.</remarks>
    public static Series? Of(MotorTrack track, IReadOnlyList<TimeInterval> hover)
    {
        ArgumentNullException.ThrowIfNull(track);
        ArgumentNullException.ThrowIfNull(hover);
        return Relative(track.Rpm, hover, 3) is { } bySpeed
            ? LoadGaps.Filled(bySpeed, track.CurrentA, Relative(track.Command, hover, 2))
            : Relative(track.CurrentA, hover, 2) ?? Relative(track.Command, hover, 2);
    }

    private static Series? Relative(Series? series, IReadOnlyList<TimeInterval> hover, int exponent)
    {
        if (series is null || series.Count == 0)
        {
            return null;
        }

        Series power = new(series.TimeS, Array.ConvertAll(series.Values, v => Power(Math.Max(0, v), exponent)));
        return power.MeanOver(hover) is double mean && mean > 0
            ? new Series(series.TimeS, Array.ConvertAll(power.Values, v => v / mean))
            : null;
    }

    private static double Power(double value, int exponent) => exponent == 2 ? value * value : value * value * value;
}
