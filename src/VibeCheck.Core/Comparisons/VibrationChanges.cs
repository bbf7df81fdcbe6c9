using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Changes of rotor orders, of their sum, and of broadband levels.</summary>
internal sealed class VibrationChanges
{
    /// <summary>One order of one motor.</summary>
    internal sealed record Entry(string Motor, int Order, FlightValues Values, Change? Change)
    {
        internal CallKind Kind { get; set; } = CallKind.Unknown;

        /// <summary>Size of the change in power, (m/s²)².</summary>
        internal double PowerChange => Math.Abs(Power(Values.MeanAfter) - Power(Values.MeanBefore));

        private static double Power(double db) => Math.Pow(FlightValue.FromDb(db), 2);
    }

    private readonly FlightSet _flights;
    private readonly ComparisonOptions _options;
    private readonly double _correctionDb;
    private readonly Reason? _notComparable;

    internal VibrationChanges(FlightSet flights, Airframe airframe, ComparisonOptions options, double correctionDb, Reason? notComparable)
    {
        (_flights, _options, _correctionDb, _notComparable) = (flights, options, correctionDb, notComparable);
        Orders = OrdersOf(airframe);
        (TotalValues, Total) = TotalOf(airframe);
        if (!TotalValues.AreKnown && GroupChanges.Of(flights, options) is { } group)
        {
            (TotalValues, Total, ByGroup) = (group.Values, group.Change, true);
        }

        Levels = LevelsOf();
    }

    internal IReadOnlyList<Entry> Orders { get; }

    internal FlightValues TotalValues { get; }

    /// <summary>Whether the total is that of the rotors as a group, because their speeds are missing.</summary>
    internal bool ByGroup { get; }

    /// <summary>Change of the rms of all rotor orders of all motors, dB; null when unknown.</summary>
    internal Change? Total { get; }

    internal IReadOnlyList<LevelChange> Levels { get; }

    internal IReadOnlyList<OrderChange> Of(string motor) => [.. Orders.Where(o => o.Motor == motor).Select(ToOrderChange)];

    private OrderChange ToOrderChange(Entry entry)
    {
        Reason? why = _notComparable ?? entry.Values.Why;
        return new OrderChange
        {
            Order = entry.Order,
            BeforeMps2 = Size(entry.Values.Before, entry.Values.Why),
            AfterMps2 = Size(entry.Values.After, entry.Values.Why),
            ChangeDb = why is null ? entry.Change!.ToEstimate() : Estimate.Unknown(why),
            Call = why is null ? entry.Kind : CallKind.Unknown,
        };
    }

    private static Estimate Size(IReadOnlyList<FlightValue> side, Reason? why)
    {
        if (side.Count == 0)
        {
            return Estimate.Unknown(why ?? new NotMeasured());
        }

        double db = side.Average(r => r.Value),
            u = Math.Sqrt(side.Sum(r => r.U * r.U)) / side.Count;
        return Estimate.Of(FlightValue.FromDb(db), new Interval(FlightValue.FromDb(db - 1.96 * u), FlightValue.FromDb(db + 1.96 * u)));
    }

    private List<Entry> OrdersOf(Airframe airframe)
    {
        var readings = new List<(string Motor, int Order, FlightValues Values)>();
        foreach (Motor motor in airframe.Motors)
        {
            int[] orders = [.. _flights.All.SelectMany(f => f.Motor(motor.Id)?.Orders ?? []).Select(o => o.Order).Distinct().Order()];
            readings.AddRange(orders.Select(k => (motor.Id, k, _flights.Read(f => Order(f, motor.Id, k)))));
        }

        FlightScatter scatter = FlightScatter.Of(_options.FlightScatterDb, [.. readings.Select(r => r.Values)]);
        List<Entry> entries = [.. readings.Select(r => new Entry(r.Motor, r.Order, r.Values, Change.Of(r.Values, scatter, _correctionDb)))];
        double[] adjusted = Calls.Adjusted([.. entries.Select(e => e.Change)], MultipleTests.BenjaminiHochberg);
        for (int i = 0; i < entries.Count; i++)
        {
            entries[i].Kind = Calls.Kind(entries[i].Change, adjusted[i], _options.ErrorRate, _options.MinChangeDb);
        }

        return entries;
    }

    private static (FlightValue? Known, Reason? Why) Order(AnalysedFlight flight, string motor, int order)
    {
        OrderLevel? level = flight.Motor(motor)?.Orders.FirstOrDefault(o => o.Order == order);
        return level is null ? (null, new OrderNotInFlight(order, motor, flight.Name))
            : level.Separable ? (FlightValue.InDb(level.RmsMps2), level.RmsMps2.Why)
            : (null, level.RmsMps2.Why ?? new MotorMergedInFlight(motor, [.. level.Group.Where(g => g != motor)], flight.Name));
    }

