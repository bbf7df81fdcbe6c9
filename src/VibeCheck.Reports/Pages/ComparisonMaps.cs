using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Pages;

/// <summary>The two drawings on the plan of the aircraft: tilts, and what changed at each motor.</summary>
internal sealed class ComparisonMaps(Comparison comparison)
{
    // A white outline keeps text readable where arms pass under it.
    private static readonly Markup _halo = Markup.Of($"""paint-order="stroke" stroke="#fff" stroke-width="5" stroke-linejoin="round" """);

    internal Markup Tilts()
    {
        var tilts = comparison.Motors.SelectMany(m => new[] { m.TiltBefore, m.TiltAfter }).OfType<MotorTilt>().ToArray();
        var dial = new TiltDial(TiltDial.ScaleFor(tilts), 33);
        AirframePlan plan = AirframePlan.Of(comparison.Airframe, 108, 104);
        Markup drawing = plan.Draw("Tilt of each motor, seen from above, before and after", place => Tilt(dial, place));
        string rim = dial.ScaleDeg.ToString("0.##", System.Globalization.CultureInfo.InvariantCulture);
        return Figure.Of(
            drawing,
            Markup.Of(
                $"<strong>Tilt of each motor from above.</strong> The arrowhead points to the low side and stands as far out as the "
                    + $"tilt is large (a bubble would stand opposite); the rim is {rim}°. {Figure.BeforeAfter} The shade around an "
                    + $"arrowhead is its 95 % interval. Look for filled arrowheads in the middle. Numbers: before → after."
            )
        );
    }

    internal Markup Changes()
    {
        var order = new IntervalStrip(
            IntervalStrip.ReachFor(comparison.Motors.SelectMany(m => m.Orders).Where(o => o.Order == 1).Select(o => o.ChangeDb), 6),
            comparison.Options.MinChangeDb,
            100
        );
        var temp = new IntervalStrip(
            IntervalStrip.ReachFor(comparison.Motors.SelectMany(m => new[] { m.MotorTemp.Change, m.EscTemp.Change }), 5),
            comparison.Options.MinChangeC,
            100
        );
        return Figure.Of(
            Changes(order, temp, withLoads: true),
            Changes(order, temp, withLoads: false),
            Markup.Of(
                $"""
                <strong>What changed at each motor.</strong> ×1 is the vibration once per turn (strips reach ±{Format.Number(
                    order.Reach,
                    0
                )} dB), below it the steady temperatures (±{Format.Number(
                    temp.Reach,
                    0
                )} °C). Left of the middle line is less. ▼ better, ▲ worse, ● no clear change, hatched not known; the bar is the 95 % interval; grey is too small to matter. <span class="wide">Same load: the change of the motor's temperature with its change of load taken out. Load: the motor's share of the mean thrust before → after; 1.00 is even.</span> <span class="narrow">Temperatures at the same load, and the loads, stand in the tables below.</span>
                """
            )
        );
    }

    /// <summary>The drawing for a phone leaves out the loads, so that the text stays large enough.</summary>
    private Markup Changes(IntervalStrip order, IntervalStrip temp, bool withLoads)
    {
        double panelHeight = withLoads ? 139 : 105;
        AirframePlan plan = AirframePlan.Of(comparison.Airframe, 116, panelHeight);
        return plan.Draw(
            "Change of order 1 and of temperatures at each motor",
            place =>
            {
                MotorComparison? motor = comparison.Motors.FirstOrDefault(m => m.Id == place.Motor.Id);
                double left = place.X - 50,
                    top = place.Y - panelHeight / 2 + 3.5;
                return Markup.Of(
                    $"{plan.Ground(place)}{Change(order, temp, left, top, place.Motor.Id, motor)}"
                        + $"{(withLoads ? Loads(left, top + 112, motor) : Markup.Empty)}"
                );
            }
        );
    }

    private Markup Tilt(TiltDial dial, PlanPlace place)
    {
        MotorComparison? motor = comparison.Motors.FirstOrDefault(m => m.Id == place.Motor.Id);
        PlanPlace middle = place with { Y = place.Y + 3 };
        return Markup.Of(
            $"""
            {dial.Draw(middle, motor?.TiltBefore, motor?.TiltAfter)}
            <text {_halo} x="{place.X - 50}" y="{place.Y
                - 36}" font-size="13" font-weight="600" fill="{Palette.Ink}">{place.Motor.Id}</text>{SpinMark.Draw(
                place.X + 42,
                place.Y - 39,
                place.Motor.Spin
            )}
            <text {_halo} x="{place.X}" y="{place.Y + 50}" text-anchor="middle" font-size="12" fill="{Palette.Ink}">{TiltFormat.Change(
                motor?.TiltBefore,
                motor?.TiltAfter
            )}</text>

            """
        );
    }

    private static Markup Change(
        IntervalStrip orderStrip,
        IntervalStrip tempStrip,
        double left,
        double top,
        string id,
        MotorComparison? motor
    )
    {
        OrderChange? first = motor?.Orders.FirstOrDefault(o => o.Order == 1);
        return Markup.Of(
            $"""
            <text x="{left}" y="{top + 14}" font-size="13" font-weight="600" fill="{Palette.Ink}">{id}</text>
            {Row(orderStrip, left, top + 29, "×1", first?.ChangeDb, first?.Call, "dB")}{Row(
                tempStrip,
                left,
                top + 56,
                "motor",
                motor?.MotorTemp.Change,
                motor?.MotorTemp.Kind,
                "°C"
            )}{Row(tempStrip, left, top + 83, "ESC", motor?.EscTemp.Change, motor?.EscTemp.Kind, "°C")}
            """
        );
    }

    private static Markup Loads(double left, double y, MotorComparison? motor)
    {
        string atSame = motor?.MotorRiseAtEqualLoadC.Value is double rise ? Format.Signed(rise, 1) : "–";
        string shares = motor is { LoadShareBefore.Value: double before, LoadShareAfter.Value: double after }
            ? $"{Format.Number(before, 2)} → {Format.Number(after, 2)}"
            : Format.NotKnown;
        return Markup.Of($"{Line(left, y, "same load", atSame)}{Line(left, y + 17, "load", shares)}");
    }

    private static Markup Line(double left, double y, string name, string text) =>
        Markup.Of(
            $"""<text x="{left}" y="{y}" font-size="12" fill="{Palette.Soft}">{name}</text><text x="{left + 100}" y="{y}" """
                + $"""text-anchor="end" font-size="12" fill="{Palette.Ink}">{text}</text>"""
        );

    private static Markup Row(IntervalStrip strip, double left, double y, string name, Estimate? change, CallKind? call, string unit)
    {
        Estimate known = change ?? Estimate.Unknown(new NotMeasured());
        string text = known.Value is double value ? $"{Format.Signed(value, 1)} {unit}" : Format.NotKnown;
        return Markup.Of(
            $"""
            <text x="{left}" y="{y}" font-size="12" fill="{Palette.Soft}">{name}</text><text x="{left
                + 100}" y="{y}" text-anchor="end" font-size="12" fill="{Palette.Ink}">{text}</text>{strip.Draw(
                left,
                y + 9,
                known,
                call ?? CallKind.Unknown
            )}

            """
        );
    }
}
