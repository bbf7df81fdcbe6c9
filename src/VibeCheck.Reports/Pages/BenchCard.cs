using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Pages;

/// <summary>The bench card: one sheet per job, to lie beside the aircraft. The boxes are placed as the
/// motors are, left, right, in front and behind, with the nose up.</summary>
public static class BenchCard
{
    private const string Css = """
        .head{display:flex;justify-content:space-between;gap:6mm;border-bottom:.6mm solid #000;padding-bottom:2mm;margin-bottom:2mm}
        .fields{white-space:nowrap;text-align:right;line-height:1.75;font-size:9.5pt}
        .answer{font-size:13pt;font-weight:700;margin:0 0 1mm}
        .around{display:grid;grid-template-columns:minmax(0,1fr) 33mm minmax(0,1fr);gap:2mm;align-items:stretch;margin-top:2mm}
        .side{display:flex;flex-direction:column;gap:2mm;justify-content:space-around}
        .middle{display:flex;flex-direction:column;gap:2mm;justify-content:center;align-items:center;text-align:center;font-size:9.5pt}
        .axis{display:flex;justify-content:center;gap:2mm;margin-top:2mm}
        .axis .motor{width:77mm}
        .motor{border:.5mm solid #000;border-radius:1.5mm;padding:1.2mm 2mm 1.6mm;break-inside:avoid}
        .motor.work{border-width:1.1mm}
        .name{display:flex;justify-content:space-between;align-items:baseline;gap:2mm;border-bottom:.25mm solid #777;margin-bottom:1mm}
        .id{font-size:18pt;font-weight:700;line-height:1.1}
        .id small{font-size:9.5pt;font-weight:400}
        .do{font-size:14pt;font-weight:700;text-align:right}
        .mid{display:flex;gap:2mm;align-items:center}
        .mid>div{flex:1;min-width:0}
        .motor table{border-collapse:collapse;width:100%;font-size:10pt}
        .motor td,.motor th{padding:0 .4mm;text-align:right;font-weight:400;white-space:nowrap;line-height:1.4}
        .motor td:first-child,.motor th:first-child{text-align:left;padding-left:0}
        .motor tr.tilt td{font-weight:700;border-top:.25mm solid #777}
        .ticks{display:flex;justify-content:space-between;flex-wrap:wrap;align-items:end;font-size:10pt;margin-top:1.4mm;white-space:nowrap}
        .ticks .write{min-width:17mm;height:6mm}
        .tight .ticks{font-size:9pt}.tight .ticks .write{min-width:10mm}.tight .box{width:4mm;height:4mm}.tight .do{font-size:12pt}
        .tight .id{font-size:15pt}
        .tight .motor table{font-size:9pt}
        @media screen and (max-width:700px){.around{grid-template-columns:1fr}.middle{order:-1}.axis{flex-direction:column}
        .axis .motor{width:100%}.head{flex-direction:column}.fields{text-align:left}}
        """;

