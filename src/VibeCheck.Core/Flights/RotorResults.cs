using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Orders.SpeedSearch;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>Orders of all motors of an airframe, including those without a speed, with the reason why they are not known.</summary>
internal sealed class RotorResults
{
    // Rotors of multirotors turn at about 20 to 400 revolutions per second; below this sample rate very few orders are seen unfolded.
    private const double SlowRateHz = 200;

    // In trials, orders close to lines of unknown speed were wrong by 0.6 dB (median) and by 1.6 dB for one in ten: this is not a
    // measurement.
    private static readonly Reason s_othersUnknown = new OtherSpeedsUnknown();

    private readonly OrderResult? _result;
    private readonly OrderOptions _options;
    private readonly Reason? _whyNone;
    private readonly SpeedSupply _supply;
    private readonly bool _allFound;

    private RotorResults(SpeedSupply supply, OrderResult? result, OrderOptions options, Reason? whyNone, bool allFound)
    {
        _allFound = allFound;
        _supply = supply;
        _result = result;
        _options = options;
        _whyNone = whyNone;
    }

    internal Estimate VibrationMps2 => _result?.RotorVibrationMps2 ?? Estimate.Unknown(_whyNone!);

    internal static RotorResults Of(SpeedSupply supply, Airframe airframe, HoverTime hover, OrderOptions options)
    {
        Flight flight = supply.Flight;
        List<RotorSpeed> speeds =
        [
            .. airframe
                .Motors.Where(m => flight.Track(m.Id)?.Rpm is { Count: > 0 })
                .Select(m => new RotorSpeed(m.Id, flight.Track(m.Id)!.Rpm!, m.Blades)),
        ];
        Reason? why =
            hover.Segments.Count == 0 ? hover.Why
            : speeds.Count == 0 ? WithoutSpeeds(flight.Imu.RateHz, supply.Search)
            : null;
        bool allFound = airframe.Motors.All(m => flight.Track(m.Id)?.Rpm is { Count: > 0 });
        if (why is null && !allFound && speeds.TrueForAll(s => supply.IsFound(s.MotorId)))
        {
            why = s_othersUnknown;
        }

        return new(supply, why is null ? OrderAnalysis.Measure(flight.Imu, speeds, hover.Segments, options) : null, options, why, allFound);
    }

    /// <summary>The orders of a motor; null when it has none, or when its speed was found but lines of motors without a speed may overlap
    /// them.</summary>
    internal RotorOrders? Find(string motorId) =>
        _supply.IsFound(motorId) && !_allFound ? null : _result?.Motors.FirstOrDefault(m => m.MotorId == motorId);

    internal IReadOnlyList<OrderLevel> Orders(Motor motor)
    {
        Reason why =
            _supply.IsFound(motor.Id) ? s_othersUnknown
            : _supply.Found(motor.Id) is not null ? WhyNoSpeed(motor.Id)
            : _whyNone ?? WhyNoSpeed(motor.Id);
        return Find(motor.Id)?.Orders
            ??
            [
                .. Wanted(motor)
                    .Select(k => new OrderLevel
                    {
                        Order = k,
                        RmsMps2 = Estimate.Unknown(why),
                        Separable = true,
                    }),
            ];
    }

    /// <summary>Why the speed of a motor is not known.</summary>
    internal Reason WhyNoSpeed(string motorId) =>
        _supply.Found(motorId)?.MeanRpm.Why is { } why ? new SpeedNotFound(why) : new SpeedNotLogged();

    internal IReadOnlyList<int> Wanted(Motor motor) => _options.For(motor.Blades);

    internal static bool IsTooSlow(double rateHz) => rateHz < SlowRateHz;

    internal static Reason WithoutSpeeds(double rateHz, SpeedSearchResult? search) =>
        IsTooSlow(rateHz) ? new RateTooLowForRotors(rateHz)
        : search is null || search.Motors.Any(m => m.Rpm is not null) ? new RotorSpeedsNotLogged()
        : search.Why is { } why ? new RotorSpeedsNotFound(why)
        : new RotorLinesNotNamed(search.LinesRpm[0], search.LinesRpm[^1]);
}
