using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>How a speed is thought to go with time, but for its scale: positive values with a mean of 1 over the hover.</summary>
internal sealed class SpeedShape
{
    private SpeedShape(Series? values) => Values = values;

    /// <summary>Steady: nothing is known of its changes.</summary>
    internal static SpeedShape Steady { get; } = new(null);

    /// <summary>Null when steady.</summary>
    internal Series? Values { get; }

    internal double At(double timeS) => Values?.At(timeS) ?? 1;

    /// <summary>A rotor answers its command late, and less than in proportion: (command, smoothed by a first-order lag) to a
    /// power.</summary>
    /// <param name="command">The command; readings of 0 or less count as a hundredth of the mean.</param>
    /// <param name="over">Time over which the mean is 1.</param>
    /// <param name="response">How rotors answer commands.</param>
    internal static SpeedShape FromCommand(Series command, IReadOnlyList<TimeInterval> over, ActuatorResponse response)
    {
        double mean = command.MeanOver(over) ?? 1,
            state = command.Values[0];
        double[] values = new double[command.Count];
        for (int i = 0; i < values.Length; i++)
        {
            double stepS = i == 0 ? 0 : command.TimeS[i] - command.TimeS[i - 1];
            state = Lagged(state, command.Values[Math.Max(0, i - 1)], command.Values[i], stepS, response.LagS);
            values[i] = Math.Pow(Math.Max(state / mean, 0.01), response.Power);
        }

        return Normal(new Series(command.TimeS, values), over);
    }

    internal static SpeedShape FromSpeed(Series rpm, IReadOnlyList<TimeInterval> over) => Normal(SpeedSmoothing.Clean(rpm), over);

    /// <summary>The mean of some shapes at the times of the one with most readings.</summary>
    internal static SpeedShape MeanOf(IEnumerable<SpeedShape> shapes)
    {
        List<Series> series = [.. shapes.Select(s => s.Values).OfType<Series>()];
        if (series.Count == 0)
        {
            return Steady;
        }

        double[] times = series.MaxBy(s => s.Count)!.TimeS;
        return new(new Series(times, Array.ConvertAll(times, t => series.Average(s => s.At(t)))));
    }

    /// <summary>The shape times a slow change.</summary>
    internal SpeedShape Times(Series change)
    {
        double[] times = Values?.TimeS ?? change.TimeS;
        return new(new Series(times, Array.ConvertAll(times, t => At(t) * change.At(t))));
    }

    /// <summary>State of a first-order lag after a step of time in which its input ran straight from one value to another:
    /// exact.</summary>
    private static double Lagged(double state, double before, double now, double stepS, double lagS)
    {
        if (lagS <= 0 || stepS <= 0)
        {
            return now;
        }

        double keep = Math.Exp(-stepS / lagS),
            behind = (now - before) / stepS * lagS;
        return now - behind + keep * (state - before + behind);
    }

    private static SpeedShape Normal(Series series, IReadOnlyList<TimeInterval> over)
    {
        double mean = series.MeanOver(over) ?? 1;
        return new(new Series(series.TimeS, Array.ConvertAll(series.Values, v => v / mean)));
    }
}

/// <summary>How rotors answer their commands.</summary>
/// <param name="Power">Speed scales with command to this power.</param>
/// <param name="LagS">Time constant, s, 0 or more.</param>
internal readonly record struct ActuatorResponse(double Power, double LagS);
