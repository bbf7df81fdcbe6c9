using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Change of all vibration and of its parts.</summary>
internal sealed class AccountChanges
{
    // Standard deviations from flight to flight with nothing changed, dB: wind changes the broadband part most (common practice).
    private const double LineScatterDb = 1,
        BroadbandScatterDb = 1.5,
        KnockScatterDb = 3;

    // A part other than that of the rotors must change by the first value, and change the whole by this share of its mean square. It must
    // also change the whole by the last value, below which nobody notices a change.
    private const double PartMattersDb = 3,
        LeastShare = 0.02,
        LeastMovedMps2 = 0.3;

    // A part below this share of the size of the whole is treated as this large: a change from nothing has no size in dB.
    private const double LeastSize = 0.05;

    private readonly FlightSet _flights;
    private readonly ComparisonOptions _options;
    private readonly Reason? _notComparable;
    private readonly Reason? _unknown;

    // Mean square of the noise of the sensor, (m/s²)². All flights have the same recorder, and vibration at rest can only add to its noise.
    // Null where no flight shows it.
    private readonly double? _noise;

    /// <param name="flights">All flights.</param>
    /// <param name="vibration">Changes of the rotors' vibration.</param>
    /// <param name="options">Thresholds of a change.</param>
    /// <param name="correctionDb">Correction of the rotors' part to the same speed, dB.</param>
    /// <param name="notComparable">Why the flights cannot be compared; null when they can.</param>
    internal AccountChanges(
        FlightSet flights,
        VibrationChanges vibration,
        ComparisonOptions options,
        double correctionDb,
        Reason? notComparable
    )
    {
        (_flights, _options, _notComparable) = (flights, options, notComparable);
        _noise = flights.All.Select(f => f.Analysis.Accounting?.Noise.LeastOfSensor).Min();

        // The rotors show whether the flights were recorded alike; without them the whole cannot be checked.
        _unknown = vibration.TotalValues.Why;
        FlightValues values = flights.Read(f =>
            f.Analysis.Accounting is not { } account ? (null, _unknown ?? new NoWindowUsable())
            : _unknown is null ? (FlightValue.InDb(TotalOf(account)), account.TotalMps2.Why)
            : (null, _unknown)
        );
        Parts = PartsOf();
        TotalChange = Change.Of(values, FlightScatter.Of(Allowance(), [values]), correctionDb * Share(VibrationPartKind.RotorOrders));
        double adjusted = Calls.Adjusted([TotalChange], MultipleTests.Holm)[0];
        Total = Calls.Of(
            values,
            TotalChange,
            Calls.Kind(TotalChange, adjusted, options.ErrorRate, options.MinChangeDb),
            CallUnit.Db,
            notComparable,
            options.MinChangeDb
        );
    }

    internal Call Total { get; }

    internal Change? TotalChange { get; }

    internal IReadOnlyList<PartChange> Parts { get; }

    /// <summary>Parts other than that of the rotors that got better or worse.</summary>
    internal IEnumerable<PartChange> Moved(CallKind kind) => Parts.Where(p => p.Kind != VibrationPartKind.RotorOrders && p.Call == kind);

    private IReadOnlyList<PartChange> PartsOf()
    {
        if (_unknown is not null || _flights.All.Any(f => f.Analysis.Accounting is not { TotalMps2.IsKnown: true }))
        {
            return [];
        }

        VibrationPartKind[] kinds = Enum.GetValues<VibrationPartKind>();
        double least = LeastSize * _flights.All.Average(f => TotalOf(f.Analysis.Accounting!).Value!.Value);
        SizeChange[] sizes = [.. kinds.Select(k => new SizeChange(_flights, a => PartOf(a, k), ScatterDb(k), least))];
        Change?[] changes = [.. sizes.Select(c => c.Facing)];

        // A part that is absent in every flight cannot change the whole, so it does not count as one of the tests.
        bool[] counts = [.. kinds.Select(k => _flights.All.Any(f => f.Analysis.Accounting!.Part(k).Share > LeastShare))];
        double[] adjusted = Calls.Adjusted([.. changes.Select((c, i) => counts[i] ? c : null)], MultipleTests.Holm);
        return
        [
            .. kinds.Select(
                (k, i) =>
                    new PartChange(
                        k,
                        Mean(_flights.Before, k),
                        Mean(_flights.After, k),
                        _notComparable is null ? sizes[i].ChangeDb : Estimate.Unknown(_notComparable),
                        _notComparable is null ? KindOf(k, changes[i], adjusted[i]) : CallKind.Unknown
                    )
            ),
        ];
    }

