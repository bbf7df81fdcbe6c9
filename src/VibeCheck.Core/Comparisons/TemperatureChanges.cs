using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Comparisons;

/// <summary>Changes of the steady rises of motors or of ESCs.</summary>
internal sealed class TemperatureChanges
{
    /// <summary>A unit that was cooler than the hottest one by more than this, °C, where it is known is not the hottest where it is not
    /// known: work on motors does not change their order by more without also changing the hottest.</summary>
    private const double NotHottestC = 5;

    /// <summary>Standard uncertainty of an ambient temperature that was derived from a cold start, °C.</summary>
    private const double GuessedAmbientU = 0.5;

    /// <summary>One unit.</summary>
    internal sealed record Entry(string Motor, FlightValues Values, Change? Change)
    {
        internal CallKind Call { get; set; } = CallKind.Unknown;

        /// <summary>Change of the rise at the load before, °C.</summary>
        internal required Estimate AtEqualLoad { get; init; }

        internal RiseCause Cause(double mattersC) =>
            Change is null ? RiseCause.NotAsked : RiseCauses.Of(Call, Change.ToEstimate(), AtEqualLoad, mattersC);
    }

    /// <summary>The kind of unit.</summary>
    internal sealed record Kind(bool IsEsc, Answers ByMotor, Func<MotorAnalysis, TemperatureRise> Rise, Func<MotorTrack, Series?> Telemetry)
    {
        internal static readonly Kind Motor = new(false, Answers.MotorTemperaturesByMotor, m => m.MotorTemp, t => t.MotorTempC);

        internal static readonly Kind Esc = new(true, Answers.EscTemperaturesByMotor, m => m.EscTemp, t => t.EscTempC);
    }

    private readonly FlightSet _flights;
    private readonly ComparisonOptions _options;
    private readonly Kind _kind;
    private readonly SpeedCorrection _speed;
    private readonly FlightScatter _scatter;
    private readonly IReadOnlyList<QualityIssue> _issues;

    internal TemperatureChanges(
        FlightSet flights,
        Airframe airframe,
        ComparisonOptions options,
        double speedRatio,
        Kind kind,
        IReadOnlyList<QualityIssue>? issues = null
    )
    {
        (_flights, _options, _kind, _speed, _issues) = (flights, options, kind, SpeedCorrection.Of(flights, speedRatio), issues ?? []);
        var readings = airframe.Motors.Select(m => (m.Id, Values: flights.Read(f => Rise(f, m.Id)))).ToArray();
        _scatter = FlightScatter.Of(options.FlightScatterC, [.. readings.Select(r => r.Values)]);
        Units = [.. readings.Select(r => new Entry(r.Id, r.Values, Corrected(r.Values)) { AtEqualLoad = AtEqualLoad(r.Id, r.Values) })];
        HottestValues = Extreme(list => list.MaxBy(x => x.Rise.Value));
        Hottest = Corrected(HottestValues);
        (HottestBefore, HottestAfter) = (HottestOf(flights.Before), HottestOf(flights.After));
    }

    internal IReadOnlyList<Entry> Units { get; }

    internal FlightValues HottestValues { get; }

    /// <summary>Change of the steady rise of the hottest unit, whichever unit that is on each side.</summary>
    internal Change? Hottest { get; }

    internal string? HottestBefore { get; }

    internal string? HottestAfter { get; }

    /// <summary>Calls on all units, motors and ESCs together.</summary>
    internal static void CallTogether(IReadOnlyList<TemperatureChanges> all)
    {
        Entry[] entries = [.. all.SelectMany(a => a.Units)];
        ComparisonOptions options = all[0]._options;
        double[] adjusted = Calls.Adjusted([.. entries.Select(e => e.Change)], MultipleTests.BenjaminiHochberg);
        for (int i = 0; i < entries.Length; i++)
        {
            entries[i].Call = Calls.Kind(entries[i].Change, adjusted[i], options.ErrorRate, options.MinChangeC);
        }
    }

    internal Call Of(string motor, Reason? notComparable)
    {
        Entry entry = Units.First(u => u.Motor == motor);
        Reason? unknown = notComparable ?? WhyNotByMotor(motor);
        return Calls.Of(
            entry.Values,
            entry.Change,
            unknown is null ? entry.Call : CallKind.Unknown,
            CallUnit.C,
            unknown,
            _options.MinChangeC
        );
    }

    /// <summary>Why the temperatures are not known motor by motor although the hottest is; null where they are.</summary>
    private Reason? WhyNotByMotor(string motor) =>
        _issues
            .FirstOrDefault(i =>
                i.Effect == QualityEffect.Withheld && i.Affects.HasFlag(_kind.ByMotor) && (i.Motor is null || i.Motor == motor)
            )
            ?.Cause;

    /// <summary>Hottest minus coolest unit.</summary>
    internal TemperatureSpread Spread(Reason? notComparable)
    {
        FlightValues hottest = HottestValues;
        if (!hottest.AreKnown || SharedUnits().Length < 2)
        {
            Reason why = hottest.Why ?? new FewerThanTwoUnitsKnown();
            return new(Estimate.Unknown(why), Estimate.Unknown(why), Estimate.Unknown(why), CallKind.Unknown);
        }

        FlightValues coolest = Extreme(list => list.MinBy(x => x.Rise.Value));
        FlightValues spread = new(Less(hottest.Before, coolest.Before), Less(hottest.After, coolest.After), null);

        // Only the scatter of two individual units remains; an effect of a flight on all units alike cancels.
        Change change = Change.Of(spread, _scatter with { Sigma = _scatter.Sigma * Math.Sqrt(2) })!;
        CallKind kind = Calls.Kind(change, change.PValue, _options.ErrorRate, _options.MinChangeC);
        return new(
            Estimate.Of(spread.MeanBefore, change.Before),
            Estimate.Of(spread.MeanAfter, change.After),
            notComparable is null ? change.ToEstimate() : Estimate.Unknown(notComparable),
            notComparable is null ? kind : CallKind.Unknown
        );
    }

