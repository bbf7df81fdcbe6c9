using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>How the motors share the load in the hover, and the yaw trim of the aircraft: from speeds, or from commands where speeds are
/// missing.</summary>
internal sealed class LoadSharing
{
    // Speed squared represents thrust; a command is used unchanged.
    private readonly double _power;

    // Mean load of the motors that report, row by row, with which every motor is compared.
    private readonly double[] _usual;

    private readonly bool _knowsSpins;

    private LoadSharing(YawTrimSource from, MotorSamples samples, bool knowsSpins)
    {
        From = from;
        _knowsSpins = knowsSpins;
        Samples = samples;
        _power = from == YawTrimSource.Rpm ? 2 : 1;
        _usual = samples.Each(r => r.Average(v => Math.Pow(v, _power)));
    }

    internal YawTrimSource From { get; }

    /// <summary>Speeds in rpm, or commands 0 to 1.</summary>
    internal MotorSamples Samples { get; }

    /// <param name="flight">The flight.</param>
    /// <param name="airframe">Its aircraft.</param>
    /// <param name="hover">Hover that is used.</param>
    /// <param name="rpm">The motors' speeds in it.</param>
    internal static LoadSharing Of(Flight flight, Airframe airframe, IReadOnlyList<TimeInterval> hover, MotorSamples rpm)
    {
        if (rpm.Motors.Count * 2 > airframe.Motors.Count)
        {
            return new(YawTrimSource.Rpm, rpm, airframe.HasLayout);
        }

        MotorSamples command = MotorSamples.Of(flight, airframe, hover, t => t.Command);
        return command.Motors.Count > rpm.Motors.Count
            ? new(YawTrimSource.Command, command, airframe.HasLayout)
            : new(YawTrimSource.Rpm, rpm, airframe.HasLayout);
    }

    /// <summary>The motor's mean thrust (speed squared) divided by the mean of all that report, or the same for the unchanged
    /// commands.</summary>
    internal Estimate Share(string motorId)
    {
        int column = Samples.ColumnOf(motorId);
        if (Unusable(column < 0) is { } why)
        {
            return Estimate.Unknown(why);
        }

        return MotorSamples.Ratio(Samples.Each(r => Math.Pow(r[column], _power)), _usual);
    }

    /// <summary>(mean of the cw motors - mean of the ccw motors) / mean of all.</summary>
    internal YawTrim Trim()
    {
        int[] clockwise = Columns(Spin.Clockwise),
            counter = Columns(Spin.CounterClockwise);
        if ((_knowsSpins ? Unusable(false) : new SpinsUnknown()) is { } why)
        {
            return new(Estimate.Unknown(why), From);
        }

        return clockwise.Length == 0 || counter.Length == 0
            ? new(Estimate.Unknown(new AllTurnTheSameWay()), From)
            : new(
                MotorSamples.Ratio(
                    Samples.Each(r => clockwise.Average(m => r[m]) - counter.Average(m => r[m])),
                    Samples.Each(r => r.Average())
                ),
                From
            );
    }

    private int[] Columns(Spin spin) => [.. Enumerable.Range(0, Samples.Motors.Count).Where(m => Samples.Motors[m].Spin == spin)];

    private Reason? Unusable(bool silent) =>
        silent ? new SpeedAndCommandMissingInHover()
        : Samples.Rows.Count == 0 ? new AllSpeedsAndCommandsMissingInHover()
        : Samples.MeanOfAll <= 0 ? new MotorsStandStill()
        : null;
}
