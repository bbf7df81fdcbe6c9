using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>Time in the hover that a motor was at full command.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Share">Share of its readings in the hover at <see cref="PowerTrain.FullCommand"/> or above, 0 to 1.</param>
/// <param name="Mean">Mean command in the hover, 0 to 1.</param>
public sealed record CommandUse(string Motor, double Share, double Mean);

/// <summary>Times at which a rotor lost speed although its command did not fall.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Count">Number of drops.</param>
/// <param name="FirstS">Time of the first drop, s.</param>
/// <param name="Depth">Median depth of the drops, as a share of the surrounding speed.</param>
public sealed record SpeedDrops(string Motor, int Count, double FirstS, double Depth);

/// <summary>Voltage of the battery at rest and under the load of the hover.</summary>
/// <param name="RestV">Before take-off, V.</param>
/// <param name="LoadV">At the start of the hover, V.</param>
public sealed record BatterySag(double RestV, double LoadV)
{
    /// <summary>The loss under load, as a share of the voltage at rest.</summary>
    public double Share => 1 - LoadV / RestV;
}

/// <summary>How the motors respond to their commands, and how the battery supplies the motors.</summary>
/// <param name="Commands">One for each motor with commands in the hover.</param>
/// <param name="Drops">Motors whose speed dropped.</param>
/// <param name="Sag">Sag of the battery; null without voltage, or without a rest before take-off.</param>
public sealed record PowerTrain(IReadOnlyList<CommandUse> Commands, IReadOnlyList<SpeedDrops> Drops, BatterySag? Sag)
{
    /// <summary>A command from this value on counts as full: controllers reserve the last hundredths (common practice).</summary>
    public const double FullCommand = 0.98;

    // A drop is distinguished from normal variation by its size and by the scatter of its own motor; a fall that was commanded, or that all
    // rotors share, is not a drop.
    private const double LeastDrop = 0.04,
        LeastScatters = 6,
        CommandedShare = 0.5,
        LeastShare = 0.1,
        ClosestS = 0.009,
        HeldS = 0.1,
        AboutS = 1.5,
        ApartS = 0.5;
    private const int LeastReadings = 2,
        LeastSeries = 50;

    // The rotors stand still below this share of their hover speed; the battery rests for at least this time.
    private const double StandingShare = 0.05,
        RestS = 1,
        LoadedForS = 10;

    internal static PowerTrain Of(Flight flight, Airframe airframe, IReadOnlyList<TimeInterval> hover)
    {
        MotorTrack[] tracks = [.. airframe.Motors.Select(m => flight.Track(m.Id)).OfType<MotorTrack>()];
        return hover.Count == 0
            ? new([], [], null)
            : new(
                [.. tracks.Select(t => Use(t, hover)).OfType<CommandUse>()],
                [.. tracks.Select(t => DropsOf(t, tracks, hover)).OfType<SpeedDrops>()],
                SagOf(flight, tracks, hover)
            );
    }

    private static CommandUse? Use(MotorTrack track, IReadOnlyList<TimeInterval> hover)
    {
        if (track.Command is not { Count: > LeastSeries } command)
        {
            return null;
        }

        // From the first to the last moment of the hover, including the time between: where a command is at its limit, the hover finder
        // sees no steady hover.
        (int from, int to) = (command.FirstAtOrAfter(hover[0].FromS), command.FirstAtOrAfter(hover[^1].ToS));
        ReadOnlySpan<double> values = command.Values.AsSpan(from, to - from);
        double sum = 0;
        int full = 0;
        foreach (double value in values)
        {
            sum += value;
            full += value >= FullCommand ? 1 : 0;
        }

        return values.Length == 0 ? null : new(track.MotorId, (double)full / values.Length, sum / values.Length);
    }

    private static SpeedDrops? DropsOf(MotorTrack track, IReadOnlyList<MotorTrack> all, IReadOnlyList<TimeInterval> hover)
    {
        if (track.Rpm is not { Count: > LeastSeries } logged)
        {
            return null;
        }

        Series rpm = Turning(logged, hover);
        (int from, int to) = (rpm.FirstAtOrAfter(hover[0].FromS), rpm.FirstAtOrAfter(hover[^1].ToS));
        double[] dip = Dips(rpm, from, to);
        double limit = Math.Max(LeastDrop, LeastScatters * 1.4826 * Robust.Median(dip.Select(Math.Abs)));
        List<(double AtS, double Depth)> drops = [];
        for (int i = 0; i < dip.Length; i++)
        {
            int first = i;
            while (i < dip.Length && dip[i] > limit)
            {
                i++;
            }

            double atS = rpm.TimeS[from + first];
            if (i - first >= LeastReadings && !IsShared(all, track, atS, rpm.TimeS[from + i - 1], dip.AsSpan(first, i - first)))
            {
                double depth = Largest(dip.AsSpan(first, i - first));
                if (drops.Count > 0 && atS - drops[^1].AtS < ApartS)
                {
                    continue;
                }

                drops.Add((atS, depth));
            }
        }

        return drops.Count == 0 ? null : new(track.MotorId, drops.Count, drops[0].AtS, Robust.Median(drops.Select(d => d.Depth)));
    }

