using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Pages;

/// <summary>One flight on the plan of the aircraft: speed, load and vibration once per turn of each motor.</summary>
internal sealed class FlightMap
{
    private const double BarWidth = 100;
    private readonly FlightAnalysis _flight;
    private readonly double _largest;
    private readonly int _decimals;

    internal FlightMap(FlightAnalysis flight)
    {
        _flight = flight;
        _largest = flight.Motors.Select(m => First(m)?.RmsMps2).Select(e => e?.Ci95?.High ?? e?.Value ?? 0).DefaultIfEmpty(0).Max();
        _decimals = Format.DecimalsFor(_largest);
    }

    internal Markup Draw()
    {
        AirframePlan plan = AirframePlan.Of(_flight.Airframe, 116, 96);
        Markup drawing = plan.Draw("Speed, load and vibration of each motor, seen from above", place => Panel(plan, place));
        return Figure.Of(
            drawing,
            Markup.Of(
                $"<strong>Each motor at its place.</strong> Speed; load as its share of the mean thrust (1.00 is even); ×1: vibration "
                    + $"once per turn, the bar on one scale for all motors, its end with the 95 % interval. Look for one bar much "
                    + $"longer than the others. Hatched: not known for that motor alone."
            )
        );
    }

    private Markup Panel(AirframePlan plan, PlanPlace place)
    {
        MotorAnalysis? motor = _flight.Motors.FirstOrDefault(m => m.Id == place.Motor.Id);
        double left = place.X - 50,
            top = place.Y - 47;
        OrderLevel? level = motor is null ? null : First(motor);
        Estimate first = level?.RmsMps2 ?? Estimate.Unknown(new NotMeasured());
        string size = level is { Separable: false } ? "shared sum" : Words(first, _decimals, " m/s²");
        return Markup.Of(
            $"""
            {plan.Ground(place)}<text x="{left}" y="{top
                + 16}" font-size="13" font-weight="600" fill="{Palette.Ink}">{place.Motor.Id}</text>{SpinMark.Draw(
                left + 92,
                top + 12,
                place.Motor.Spin
            )}
            {Row(left, top + 34, "speed", Words(motor?.RpmMean, 0, " rpm"))}{Row(
                left,
                top + 51,
                "load",
                Words(motor?.LoadShare, 2, "")
            )}{Row(left, top + 68, "×1", size)}{Bar(left, top + 79, first)}

            """
        );
    }

    private static Markup Row(double left, double y, string name, string value) =>
        Markup.Of(
            $"""<text x="{left}" y="{y}" font-size="12" fill="{Palette.Soft}">{name}</text><text x="{left + BarWidth}" y="{y}" """
                + $"""text-anchor="end" font-size="12" fill="{Palette.Ink}">{value}</text>"""
        );

    private Markup Bar(double left, double y, Estimate size)
    {
        if (size.Value is not double value || _largest <= 0)
        {
            return Markup.Of($"""<rect x="{left}" y="{y - 4}" width="{BarWidth}" height="8" fill="{Hatch.Fill}"/>""");
        }

        double At(double v) => left + Math.Clamp(v / _largest, 0, 1) * BarWidth;
        Markup whisker = size.Ci95 is Interval ci
            ? Markup.Of(
                $"""<path d="M{At(ci.Low)} {y}H{At(ci.High)}M{At(ci.Low)} {y - 5}v10M{At(ci.High)} {y - 5}v10" stroke="{Palette.Ink}" """
                    + $"""stroke-width="1.2"/>"""
            )
            : Markup.Empty;
        return Markup.Of($"""<rect x="{left}" y="{y - 4}" width="{At(value) - left}" height="8" fill="{Palette.Data}"/>{whisker}""");
    }

    private static string Words(Estimate? amount, int decimals, string unit) =>
        amount?.Value is double value ? Format.Number(value, decimals) + unit : Format.NotKnown;

    private static OrderLevel? First(MotorAnalysis motor) => motor.Orders.FirstOrDefault(o => o.Order == 1);
}
