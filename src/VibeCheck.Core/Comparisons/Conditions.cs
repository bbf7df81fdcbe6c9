using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Comparisons;

/// <summary>Conditions that must be the same for a comparison, checked flight by flight.</summary>
internal sealed class Conditions
{
    private const double GravityMps2 = 9.80665;
    private const double TiltLimitDeg = 5;
    private const double ShortLimitS = 8;
    private const double GroupSpeedDoubt = 0.03;

    /// <summary>Commands depend on battery and tuning, so only a large difference indicates another aircraft.</summary>
    private const double CommandLimit = 0.3;

    private readonly FlightSet _flights;
    private readonly ComparisonOptions _options;
    private readonly HoverBasis _basis;
    private readonly List<Condition> _all = [];
    private readonly List<Reason> _obstacles = [];

    internal Conditions(FlightSet flights, Survey? survey, ComparisonOptions options, HoverBasis basis)
    {
        (_flights, _options, _basis) = (flights, options, basis);
        (double? before, double? after) = (Mean(flights.Before, f => f.Hover.Level), Mean(flights.After, f => f.Hover.Level));
        LevelRatio = before is double b && after is double a && b > 0 ? a / b : 1;
        Dates();
        Hover();
        Speed(before, after);
        Telemetry();
        FoundSpeeds();
        Motors();
        Ambient();
        Rates();
        Attitude();
        Battery();
        SurveyBetween(survey);
    }

    internal IReadOnlyList<Condition> All => _all;

    /// <summary>The reasons why the flights cannot be compared; empty when there are none.</summary>
    internal IReadOnlyList<Reason> Obstacles => _obstacles;

    /// <summary>The first obstacle; null when there is none.</summary>
    internal Reason? WhyNotComparable => _obstacles.Count > 0 ? new FlightsNotComparable(_obstacles[0]) : null;

    /// <summary>Mean hover speed (or command) after divided by that before; 1 when unknown.</summary>
    internal double LevelRatio { get; }

    /// <summary>The ratio for which changes are corrected; 1 where speeds are not known. A speed difference of only 1 % changes a rise by 3
    /// %, which is 1 °C of 35 °C.</summary>
    internal double CorrectedRatio => _basis == HoverBasis.Rpm ? LevelRatio : 1;

    /// <summary>The speeds that are not logged but found; null when all are logged or unknown.</summary>
    internal SpeedsFoundInFlights? SpeedsFound { get; private set; }

    /// <summary>Whether flights given as after were flown before those given as before.</summary>
    internal bool DatesSwapped { get; private set; }

    private void Dates()
    {
        DateTime?[] before = [.. _flights.Before.Select(f => f.Flight.Input.StartedUtc)],
            after = [.. _flights.After.Select(f => f.Flight.Input.StartedUtc)];
        if (before.Concat(after).Any(d => d is null))
        {
            _all.Add(new(ConditionKind.Dates, Day(before), Day(after), null, new DatesUnknown()));
            return;
        }

        DatesSwapped = before.Max() > after.Min();
        _all.Add(new(ConditionKind.Dates, Day(before), Day(after), !DatesSwapped, DatesSwapped ? new DatesReversed() : new DatesInOrder()));
        if (DatesSwapped && !_options.IgnoreDates)
        {
            _obstacles.Add(new StagesOutOfOrder(before.Max()!.Value, after.Min()!.Value));
        }
    }

    private static FlownAt? Day(DateTime?[] dates) =>
        dates.OfType<DateTime>().Order().ToArray() is { Length: > 0 } known ? new(known) : null;

    private void Hover()
    {
        string[] without = [.. _flights.All.Where(f => f.Hover.Used.Segments.Count == 0).Select(f => f.Name)];
        double least = _flights.All.Min(f => f.Hover.Used.SecondsUsed);
        Reason why =
            without.Length > 0 ? new NoHoverInFlights(without)
            : least < _options.ShortHoverS ? new HoverIsShort(least)
            : new HoverLongEnough();
        _all.Add(
            new(
                ConditionKind.HoverTime,
                Seconds(_flights.Before),
                Seconds(_flights.After),
                without.Length == 0 && least >= ShortLimitS,
                why
            )
        );
        if (without.Length > 0)
        {
            _obstacles.Add(why);
        }
    }

