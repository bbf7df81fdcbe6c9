using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Signals.Orders;
using VibeCheck.Core.Uncertainty;

namespace VibeCheck.Core.Flights;

/// <summary>Orders of all motors of an airframe, those without a speed included, with the reason why they are not known.</summary>
internal sealed class RotorReading
{
    // Rotors of multirotors turn at some 20 to 400 revolutions a second; below this rate hardly any order is seen unfolded.
    private const double SlowRateHz = 200;

    private readonly OrderResult? _result;
    private readonly OrderOptions _options;
    private readonly string? _whyNone;

    private RotorReading(OrderResult? result, OrderOptions options, string? whyNone)
    {
        _result = result;
        _options = options;
        _whyNone = whyNone;
    }

    internal Estimate VibrationMps2 => _result?.RotorVibrationMps2 ?? Estimate.Unknown(_whyNone!);

    internal static RotorReading Of(Flight flight, Airframe airframe, HoverTime hover, IReadOnlyList<int>? orders)
    {
        OrderOptions options = new() { Orders = orders };
        List<RotorSpeed> speeds = [.. airframe.Motors
            .Where(m => flight.Track(m.Id)?.Rpm is { Count: > 0 })
            .Select(m => new RotorSpeed(m.Id, flight.Track(m.Id)!.Rpm!, m.Blades))];
        string? why = hover.Segments.Count == 0 ? hover.Why : speeds.Count == 0 ? WithoutSpeeds(flight.Imu.RateHz) : null;
        return new(why is null ? OrderAnalysis.Measure(flight.Imu, speeds, hover.Segments, options) : null, options, why);
    }

    internal RotorOrders? Find(string motorId) => _result?.Motors.FirstOrDefault(m => m.MotorId == motorId);

    internal IReadOnlyList<OrderLevel> Orders(Motor motor)
    {
        string why = _whyNone ?? "No speed of this motor in the log, so its lines cannot be told from others.";
        return Find(motor.Id)?.Orders
            ?? [.. Wanted(motor).Select(k => new OrderLevel { Order = k, RmsMps2 = Estimate.Unknown(why), Separable = true })];
    }

    internal IReadOnlyList<int> Wanted(Motor motor) => _options.For(motor.Blades);

    internal static bool IsTooSlow(double rateHz) => rateHz < SlowRateHz;

    internal static string WithoutSpeeds(double rateHz) => IsTooSlow(rateHz)
        ? string.Create(CultureInfo.InvariantCulture, $"The log has no rotor speeds, and its {rateHz:0} samples a second are too few to show rotors.")
        : "The log has no rotor speeds.";
}