    /// <summary>Writes the card.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="stream">Takes the page, UTF-8; stays open.</param>
    /// <param name="letter">Whether the paper is Letter instead of A4.</param>
    /// <param name="inch">Whether thicknesses are in inches instead of millimetres.</param>
    public static void Write(ShimPlan plan, Stream stream, bool letter, bool inch)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(stream);
        var groups = plan.Motors.Select(m => (Shims: m, Side: SideOf(m.Motor))).ToLookup(m => m.Side, m => m.Shims);
        string unit = inch ? "in" : "mm";
        int rows =
            Math.Max(groups[Side.Left].Count(), groups[Side.Right].Count())
            + (groups[Side.Front].Any() ? 1 : 0)
            + (groups[Side.Back].Any() ? 1 : 0);
        bool tight = rows > RoomyRows;
        Markup body = Markup.Of(
            $"""
            <div class="head"><div><h1>Bench card: {plan.Airframe.Name}</h1><p class="answer">{ShimPlanText.Answer(plan)}</p></div>
            <div class="fields">date <span class="write" style="min-width:30mm"></span><br>
            by <span class="write" style="min-width:30mm"></span><br>screw torque <span class="write" style="min-width:20mm"></span></div></div>
            <p>{KeepPercent(ShimPlanText.Expect(plan))}</p>
            <p class="soft">{Kit(
                plan,
                inch,
                unit
            )} Shims in {unit}; tilts in degrees, ± 95 %. Sides are seen from the hub looking out along the arm; drawings from above{(
                plan.Motors.Any(m => m.Motor.Level == MotorLevel.Lower) ? ", those of lower motors from below, as you see them" : ""
            )}.{Distances(plan, inch)}</p>
            {(ShimPlanText.Hanging(plan) is string why ? Markup.Of($"<p><b>{why}</b></p>") : Markup.Empty)}
            <div class="{(tight ? "plan tight" : "plan")}">{OnAxis(plan, groups[Side.Front], inch, tight)}
            <div class="around"><div class="side">{Boxes(plan, Ordered(groups[Side.Left]), inch, tight)}</div>
            <div class="middle">{Map(plan)}</div>
            <div class="side">{Boxes(plan, Ordered(groups[Side.Right]), inch, tight)}</div></div>
            {OnAxis(plan, groups[Side.Back], inch, tight)}</div>
            <div class="foot">{Look(plan)}{PrintPage.Cautions()}</div>
            """
        );
        PrintPage.Write(stream, $"Bench card: {plan.Airframe.Name}", letter, Css, body);
    }

    /// <summary>Most rows of boxes that fit at full size.</summary>
    private const int RoomyRows = 3;

    private enum Side
    {
        Left,
        Right,
        Front,
        Back,
    }

    /// <summary>Motors within 10° of the nose or tail are placed in front of or behind the rest.</summary>
    private static Side SideOf(Motor motor)
    {
        double azimuth = Math.IEEERemainder(motor.AzimuthDeg, 360);
        return Math.Abs(azimuth) < 10 ? Side.Front
            : Math.Abs(azimuth) > 170 ? Side.Back
            : azimuth > 0 ? Side.Right
            : Side.Left;
    }

    /// <summary>From front to back; the upper motor of a pair first.</summary>
    private static IEnumerable<MotorShims> Ordered(IEnumerable<MotorShims> motors) =>
        motors
            .OrderByDescending(m => Math.Round(m.Motor.ArmM * Math.Cos(double.DegreesToRadians(m.Motor.AzimuthDeg)), 3))
            .ThenBy(m => m.Motor.Level);

    /// <summary>Keeps a number and its percent sign on one line.</summary>
    private static string KeepPercent(string text) => text.Replace(" %", "\u00A0%", StringComparison.Ordinal);

    private static string Kit(ShimPlan plan, bool inch, string unit) =>
        plan.Pieces.Count == 0 ? "" : $"To take from the kit: {string.Join(", ", plan.Pieces.Select(p => Pieces(p, inch)))} {unit}.";

    private static string Pieces((double ThicknessMm, int Count) pieces, bool inch) =>
        $"{Format.Whole(pieces.Count)} × {ShimPlanText.Thickness(pieces.ThicknessMm, inch)}";

    private static string Distances(ShimPlan plan, bool inch) =>
        string.Concat(
            plan.Motors.Select(m =>
                    (m.Motor, Text: plan.Airframe.BoltsOf(m.Motor) is BoltPattern bolts ? ShimPlanText.TwoDistances(bolts, inch) : null)
                )
                .Where(m => m.Text is not null)
                .GroupBy(m => m.Text, m => m.Motor.Id)
                .Select(g => $" Bolts{(g.Count() == plan.Motors.Count ? "" : " of " + Grammar.List([.. g]))}: {g.Key}.")
        );

    private static Markup Look(ShimPlan plan)
    {
        IReadOnlyList<string> cautions = ShimReasonText.Cautions(plan, c => ReasonText.Of(c));
        string[] first = [.. cautions.Take(4)];
        string more = cautions.Count > 4 ? $" ({Format.Whole(cautions.Count - 4)} more on the console.)" : "";
        return first.Length == 0 ? Markup.Empty : Markup.Of($"<p><b>Cautions:</b> {string.Join(" ", first)}{more}</p>");
    }

    private static IEnumerable<Markup> Boxes(ShimPlan plan, IEnumerable<MotorShims> motors, bool inch, bool tight) =>
        motors.Select(m => Box(plan, m, inch, tight));

    /// <summary>The row of motors at the nose or tail, above or below the rest; a coaxial pair side by side.</summary>
    private static Markup OnAxis(ShimPlan plan, IEnumerable<MotorShims> motors, bool inch, bool tight) =>
        motors.Any()
            ? Markup.Of($"""<div class="axis">{Boxes(plan, motors.OrderBy(m => m.Motor.Level), inch, tight)}</div>""")
            : Markup.Empty;

    private static Markup Box(ShimPlan plan, MotorShims m, bool inch, bool tight)
    {
        string action = m.Action switch
        {
            ShimAction.Shim when m.Side is not null => "shim " + ShimPlanText.Place(m, inch),
            _ => ShimPlanText.Short(m),
        };
        string level = m.Motor.Level == MotorLevel.Single ? "" : " " + m.Motor.Level.ToString().ToLowerInvariant();
        return Markup.Of(
            $"""
            <section class="{(
                m.Action == ShimAction.Shim ? "motor work" : "motor"
            )}"><div class="name"><span class="id">{m.Motor.Id}<small>{level} {m.Motor.Spin.Word()}</small></span><span class="do">{action}</span></div>
            <div class="mid">{BoltDrawing.Draw(plan.Airframe.BoltsOf(m.Motor), m, inch, tight ? 30 : 33)}<div>{Readings(
                plan,
                m
            )}</div></div>
            {(
                tight
                    ? Markup.Empty
                    : Markup.Of(
                        $"""<div class="ticks"><span>after:</span><span>across <span class="write"></span></span>"""
                            + $"""<span>along <span class="write"></span></span></div>"""
                    )
            )}
            <div class="ticks">{(
                tight ? Markup.Of($"""<span>after <span class="write"></span> <span class="write"></span></span>""") : Markup.Empty
            )}{Box("shims")}{Box("torque")}{(tight ? Markup.Empty : Box("read again"))}</div></section>

            """
        );
    }

    /// <summary>A box to tick, with a pen on paper or by touch on a phone.</summary>
    private static Markup Box(string what) => Markup.Of($"""<label><input type="checkbox" class="box">{what}</label>""");

    private static Markup Readings(ShimPlan plan, MotorShims m)
    {
        string u = m.Tilt?.U95Deg is double half ? $"± {Format.Number(half, 2)}" : "";
        string after =
            m.Stacks is ShimStacks s ? $"leaves {Format.Number(s.ResidualDeg, 2)}"
            : m.MoreReadings is int more ? $"{Format.Whole(more)} more each"
            : "";
        return Markup.Of(
            $"""
            <table class="num"><tr><th></th><th>across</th><th>along</th></tr>
            <tr><td>frame</td><td>{Mean(plan, m, GaugePlace.Frame, TiltDirection.Across)}</td><td>{Mean(
                plan,
                m,
                GaugePlace.Frame,
                TiltDirection.Along
            )}</td></tr>
            <tr><td>mount</td><td>{Mean(plan, m, GaugePlace.Mount, TiltDirection.Across)}</td><td>{Mean(
                plan,
                m,
                GaugePlace.Mount,
                TiltDirection.Along
            )}</td></tr>
            <tr class="tilt"><td>tilt</td><td>{Short(m.Tilt?.AcrossDeg, TiltDirection.Across)}</td><td>{Short(
                m.Tilt?.AlongDeg,
                TiltDirection.Along
            )}</td></tr>
            <tr><td colspan="3" style="text-align:right">{string.Join(", ", new[] { u, after }.Where(t => t.Length > 0))}</td></tr></table>
            """
        );
    }

    /// <summary>Mean of the readings as found, with its side; "hub" for a frame read at the hub only, a dash without readings.</summary>
    private static string Mean(ShimPlan plan, MotorShims m, GaugePlace where, TiltDirection direction)
    {
        GaugeReading[] readings =
        [
            .. plan.Survey.Readings.Where(r =>
                r.MotorId == m.Motor.Id && r.When == SurveyTime.AsFound && r.Where == where && r.Direction == direction
            ),
        ];
        return readings.Length == 0
            ? where == GaugePlace.Frame && plan.Survey.Readings.Any(r => r.MotorId is null)
                ? "hub"
                : "–"
            : Short(Estimate.WithoutInterval(readings.Average(r => r.SignedDeg), new NoIntervalKnown()), direction);
    }

    /// <summary>A tilt with the letter of its low side, such as "0.40 R": right, left, out or in; a dash when not known.</summary>
    private static string Short(Estimate? tilt, TiltDirection direction) =>
        tilt?.Value is not double deg ? "–"
        : Math.Abs(deg) < 0.005 ? "0.00"
        : $"{Format.Number(Math.Abs(deg), 2)} {(direction == TiltDirection.Across ? deg > 0 ? "R" : "L" : deg > 0 ? "O" : "I")}";

    /// <summary>The airframe from above with the motor ids, and the meaning of the letters.</summary>
    private static Markup Map(ShimPlan plan)
    {
        double reach = plan.Airframe.Motors.Max(m => m.ArmM);
        var arms = plan.Airframe.Motors.GroupBy(m => (Math.Round(m.AzimuthDeg, 1), Math.Round(m.ArmM, 3)));
        IEnumerable<Markup> drawn = arms.Select(arm =>
        {
            Motor m = arm.First();
            (double sin, double cos) = Math.SinCos(double.DegreesToRadians(m.AzimuthDeg));
            double x = 60 + 42 * m.ArmM / reach * sin,
                y = 66 - 42 * m.ArmM / reach * cos;
            bool work = arm.Any(a => plan.Motors.First(p => p.Motor == a).Action == ShimAction.Shim);
            Motor[] pair = [.. arm.OrderBy(a => a.Level)];
            IEnumerable<Markup> ids = pair.Select(
                (a, i) =>
                    Markup.Of(
                        $"""<text x="{x}" y="{y + 4.2 + 11 * (i - (pair.Length - 1) / 2.0)}" text-anchor="middle" font-size="11.6" """
                            + $"""font-weight="700">{a.Id}</text>"""
                    )
            );
            return Markup.Of(
                $"""<path d="M60 66L{x} {y}" stroke="#000" stroke-width="3"/><circle cx="{x}" cy="{y}" r="13" fill="#fff" stroke="#000" """
                    + $"""stroke-width="{(work ? 3.4 : 1)}"/>{ids}"""
            );
        });
        return Markup.Of(
            $"""
            <svg viewBox="0 0 120 130" width="33mm" role="img"
            aria-label="The airframe from above, nose up; thick rings are motors to shim."><path d="M60 1l6 9h-12z"/><text x="72" y="10"
            font-size="11.6">nose</text>{drawn}<circle cx="60" cy="66" r="8" fill="#fff" stroke="#000"/></svg>
            <p>thick ring: shim<br>R right low, L left low<br>O out low, I in low</p>
            """
        );
    }
}
