using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>The load of a motor relative to its own hover, which heats it.</summary>
public static class Load
{
    /// <summary>
    /// Heating power of a motor and its ESC relative to the mean over the hover: speed cubed where the log has speed (the power of a rotor
    /// increases with the third power of its speed), else current squared, else the square of the command. Where the speeds have gaps, the
    /// supply current or the command fills them, scaled to the load next to them (<see cref="LoadGaps"/>).
    /// </summary>
    /// <param name="track">Telemetry of the motor.</param>
    /// <param name="hover">Intervals of hover, IMU clock.</param>
    /// <returns>A series without unit whose mean over the hover is 1; null when the log has none of the three in the hover, or the motor
    /// stood still there.</returns>
    /// <remarks>Windings heat with the square of their own current, but most ESCs report the supply current, which rises as the battery
    /// discharges while the motor does the same work. Its square would show an increase of load that does not exist. The UIUC propeller
    /// data give exponents of torque against speed of 2.0 to 2.2, so power scales with speed to the power 3.0 to 3.2. The square of the
    /// command is only a substitute.</remarks>
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