    private CallKind KindOf(VibrationPartKind part, Change? change, double adjustedP)
    {
        CallKind kind = Calls.Kind(
            change,
            adjustedP,
            _options.ErrorRate,
            part == VibrationPartKind.RotorOrders ? _options.MinChangeDb : PartMattersDb
        );
        double moved = Square(_flights.After, a => PartOf(a, part)) - Square(_flights.Before, a => PartOf(a, part));

        // The whole of the side on which the part is larger: rotors that were louder before do not make a new part any smaller.
        double whole = Square(moved > 0 ? _flights.After : _flights.Before, TotalOf);
        return
            kind is CallKind.Improved or CallKind.Worse && Math.Abs(moved) < Math.Max(LeastShare * whole, LeastMovedMps2 * LeastMovedMps2)
            ? CallKind.NoClearChange
            : kind;
    }

    private Estimate TotalOf(VibrationAccount account) => WithSameNoise(account, account.TotalMps2);

    private Estimate PartOf(VibrationAccount account, VibrationPartKind kind) =>
        kind == VibrationPartKind.Broadband ? WithSameNoise(account, account.Part(kind).Mps2) : account.Part(kind).Mps2;

    /// <summary>A size after subtraction of the noise that all flights share, in place of the noise that its own flight showed at rest. The
    /// interval of a flight without rest does not yet include the uncertainty of that noise: it is added, as mean squares.</summary>
    private Estimate WithSameNoise(VibrationAccount account, Estimate size)
    {
        if (_noise is not double noise || size.Value is not double value)
        {
            return size;
        }

        double put = account.Noise.Subtracted - noise - account.Noise.Rounding,
            added = account.SensorNoiseMps2.IsKnown ? 0 : 1.96 * SensorNoise.UShare * noise,
            square = value * value;
        double End(double end, int side) => Rms(square + side * Math.Sqrt(Math.Pow(end * end - square, 2) + added * added) + put);
        return size.Ci95 is Interval ci95
            ? Estimate.Of(Rms(square + put), new(End(ci95.Low, -1), End(ci95.High, 1)))
            : Estimate.WithoutInterval(Rms(square + put), size.Why ?? new NoIntervalKnown());
    }

    private static double Rms(double square) => Math.Sqrt(Math.Max(0, square));

    private static double Square(IReadOnlyList<AnalysedFlight> side, Func<VibrationAccount, Estimate> of) =>
        side.Average(f => Math.Pow(of(f.Analysis.Accounting!).Value ?? 0, 2));

    private Estimate Mean(IReadOnlyList<AnalysedFlight> side, VibrationPartKind part)
    {
        Estimate[] all = [.. side.Select(f => PartOf(f.Analysis.Accounting!, part))];
        if (all.FirstOrDefault(e => !e.IsKnown) is { } unknown)
        {
            return unknown;
        }

        double mean = all.Average(e => e.Value!.Value);
        return all.Any(e => e.Ci95 is null)
            ? Estimate.WithoutInterval(mean, all.First(e => e.Ci95 is null).Why ?? new NoIntervalKnown())
            : Estimate.Of(
                mean,
                new(Math.Min(mean, all.Average(e => e.Ci95!.Value.Low)), Math.Max(mean, all.Average(e => e.Ci95!.Value.High)))
            );
    }

    private double ScatterDb(VibrationPartKind part) =>
        part switch
        {
            VibrationPartKind.RotorOrders => _options.FlightScatterDb,
            VibrationPartKind.Broadband => BroadbandScatterDb,
            VibrationPartKind.Knocks => KnockScatterDb,
            _ => LineScatterDb,
        };

    /// <summary>Scatter of the whole: that of its parts, each weighted by its share of the mean square.</summary>
    private double Allowance()
    {
        double square = Enum.GetValues<VibrationPartKind>().Sum(k => Math.Pow(Share(k) * ScatterDb(k), 2));
        return square > 0 ? Math.Sqrt(square) : BroadbandScatterDb;
    }

    /// <summary>Mean share of a part in the mean square of the whole; 0 where it is not known in all flights.</summary>
    private double Share(VibrationPartKind part)
    {
        double?[] shares = [.. _flights.All.Select(f => f.Analysis.Accounting?.Part(part).Share)];
        return shares.All(s => s is not null) ? shares.Average()!.Value : 0;
    }
}