    private (FlightValues Values, Change? Change) TotalOf(Airframe airframe)
    {
        bool sameOrders = _flights.All.Select(f => string.Join(',', CountedOrders(f))).Distinct().Count() == 1;
        FlightValues readings = sameOrders
            ? _flights.Read(f => (FlightValue.InDb(f.Analysis.RotorVibrationMps2), f.Analysis.RotorVibrationMps2.Why))
            : TotalOfShared(airframe);
        double allowance = _options.FlightScatterDb * Math.Sqrt(0.5 + 0.5 / EffectiveCount());
        return (readings, Change.Of(readings, FlightScatter.Of(allowance, [readings]), _correctionDb));
    }

    private static IEnumerable<string> KnownMotors(AnalysedFlight flight) =>
        flight.Analysis.Motors.Where(m => m.Orders.Count > 0).Select(m => m.Id);

    /// <summary>Orders whose power is included in the flight's total: an order that only one flight has would look like a change.</summary>
    private static IEnumerable<string> CountedOrders(AnalysedFlight flight) =>
        flight.Analysis.Motors.SelectMany(m =>
            m.Orders.Where(o => o.RmsMps2.IsKnown || o.GroupMps2 is { IsKnown: true })
                .Select(o => FormattableString.Invariant($"{m.Id} {o.Order}"))
        );

    /// <summary>Where flights have different orders, the total is that of the orders that are in every flight.</summary>
    private FlightValues TotalOfShared(Airframe airframe)
    {
        Entry[] shared =
        [
            .. Orders.Where(o => o.Values.Before.Count == _flights.Before.Count && o.Values.After.Count == _flights.After.Count),
        ];
        if (shared.Length == 0)
        {
            string[] silent = [.. _flights.All.Where(f => !KnownMotors(f).Any()).Select(f => f.Name)];
            Reason why =
                silent.Length > 0
                    ? new OrdersUnknownWithoutSpeeds(silent)
                    : _flights.All.Select(f => f.Analysis.RotorVibrationMps2.Why).FirstOrDefault(w => w is not null)
                        ?? new NoOrderKnownInAllFlights();
            return new([], [], why);
        }

        // The errors of single orders average out; a fault of the log changes all orders of its flight together.
        FlightValue Sum(AnalysedFlight flight, Func<FlightValues, FlightValue> of)
        {
            double power = shared.Sum(o => Math.Pow(FlightValue.FromDb(of(o.Values).Value), 2));
            double u = Math.Sqrt(
                shared.Sum(o => Math.Pow(Math.Pow(FlightValue.FromDb(of(o.Values).Value), 2) / power * of(o.Values).U, 2))
            );
            double common = QualityEffects.CommonDb(flight.Analysis);
            return new(10 * Math.Log10(power), Math.Sqrt(u * u + common * common));
        }

        return new(
            [.. _flights.Before.Select((f, i) => Sum(f, r => r.Before[i]))],
            [.. _flights.After.Select((f, i) => Sum(f, r => r.After[i]))],
            null
        );
    }

    /// <summary>Effective number of orders in the total: (Σ a²)² / Σ a⁴. Half of the scatter from flight to flight is assumed common to all
    /// orders, and half individual to each order; the individual half decreases with this number.</summary>
    private double EffectiveCount()
    {
        double[] powers = [.. Orders.Where(o => o.Values.AreKnown).Select(o => Math.Pow(FlightValue.FromDb(o.Values.MeanBefore), 2))];
        double sum = powers.Sum(),
            squares = powers.Sum(p => p * p);
        return squares > 0 ? sum * sum / squares : 1;
    }

    private List<LevelChange> LevelsOf()
    {
        Level[] names = [.. _flights.All.SelectMany(f => f.Analysis.Levels).DistinctBy(l => l.Channel)];
        FlightValues[] readings = [.. names.Select(n => _flights.Read(f => LevelOf(f, n.Channel)))];
        FlightScatter scatter = FlightScatter.Of(_options.FlightScatterDb, readings);
        Change?[] changes = [.. readings.Select(r => Change.Of(r, scatter))];
        double[] adjusted = Calls.Adjusted(changes, MultipleTests.Holm);
        return
        [
            .. names.Select(
                (n, i) =>
                    new LevelChange(
                        n.Channel,
                        n.Unit,
                        Size(readings[i].Before, readings[i].Why),
                        Size(readings[i].After, readings[i].Why),
                        _notComparable is null && changes[i] is Change change
                            ? change.ToEstimate()
                            : Estimate.Unknown(_notComparable ?? readings[i].Why ?? new NotMeasured()),
                        _notComparable is null
                            ? Calls.Kind(changes[i], adjusted[i], _options.ErrorRate, _options.MinChangeDb)
                            : CallKind.Unknown
                    )
            ),
        ];
    }

    private static (FlightValue? Known, Reason? Why) LevelOf(AnalysedFlight flight, string channel) =>
        flight.Analysis.Levels.FirstOrDefault(l => l.Channel == channel) is Level level
            ? (FlightValue.InDb(level.Rms), level.Rms.Why)
            : (null, new ChannelNotInFlight(channel, flight.Name));
}