    private static HoverTimes Seconds(IReadOnlyList<AnalysedFlight> side) =>
        new([
            .. side.Select(f => new UsedHover(
                f.Hover.Used.SecondsUsed,
                f.Hover.Found.SecondsUsed > 0 ? f.Hover.Used.SecondsUsed / f.Hover.Found.SecondsUsed : 0
            )),
        ]);

    /// <summary>Whether the rotors are known as a group in all flights, because some lack speeds.</summary>
    private bool GroupIsKnown => _flights.All.All(f => f.Analysis.Group?.TotalMps2.IsKnown == true);

    /// <summary>The rotors' speed found from the vibration: its uncertainty is about 1.5 % on each side.</summary>
    private void GroupSpeed()
    {
        double before = _flights.Before.Average(f => 60 * f.Analysis.Group!.BaseHz!.Value),
            after = _flights.After.Average(f => 60 * f.Analysis.Group!.BaseHz!.Value);
        double off = Math.Abs(after / before - 1);
        bool tooFar = off > _options.SpeedLimit + GroupSpeedDoubt;
        _all.Add(
            new(
                ConditionKind.GroupSpeed,
                new AboutRpm(before),
                new AboutRpm(after),
                !tooFar,
                tooFar ? new OperatingPointsApart(off) : new GroupSpeedsAlike()
            )
        );
        if (tooFar)
        {
            _obstacles.Add(new GroupSpeedsApart(before, after, off));
        }
    }

    private void Speed(double? before, double? after)
    {
        if (_basis != HoverBasis.Rpm && GroupIsKnown)
        {
            GroupSpeed();
        }

        if (_basis == HoverBasis.None || before is null || after is null)
        {
            if (GroupIsKnown)
            {
                return;
            }

            _all.Add(new(ConditionKind.HoverSpeed, null, null, null, new OperatingPointUnknown()));
            return;
        }

        bool rpm = _basis == HoverBasis.Rpm;
        ConditionValue At(double level) => rpm ? new AtRpm(level) : new AtCommand(level);
        double off = Math.Abs(LevelRatio - 1);
        bool tooFar = off > (rpm ? _options.SpeedLimit : CommandLimit);
        Reason why =
            tooFar ? new OperatingPointsApart(off)
            : !rpm ? new CommandsNotCorrected()
            : off > _options.SpeedMatch ? new SpeedsCorrected(off)
            : new SpeedsAlike(_options.SpeedMatch);
        _all.Add(new(rpm ? ConditionKind.HoverSpeed : ConditionKind.HoverCommand, At(before.Value), At(after.Value), !tooFar, why));
        if (tooFar)
        {
            _obstacles.Add(rpm ? new HoverSpeedsApart(before.Value, after.Value, off) : new HoverCommandsApart(before.Value, after.Value));
        }
    }

    private void Telemetry()
    {
        string[] silent = [.. _flights.All.Where(f => !f.HasTelemetry).Select(f => f.Name)];
        bool all = silent.Length == _flights.Before.Count + _flights.After.Count;
        ReportedChannels before = Channels(_flights.Before),
            after = Channels(_flights.After);
        bool alike = before.Channels.SequenceEqual(after.Channels);
        _all.Add(
            new(
                ConditionKind.EscTelemetry,
                before,
                after,
                silent.Length == 0 && alike,
                all ? new NoTelemetry(GroupIsKnown)
                    : silent.Length > 0 ? new SomeWithoutTelemetry(silent, GroupIsKnown)
                    : alike ? new TelemetryAlike()
                    : new TelemetryPartlyShared()
            )
        );
        if (
            silent.Length > 0
            && !all
            && !GroupIsKnown
            && (_flights.Before.All(f => !f.HasTelemetry) || _flights.After.All(f => !f.HasTelemetry))
        )
        {
            _obstacles.Add(new TelemetryOnOneSide(silent));
        }
    }

    private static ReportedChannels Channels(IReadOnlyList<AnalysedFlight> side)
    {
        (TelemetryChannel Channel, Func<MotorTrack, Series?> Of)[] kinds =
        [
            (TelemetryChannel.Speed, m => m.Rpm),
            (TelemetryChannel.Command, m => m.Command),
            (TelemetryChannel.Current, m => m.CurrentA),
            (TelemetryChannel.MotorTemperature, m => m.MotorTempC),
            (TelemetryChannel.EscTemperature, m => m.EscTempC),
        ];
        return new([.. kinds.Where(k => side.All(f => f.Flight.Motors.Any(m => k.Of(m) is { Count: > 0 }))).Select(k => k.Channel)]);
    }