    /// <summary>The speed without readings close to zero, which in flight are fillers and not speeds, and without the repeats that a wide
    /// file has between reports.</summary>
    private static Series Turning(Series rpm, IReadOnlyList<TimeInterval> hover)
    {
        double least = LeastShare * (rpm.MeanOver(hover) ?? 0);
        List<double> timeS = [],
            values = [];
        for (int i = 0; i < rpm.Count; i++)
        {
            double sinceS = timeS.Count == 0 ? double.PositiveInfinity : rpm.TimeS[i] - timeS[^1];
            bool isNew = sinceS > HeldS || (sinceS > ClosestS && rpm.Values[i] != values[^1]);
            if (rpm.Values[i] > least && isNew)
            {
                timeS.Add(rpm.TimeS[i]);
                values.Add(rpm.Values[i]);
            }
        }

        return new([.. timeS], [.. values]);
    }

    /// <summary>Distance of each reading below the median of the readings around it, as a share.</summary>
    private static double[] Dips(Series series, int from, int to)
    {
        double[] dips = new double[Math.Max(0, to - from)];
        int low = from,
            high = from;
        for (int i = from; i < to; i++)
        {
            while (series.TimeS[low] < series.TimeS[i] - AboutS)
            {
                low++;
            }

            while (high < to && series.TimeS[high] <= series.TimeS[i] + AboutS)
            {
                high++;
            }

            double usual = Robust.Median(series.Values[low..high]);
            dips[i - from] = usual > 0 ? 1 - series.Values[i] / usual : 0;
        }

        return dips;
    }

    /// <summary>Whether the fall was commanded, or the other rotors fell at the same time.</summary>
    private static bool IsShared(IReadOnlyList<MotorTrack> all, MotorTrack own, double fromS, double toS, ReadOnlySpan<double> dips)
    {
        double depth = Largest(dips);
        double[] others = [.. all.Where(t => t != own).Select(t => Fall(t.Rpm, fromS, toS)).OfType<double>()];
        bool together = others.Length > 0 && Robust.Median(others) > CommandedShare * depth;
        return together || Fall(own.Command, fromS, toS) > CommandedShare * depth;
    }

    /// <summary>Share by which a series is lower in an interval than around it; null where it has no readings there.</summary>
    private static double? Fall(Series? series, double fromS, double toS)
    {
        if (series is not { Count: > 0 })
        {
            return null;
        }

        double[] within = Between(series, fromS, toS),
            about = [.. Between(series, fromS - AboutS, fromS - 0.1), .. Between(series, toS + 0.3, toS + AboutS)];
        return within.Length == 0 || about.Length == 0 || Robust.Median(about) <= 0 ? null : 1 - within.Average() / Robust.Median(about);
    }

    private static double[] Between(Series series, double fromS, double toS) =>
        series.Values[series.FirstAtOrAfter(fromS)..Math.Max(series.FirstAtOrAfter(fromS), series.FirstAtOrAfter(toS + 1e-9))];

    private static double Largest(ReadOnlySpan<double> values)
    {
        double most = 0;
        foreach (double value in values)
        {
            most = Math.Max(most, value);
        }

        return most;
    }

    private static BatterySag? SagOf(Flight flight, IReadOnlyList<MotorTrack> tracks, IReadOnlyList<TimeInterval> hover)
    {
        Series? volts = flight.BatteryV ?? tracks.Select(t => t.VoltageV).FirstOrDefault(v => v is { Count: > LeastSeries });
        Series? rpm = tracks.Select(t => t.Rpm).FirstOrDefault(r => r is { Count: > LeastSeries });
        if (volts is not { Count: > LeastSeries } || rpm?.MeanOver(hover) is not double usual)
        {
            return null;
        }

        int turning = Array.FindIndex(rpm.Values, r => r > StandingShare * usual);
        double startS = turning < 0 ? double.NegativeInfinity : rpm.TimeS[turning];
        double[] rest = Between(volts, startS - 30, startS - 0.2),
            load = Between(volts, hover[0].FromS, hover[0].FromS + LoadedForS);
        bool rests = turning > 0 && startS - Math.Max(rpm.TimeS[0], volts.TimeS[0]) > RestS;
        return rests && rest.Length > 2 && load.Length > 2 && Robust.Median(rest) > 0
            ? new(Robust.Median(rest), Robust.Median(load))
            : null;
    }
}
