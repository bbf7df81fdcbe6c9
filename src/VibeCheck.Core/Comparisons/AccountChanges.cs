using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Change of all vibration and of its parts.</summary>
internal sealed class AccountChanges
{
    // Standard deviations from flight to flight with nothing changed, dB: wind changes the air's part most (common practice).
    private const double LineScatterDb = 1,
        BroadbandScatterDb = 1.5,
        KnockScatterDb = 3;

    // Parts beside the rotors' must change by this, and move the whole by this share of its mean square, and by more than anybody minds.
    private const double PartMattersDb = 3,
        LeastShare = 0.02,
        LeastMovedMps2 = 0.3;

    // Below this share of the whole's size a part counts as this large: a change from nothing has no size in dB.
    private const double LeastSize = 0.05;

    private readonly FlightSet _flights;
    private readonly ComparisonOptions _options;
    private readonly Reason? _notComparable;
    private readonly Reason? _unknown;

    /// <param name="flights">All flights.</param>
    /// <param name="vibration">Changes of the rotors' vibration.</param>
    /// <param name="options">What counts as a change.</param>
    /// <param name="correctionDb">What brings the rotors' part to the same speed, dB.</param>
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

        // Whether both were recorded alike is judged by the rotors; without them nothing holds the whole to account.
        _unknown = vibration.TotalValues.Why;
        FlightValues values = flights.Read(f =>
            f.Analysis.Accounting is not { } account ? (null, _unknown ?? new NoWindowUsable())
            : _unknown is null ? (FlightValue.InDb(account.TotalMps2), account.TotalMps2.Why)
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

    /// <summary>Parts beside the rotors' that got better or worse.</summary>
    internal IEnumerable<PartChange> Moved(CallKind kind) => Parts.Where(p => p.Kind != VibrationPartKind.RotorOrders && p.Call == kind);

    private IReadOnlyList<PartChange> PartsOf()
    {
        if (_unknown is not null || _flights.All.Any(f => f.Analysis.Accounting is not { TotalMps2.IsKnown: true }))
        {
            return [];
        }

        VibrationPartKind[] kinds = Enum.GetValues<VibrationPartKind>();
        double least = LeastSize * _flights.All.Average(f => f.Analysis.Accounting!.TotalMps2.Value!.Value);
        FlightValues[] values = [.. kinds.Select(k => _flights.Read(f => Read(f.Analysis.Accounting!.Part(k).Mps2, least)))];
        Change?[] changes = [.. kinds.Select((k, i) => Change.Of(values[i], FlightScatter.Of(ScatterDb(k), [values[i]])))];

        // A part that is nothing in every flight cannot change the whole: it is no test among the others.
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
                        _notComparable is null && changes[i] is { } change
                            ? change.ToEstimate()
                            : Estimate.Unknown(_notComparable ?? values[i].Why ?? new NotMeasured()),
                        _notComparable is null ? KindOf(k, changes[i], adjusted[i]) : CallKind.Unknown
                    )
            ),
        ];
    }

    private static (FlightValue? Known, Reason? Why) Read(Estimate size, double least)
    {
        if (size is not { Value: double value, Ci95: Interval ci95 })
        {
            return (null, size.Why);
        }

        double low = Math.Max(least, ci95.Low),
            high = Math.Max(least, ci95.High),
            at = Math.Max(least, value);
        return (FlightValue.InDb(Estimate.Of(at, new(Math.Min(low, at), Math.Max(high, at)))), null);
    }

    private CallKind KindOf(VibrationPartKind part, Change? change, double adjustedP)
    {
        CallKind kind = Calls.Kind(
            change,
            adjustedP,
            _options.ErrorRate,
            part == VibrationPartKind.RotorOrders ? _options.MinChangeDb : PartMattersDb
        );
        double whole = Math.Max(Square(_flights.Before, a => a.TotalMps2), Square(_flights.After, a => a.TotalMps2));
        double moved = Math.Abs(Square(_flights.After, a => a.Part(part).Mps2) - Square(_flights.Before, a => a.Part(part).Mps2));
        return kind is CallKind.Improved or CallKind.Worse && moved < Math.Max(LeastShare * whole, LeastMovedMps2 * LeastMovedMps2)
            ? CallKind.NoClearChange
            : kind;
    }

    private static double Square(IReadOnlyList<AnalysedFlight> side, Func<VibrationAccount, Estimate> of) =>
        side.Average(f => Math.Pow(of(f.Analysis.Accounting!).Value ?? 0, 2));

    private static Estimate Mean(IReadOnlyList<AnalysedFlight> side, VibrationPartKind part)
    {
        Estimate[] all = [.. side.Select(f => f.Analysis.Accounting!.Part(part).Mps2)];
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

    /// <summary>Scatter of the whole: that of its parts, each by its share of the mean square.</summary>
    private double Allowance()
    {
        double square = Enum.GetValues<VibrationPartKind>().Sum(k => Math.Pow(Share(k) * ScatterDb(k), 2));
        return square > 0 ? Math.Sqrt(square) : BroadbandScatterDb;
    }

    /// <summary>Mean share of a part in the whole's mean square; 0 where it is not known in all flights.</summary>
    private double Share(VibrationPartKind part)
    {
        double?[] shares = [.. _flights.All.Select(f => f.Analysis.Accounting?.Part(part).Share)];
        return shares.All(s => s is not null) ? shares.Average()!.Value : 0;
    }
}