    private void FoundSpeeds()
    {
        SpeedsFound[] found = [.. _flights.All.Select(f => new SpeedsFound(f.Name, Found(f))).Where(f => f.Motors.Count > 0)];
        if (found.Length == 0)
        {
            return;
        }

        SpeedsFound = new(found);
        SpeedOrigins before = new(Distinct(_flights.Before.Select(Found))),
            after = new(Distinct(_flights.After.Select(Found)));
        bool alike =
            before.Found.Count == after.Found.Count && before.Found.Zip(after.Found, (b, a) => b.SequenceEqual(a)).All(same => same);
        _all.Add(new(ConditionKind.RotorSpeeds, before, after, alike, SpeedsFound));
    }

    /// <summary>Each different list of motors once, in the order of first appearance.</summary>
    private static IReadOnlyList<string>[] Distinct(IEnumerable<IReadOnlyList<string>> sets)
    {
        List<IReadOnlyList<string>> distinct = [];
        foreach (IReadOnlyList<string> set in sets)
        {
            if (!distinct.Exists(d => d.SequenceEqual(set)))
            {
                distinct.Add(set);
            }
        }

        return [.. distinct];
    }

    private static string[] Found(AnalysedFlight flight) => [.. flight.Analysis.Motors.Where(m => m.SpeedIsFound).Select(m => m.Id)];

    private void Motors()
    {
        if (Distinct(_flights.All.Where(f => f.HasTelemetry).Select(MotorIds)).Length < 2)
        {
            return;
        }

        MotorSets before = new(Distinct(_flights.Before.Select(MotorIds))),
            after = new(Distinct(_flights.After.Select(MotorIds)));
        int[] counts = [.. _flights.All.Where(f => f.HasTelemetry).Select(f => f.Flight.Motors.Count)];
        bool another = counts.Max() - counts.Min() >= 2;
        Reason why = another ? new MotorsDiffer(before.Sets, after.Sets) : new MotorMissingFromLog();
        _all.Add(new(ConditionKind.MotorsInLog, before, after, false, why));
        if (another)
        {
            _obstacles.Add(why);
        }
    }

    private static IReadOnlyList<string> MotorIds(AnalysedFlight flight) => [.. flight.Flight.Motors.Select(m => m.MotorId)];

    private void Ambient()
    {
        if (_flights.All.All(f => f.Flight.Motors.All(m => m.MotorTempC is null && m.EscTempC is null)))
        {
            _all.Add(
                new(ConditionKind.AmbientTemperature, Celsius(_flights.Before), Celsius(_flights.After), null, new AmbientNotNeeded())
            );
            return;
        }

        AnalysedFlight[] unknown = [.. _flights.All.Where(f => f.Analysis.AmbientC is null)];
        AnalysedFlight[] guessed = [.. _flights.All.Where(f => f.AmbientIsGuessed)];
        Reason why =
            unknown.Length > 0 ? new AmbientMissing([.. unknown.Select(f => f.Name)])
            : guessed.Length > 0 ? new AmbientFromColdStarts([.. guessed.Select(f => f.Name)])
            : new AmbientTakenOut();
        _all.Add(
            new(ConditionKind.AmbientTemperature, Celsius(_flights.Before), Celsius(_flights.After), unknown.Length == 0 ? true : null, why)
        );
    }

    private static AmbientTemperatures? Celsius(IReadOnlyList<AnalysedFlight> side) =>
        side.All(f => f.Analysis.AmbientC is null) ? null : new([.. side.Select(f => f.Analysis.AmbientC)]);

    private void Rates()
    {
        double[] rates = [.. _flights.All.Select(f => f.Flight.Imu.RateHz)];
        bool same = rates.Max() / rates.Min() < 1.02;
        _all.Add(new(ConditionKind.ImuRate, Hz(_flights.Before), Hz(_flights.After), true, same ? new RatesAlike() : new RatesDiffer()));
    }

