using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>The rotors of a flight as a group, where the log lacks speeds.</summary>
internal static class GroupReading
{
    // Rotor speeds change less than in proportion to commands; the search corrects the remaining difference.
    private const double CommandPower = 0.75;
    private const double LeastCommand = 0.05;

    /// <summary>The group; null where the speed of every motor is logged and the group is not requested, and without a hover.</summary>
    internal static GroupResult? Of(Flight flight, Airframe airframe, HoverTime hover, AnalysisOptions options)
    {
        if (hover.Segments.Count == 0 || (options.GroupSpeed is null && HasSpeeds(flight, airframe, hover.Segments)))
        {
            return null;
        }

        int[] blades = Blades(airframe);
        OrderOptions wanted = new() { Orders = options.Orders };
        int[] orders = [.. blades.SelectMany(wanted.For).Distinct().Order()];
        return GroupAnalysis.Measure(flight.Imu, hover.Segments, options.GroupSpeed, blades, orders, Shape(flight, hover.Segments));
    }

    /// <summary>Whether the speed of every motor is logged.</summary>
    internal static bool HasSpeeds(Flight flight, Airframe airframe, IReadOnlyList<TimeInterval> hover) =>
        airframe.Motors.Count > 0 && MotorSamples.Of(flight, airframe, hover, t => t.Rpm).Motors.Count == airframe.Motors.Count;

    /// <summary>Chooses the rotors' speed for all flights of a comparison together, one for each flight; nulls where every flight has the
    /// speeds of all motors.</summary>
    internal static IReadOnlyList<GroupSpeedChoice?> Choose(
        IReadOnlyList<(Flight Flight, IReadOnlyList<TimeInterval> Hover)> flights,
        Airframe airframe
    )
    {
        if (flights.All(f => f.Hover.Count == 0 || HasSpeeds(f.Flight, airframe, f.Hover)))
        {
            return [.. flights.Select(_ => (GroupSpeedChoice?)null)];
        }

        SpeedCurve?[] curves = new SpeedCurve?[flights.Count];
        Parallel.For(
            0,
            curves.Length,
            i =>
                curves[i] =
                    flights[i].Hover.Count == 0 ? null : GroupAnalysis.Curve(flights[i].Flight.Imu, flights[i].Hover, Blades(airframe))
        );
        SpeedCurve[] known = [.. curves.OfType<SpeedCurve>()];
        double[] logged =
        [
            .. flights
                .Where(f => f.Hover.Count > 0 && HasSpeeds(f.Flight, airframe, f.Hover))
                .Select(f => MotorSamples.Of(f.Flight, airframe, f.Hover, t => t.Rpm).MeanOfAll / 60),
        ];
        Queue<GroupSpeedChoice> chosen = new(known.Length == 0 ? [] : GroupSpeedChoice.ForEach(known, logged));
        return [.. curves.Select(c => c is null ? null : chosen.Dequeue())];
    }

    /// <summary>Blade counts of the airframe; two where no motor is known.</summary>
    private static int[] Blades(Airframe airframe) =>
        airframe.Motors.Count == 0 ? [2] : [.. airframe.Motors.Select(m => Math.Max(1, m.Blades)).Distinct().Order()];

    /// <summary>Shape of the speed over time from the mean of the commands, mean 1; null without commands of all motors.</summary>
    private static Series? Shape(Flight flight, IReadOnlyList<TimeInterval> hover)
    {
        Series[] commands =
        [
            .. flight.Motors.Select(m => m.Command).OfType<Series>().Where(c => c.MeanOver(hover) is > LeastCommand).Select(Spikes.Without),
        ];
        if (commands.Length == 0 || commands.Length < flight.Motors.Count)
        {
            return null;
        }

        double[] means = [.. commands.Select(c => c.MeanOver(hover)!.Value)];
        double[] times = commands.MaxBy(c => c.Count)!.TimeS;
        return new(
            times,
            Array.ConvertAll(times, t => Math.Pow(Math.Max(0.1, commands.Select((c, m) => c.At(t) / means[m]).Average()), CommandPower))
        );
    }
}