    private Estimate AtEqualLoad(string motor, FlightValues readings)
    {
        if (!readings.AreKnown || RiseCauses.LoadRatio(_flights, motor) is not double ratio)
        {
            return Estimate.Unknown(readings.Why ?? new LoadNotKnownOnBothSides());
        }

        double takenOut = readings.MeanAfter * (1 / ratio - 1),
            correctionHalfWidth = 1.96 * RiseCauses.ExponentShare * takenOut;
        double half = Change.Of(readings, _scatter)!.Half95;
        return Estimate.Around(
            readings.MeanAfter + takenOut - readings.MeanBefore,
            Math.Sqrt(half * half + correctionHalfWidth * correctionHalfWidth)
        );
    }

    private static FlightValue[] Less(IReadOnlyList<FlightValue> a, IReadOnlyList<FlightValue> b) =>
        [.. a.Zip(b, (x, y) => new FlightValue(x.Value - y.Value, Math.Sqrt(x.U * x.U + y.U * y.U)))];

    private (FlightValue? Known, Reason? Why) Rise(AnalysedFlight flight, string motor)
    {
        if (!flight.HasTelemetry)
        {
            return (null, _flights.All.Any(f => f.HasTelemetry) ? new FlightWithoutTelemetry(flight.Name) : new NoFlightWithTelemetry());
        }

        if (!HasReadings(flight))
        {
            return (
                null,
                _flights.All.Any(HasReadings)
                    ? new FlightWithoutTemperatures(flight.Name, _kind.IsEsc)
                    : new NoFlightWithTemperatures(_kind.IsEsc)
            );
        }

        Estimate? rise = flight.Motor(motor) is MotorAnalysis m ? _kind.Rise(m).RiseSteadyC : null;
        return rise is null
            ? (null, new MotorNotInFlight(motor, flight.Name))
            : (FlightValue.Plain(rise, flight.AmbientIsGuessed ? GuessedAmbientU : 0), rise.Why);
    }

    private bool HasReadings(AnalysedFlight flight) => flight.Flight.Motors.Any(m => _kind.Telemetry(m) is { Count: > 0 });

    /// <summary>Corrects the rises after to the speed before.</summary>
    private Change? Corrected(FlightValues readings) =>
        readings.AreKnown ? Change.Of(readings, _scatter, readings.MeanAfter * (_speed.Factor - 1), readings.MeanAfter * _speed.U) : null;

    private string[] SharedUnits() =>
        [
            .. Units
                .Where(u => u.Values.Before.Count == _flights.Before.Count && u.Values.After.Count == _flights.After.Count)
                .Select(u => u.Motor),
        ];

    /// <summary>In each flight the extreme of the units that are known in every flight.</summary>
    private FlightValues Extreme(Func<IEnumerable<(string Motor, FlightValue Rise)>, (string Motor, FlightValue Rise)> pick)
    {
        string[] shared = SharedUnits();
        return shared.Length == 0
                ? new([], [], Units.Select(u => u.Values.Why).FirstOrDefault(w => w is not null) ?? new NoUnitKnownInAllFlights())
            : WhyNotHottest(shared) is { } why ? new([], [], why)
            : _flights.Read(f => (pick(shared.Select(m => (m, Rise(f, m).Known!.Value))).Rise, null));
    }

    /// <summary>Why the hottest unit is not known although some units are: one that has readings but is not known in all flights may be the
    /// hottest; null otherwise.</summary>
    private Reason? WhyNotHottest(string[] shared)
    {
        foreach (Entry unit in Units.Where(u => !shared.Contains(u.Motor)))
        {
            // A unit that no flight reads is missing from the sets of all flights, so the sets are the same.
            if (!_flights.All.Any(f => IsRead(f, unit.Motor)) || IsClearlyCooler(unit, shared))
            {
                continue;
            }

            if (
                _flights.All.Where(f => IsRead(f, unit.Motor)).Select(f => Rise(f, unit.Motor)).FirstOrDefault(r => r.Known is null) is
                { Why: { } fault and not NotLogged }
            )
            {
                return fault;
            }

            string[] missing = [.. Units.Where(u => !shared.Contains(u.Motor) && !IsClearlyCooler(u, shared)).Select(u => u.Motor)];
            return new HottestUnitMissing(string.Join(", ", missing), unit.Values.After.Count < _flights.After.Count);
        }

        return null;
    }

    /// <summary>A column that never changes has no valid readings.</summary>
    private bool IsRead(AnalysedFlight flight, string motor) =>
        flight.Flight.Track(motor) is { } track
        && _kind.Telemetry(track) is { Count: > 1 } series
        && Array.Exists(series.Values, v => v != series.Values[0]);

    /// <summary>Whether the unit is clearly cooler than the hottest of the shared units on each side where it is known.</summary>
    private bool IsClearlyCooler(Entry unit, string[] shared)
    {
        double[] below =
        [
            .. _flights
                .All.Where(f => Rise(f, unit.Motor).Known is not null)
                .Select(f => shared.Max(m => Rise(f, m).Known!.Value.Value) - Rise(f, unit.Motor).Known!.Value.Value),
        ];
        return below.Length > 0 && below.Min() > NotHottestC;
    }

    private string? HottestOf(IReadOnlyList<AnalysedFlight> side)
    {
        string[] shared = SharedUnits();
        return HottestValues.AreKnown ? shared.MaxBy(m => side.Average(f => Rise(f, m).Known!.Value.Value)) : null;
    }
}