    private static SampleRates Hz(IReadOnlyList<AnalysedFlight> side) => new([.. side.Select(f => f.Flight.Imu.RateHz)]);

    /// <summary>Direction of gravity over the hover: it shows an IMU that was moved or turned between the flights.</summary>
    private void Attitude()
    {
        double[][] before = [.. _flights.Before.Select(Gravity).OfType<double[]>()],
            after = [.. _flights.After.Select(Gravity).OfType<double[]>()];
        if (before.Length == 0 || after.Length == 0)
        {
            _all.Add(new(ConditionKind.ImuAxes, null, null, null, new AxesTakenAlike()));
            return;
        }

        double most = before.SelectMany(b => after.Select(a => AngleDeg(b, a))).Max();
        bool alike = most <= TiltLimitDeg;
        GravityWithin within = new(most);
        _all.Add(new(ConditionKind.ImuAxes, within, within, alike, alike ? new AxesAlike() : new ImuTurned()));
    }

    private static double[]? Gravity(AnalysedFlight flight)
    {
        ImuTrack imu = flight.Flight.Imu;
        double[] sum = new double[3];
        long n = 0;
        foreach (TimeInterval segment in flight.Hover.Used.Segments)
        {
            foreach (ContiguousSegment block in imu.Blocks)
            {
                int first = Math.Max(0, (int)Math.Ceiling((segment.FromS - block.StartS) / block.PeriodS));
                int last = Math.Min(block.SampleCount - 1, (int)Math.Floor((segment.ToS - block.StartS) / block.PeriodS));
                for (int i = first; i <= last; i++)
                {
                    sum[0] += imu.AccXMps2[block.FirstSample + i];
                    sum[1] += imu.AccYMps2[block.FirstSample + i];
                    sum[2] += imu.AccZMps2[block.FirstSample + i];
                    n++;
                }
            }
        }

        double[] mean = Array.ConvertAll(sum, s => s / Math.Max(1, n));
        double size = Math.Sqrt(mean.Sum(m => m * m));
        // Both z up and z down are accepted: the sign of z does not mean that the IMU was turned.
        return Math.Abs(size - GravityMps2) > 2 ? null
            : mean[2] > 0 ? [mean[0], mean[1], -mean[2]]
            : mean;
    }

    private static double AngleDeg(double[] a, double[] b)
    {
        double dot = a[0] * b[0] + a[1] * b[1] + a[2] * b[2],
            sizes = Math.Sqrt(a.Sum(x => x * x) * b.Sum(x => x * x));
        return Math.Acos(Math.Clamp(dot / sizes, -1, 1)) * 180 / Math.PI;
    }

    private void Battery()
    {
        double? before = Mean(_flights.Before, Volts),
            after = Mean(_flights.After, Volts);
        if (before is double b && after is double a)
        {
            bool alike = Math.Abs(a / b - 1) < 0.08;
            _all.Add(
                new(
                    ConditionKind.Battery,
                    new BatteryVoltage(b),
                    new BatteryVoltage(a),
                    alike,
                    alike ? new BatteryAlike() : new BatteryDiffers()
                )
            );
        }
    }

    private static double? Volts(AnalysedFlight flight) =>
        flight.Flight.BatteryV?.MeanOver(flight.Hover.Used.Segments)
        ?? flight.Flight.Motors.Select(m => m.VoltageV?.MeanOver(flight.Hover.Used.Segments)).FirstOrDefault(v => v is not null);

    private void SurveyBetween(Survey? survey)
    {
        MotorsRead? found = survey?.AsFound.Count > 0 ? new(survey.AsFound.Count) : null,
            left = survey?.AsLeft.Count > 0 ? new(survey.AsLeft.Count) : null;
        _all.Add(
            new(
                ConditionKind.Survey,
                found,
                left,
                found is not null && left is not null ? true : null,
                survey is null ? new ComparedWithoutSurvey()
                    : left is null ? new TiltsAfterUnknown()
                    : found is null ? new TiltsBeforeUnknown()
                    : new TiltsKnown()
            )
        );
    }

    private static double? Mean(IReadOnlyList<AnalysedFlight> side, Func<AnalysedFlight, double?> of)
    {
        double[] known = [.. side.Select(of).OfType<double>()];
        return known.Length == 0 ? null : known.Average();
    }
}
