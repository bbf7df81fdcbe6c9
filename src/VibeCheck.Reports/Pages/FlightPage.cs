using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Figures;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Pages;

/// <summary>The page about one flight: one file that needs no network.</summary>
public static class FlightPage
{
    /// <summary>Writes the page as UTF-8 HTML. The stream stays open.</summary>
    /// <param name="flight">The flight to show.</param>
    /// <param name="stream">Takes the page.</param>
    public static void Write(FlightAnalysis flight, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(flight);
        ArgumentNullException.ThrowIfNull(stream);
        flight = Clockwise.Sorted(flight);
        var jobs = new List<ChartJob>();
        string[] spectra = ComparisonCharts.SpectrumJobs(jobs, [], [flight]);
        AddCharts(jobs, flight);
        var charts = ChartJob.DrawAll(jobs);
        Markup Chart(string name, Markup caption) =>
            charts.TryGetValue(name, out var drawn) ? Figure.Of(drawn.Wide, drawn.Narrow, caption) : Markup.Empty;
        PageFrame.Write(
            stream,
            $"One flight of {flight.Airframe.Name}",
            Markup.Of(
                $"{Answer(flight)}{ComparisonPage.Quality(QualityLines.Of(flight))}{Findings(flight)}{Aircraft(flight)}{Account(flight)}"
                    + $"{Over(flight)}{Orders(flight, Chart)}{Spectra(flight, spectra, Chart)}{Temperatures(Chart)}{Rest(flight)}"
            )
        );
    }

    private static void AddCharts(List<ChartJob> jobs, FlightAnalysis flight)
    {
        if (flight.Motors.Any(m => m.Orders.Any(o => o.RmsMps2.IsKnown || o.GroupMps2?.IsKnown == true)))
        {
            var orders = new PairChart
            {
                Unit = "m/s²",
                Logarithmic = true,
                Rows = [.. flight.Motors.SelectMany(m => m.Orders.Select((o, i) => Row(m, o, i)))],
            };
            jobs.Add(new ChartJob("orders", (width, id) => orders.Draw(width, id, "Orders of each motor")));
        }

        AddTemperatures(jobs, "motors", flight, m => m.MotorTemp);
        AddTemperatures(jobs, "escs", flight, m => m.EscTemp);
    }

    private static PairRow Row(MotorAnalysis motor, OrderLevel order, int index)
    {
        string name = $"×{Format.Whole(order.Order)}";
        Estimate size = order.Separable ? order.RmsMps2 : order.GroupMps2 ?? order.RmsMps2;
        string note = order.Separable
            ? size.Value is double value
                ? Format.Number(value, Format.DecimalsFor(value))
                : ""
            : "shared sum";
        return new PairRow(index == 0 ? $"{motor.Id}  {name}" : name, null, size, note, index == 0);
    }

    private static void AddTemperatures(List<ChartJob> jobs, string name, FlightAnalysis flight, Func<MotorAnalysis, TemperatureRise> of)
    {
        if (flight.Motors.Any(m => of(m).RiseSteadyC.IsKnown))
        {
            var chart = new PairChart
            {
                Unit = "°C",
                LeastSpan = PairChart.LeastSpanC,
                Rows =
                [
                    .. flight.Motors.Select(m => new PairRow(
                        m.Id,
                        null,
                        of(m).RiseSteadyC,
                        of(m).RiseSteadyC.Value is double c ? $"{Format.Number(c, 1)} °C" : ""
                    )),
                ],
            };
            jobs.Add(new ChartJob(name, (width, id) => chart.Draw(width, id, "Steady temperature rise")));
        }
    }

    private static Markup Answer(FlightAnalysis f) =>
        Markup.Of(
            $"""
            <header><p class="kicker">One flight · {f.Airframe.Name}{Started(f)}</p>
            <h1>{NoBreakSpaces.Insert(VerdictText.Sentence(f))}</h1></header>
            <div class="tiles">
            {Tile(
                "Vibration from the rotors",
                "",
                f.VibrationMps2,
                Format.DecimalsFor(f.VibrationMps2.Value ?? 1),
                "m/s²",
                f.VibrationIsOfGroup ? "rms of all orders, all rotors together" : "rms of all orders of all motors"
            )}{Hottest("Hottest motor, steady", f, m => m.MotorTemp.RiseSteadyC)}{Hottest(
                "Hottest ESC, steady",
                f,
                m => m.EscTemp.RiseSteadyC
            )}</div>

            """
        );

    private static Markup Hottest(string name, FlightAnalysis flight, Func<MotorAnalysis, Estimate> of)
    {
        MotorAnalysis? hottest = flight.Motors.Where(m => of(m).IsKnown).MaxBy(m => of(m).Value);
        return hottest is null
            ? Tile(name, "", flight.Motors.Select(of).FirstOrDefault(Estimate.Unknown(new NoMotorTelemetry())), 1, "°C", "")
            : Tile(name, hottest.Id, of(hottest), 1, "°C", "above ambient, at hover load");
    }

    private static Markup Tile(string name, string who, Estimate amount, int decimals, string unit, string of)
    {
        Markup big = amount.Value is double value
            ? Markup.Of($"{Format.Number(value, decimals)} <small>{unit}</small>")
            : Markup.Of($"{Format.NotKnown}");
        string interval = amount.Ci95 is Interval ci
            ? $"95 % interval {Format.Range(ci, decimals)} {unit}"
            : ReasonText.Full(amount.Why) ?? "";
        return Markup.Of(
            $"""
            <section class="tile"><h2>{name}</h2><p><strong>{who}</strong></p><p class="big">{big}</p><p class="soft">{interval}</p>
            <p class="soft">{of}</p></section>

            """
        );
    }

    private static Markup Findings(FlightAnalysis f) =>
        Markup.Of(
            $"""
            <section><h2>What it points to, and what to do next</h2>
            {FlightParts.Findings(f.Findings, FlightText.NothingFound(f))}{(
                f.Findings.Any(x => x.Severity != Severity.Note)
                    ? Markup.Of($"<p class=\"caution\">{Cautions.FirstHover}</p>\n")
                    : Markup.Empty
            )}{(ScaleText.Of(f, []) is string scale ? Markup.Of($"<p class=\"soft\">{NoBreakSpaces.Insert(scale)}</p>\n") : Markup.Empty)}</section>

            """
        );

    private static Markup Aircraft(FlightAnalysis f) =>
        Markup.Of(
            $"""
        <section><h2>The aircraft, motor by motor</h2>
        {(f.Airframe.HasLayout
            ? Markup.Of(
                $"{new FlightMap(f).Draw()}"
                    + $"{Table.Folded("The same as a table, with currents, unbalance and temperatures", FlightTables.Motors(f))}")
            : Markup.Of($"<p>{FlightText.WithoutAirframe(f)}</p>\n{(f.Motors.Count == 0 ? Markup.Empty : FlightTables.Motors(f))}"))}
        <p>Yaw trim: {Trim(f.YawTrim)}</p></section>

        """
        );

    private static Markup Account(FlightAnalysis f) =>
        AccountBar.Draw([("this flight", f.Accounting)]) is var bar && bar != Markup.Empty
            ? Markup.Of(
                $"<section><h2>Total vibration and its parts</h2>\n<p class=\"lead\">The vibration of the hover in parts. Lengths are mean "
                    + $"squares, so they add up.</p>\n{bar}</section>\n"
            )
            : Markup.Empty;

    private static Markup Over(FlightAnalysis f)
    {
        if (TimeView.Of(f) is not { } view)
        {
            return Markup.Empty;
        }

        string began =
            f.Onsets.Count == 0
                ? ""
                : $" Dashed: what began in flight "
                    + $"({Grammar.List([.. f.Onsets.Select(o => $"{TimeView.Name(o)} at {Format.Number(o.FromS, 0)} s")])}).";
        string temperatures = f.Motors.Any(m => m.MotorTemp.Readings is not null || m.EscTemp.Readings is not null)
            ? " Below: temperatures as reported (thin), fitted (thick), and at the right what each unit would settle at in this air, "
                + "with its 95 % interval."
            : "";
        return Markup.Of(
            $"""
            <section><h2>The flight over time</h2>
            {view.Picture}{Figure.Of(view.Draw(ComparisonCharts.Wide), view.Draw(ComparisonCharts.Narrow), Markup.Of(
                $"Brighter is stronger: {Format.Number(view.RangeDb.Low, 0)} to {Format.Number(view.RangeDb.High, 0)} dB re 1 (m/s²)²/Hz, "
                    + $"all three axes. Lines: speed of each rotor. The bar above is the hover that was used.{began} Look for what "
                    + $"begins or moves; what keeps its frequency while speeds change comes from no rotor.{temperatures}"))}</section>

            """
        );
    }

    private static string Trim(YawTrim trim)
    {
        Estimate percent = ComparisonCharts.Percent(trim.Split);
        string from = trim.From == YawTrimSource.Rpm ? "from rotor speeds" : "from motor commands, because speeds are missing";
        return percent.IsKnown
            ? $"the clockwise motors turn {Faster(percent)} than the others ({from})."
            : $"{Format.NotKnown}, because {ReasonText.Clause(trim.Split.Why)}.";
    }

    private static string Faster(Estimate percent) =>
        percent is { Value: < 0, Ci95: Interval ci }
            ? $"slower by {Format.Amount(Estimate.Of(-percent.Value.Value, new Interval(-ci.High, -ci.Low)), 2, "% of the mean")}"
            : $"faster by {Format.Amount(percent, 2, "% of the mean")}";

    private static Markup Orders(FlightAnalysis f, Func<string, Markup, Markup> chart) =>
        Markup.Of(
            $"""
            <section><h2>Vibration of each motor, order by order</h2>
            <p class="lead">×1 is once per turn (balance, a bent shaft, tilt), ×2 twice per turn (two blades passing), and so on.</p>
            {OrdersOrWhy(
                f,
                chart("orders", Markup.Of($"Size at each order on a logarithmic scale, the same for all motors; bars are 95 % intervals."))
            )}</section>

            """
        );

    private static Markup OrdersOrWhy(FlightAnalysis f, Markup drawn) =>
        drawn == Markup.Empty
            ? Markup.Of(
                $"<p>Not known{(f.VibrationIsOfGroup && f.VibrationMps2.IsKnown ? " motor by motor" : "")}, because "
                    + $"{ReasonText.Clause(f.RotorVibrationMps2.Why)}.</p>\n{GroupTables.Of(f)}"
            )
            : Markup.Of($"{drawn}{Table.Folded("The same as a table", FlightTables.Orders(f))}");

    private static Markup Spectra(FlightAnalysis f, string[] names, Func<string, Markup, Markup> chart) =>
        names.Length == 0
            ? Markup.Empty
            : Markup.Of(
                $"""
                <section><h2>Spectra</h2>
                <p class="lead">All of the vibration over frequency, axis by axis, on one scale: power spectral density in dB re 1 (m/s²)²/Hz.</p>
                {names.Select(name => Markup.Of($"<h3>{Grammar.Capital(ChannelNames.Axis(name)!)}</h3>{chart(name, Markup.Empty)}"))}
                <p class="soft">{(
                    f.Motors.Any(m => m.RpmMean.IsKnown)
                        ? "Grey bands are where the motors' orders lie; a peak outside them is none of these orders."
                        : "Without rotor speeds no peak can be assigned to a motor."
                )} {DensityText.Of(f.Spectra.Where(s => ChannelNames.Axis(s.Channel) is not null))}</p>{Resonances(f)}{Table.Folded(
                    "Peaks and where they come from",
                    FlightTables.Peaks(f)
                )}</section>

                """
            );

    private static Markup Resonances(FlightAnalysis f) =>
        f.Resonances.Count == 0 ? Markup.Empty : Markup.Of($"<h3>Resonances of the airframe</h3>\n{FlightTables.Resonances(f)}");

    private static Markup Temperatures(Func<string, Markup, Markup> chart)
    {
        Markup motors = chart("motors", Markup.Of($"Motors: steady rise above ambient, with 95 % intervals."));
        Markup escs = chart("escs", Markup.Of($"ESCs: steady rise above ambient, with 95 % intervals."));
        return (motors.ToString() + escs.ToString()).Length == 0
            ? Markup.Empty
            : Markup.Of(
                $"""
                <section><h2>Temperatures</h2>
                <p class="lead">Steady rise: what each unit would settle at above ambient if the hover went on.</p>
                {motors}{escs}</section>

                """
            );
    }

    private static Markup Rest(FlightAnalysis f) =>
        Markup.Of(
            $"""
            <section><h2>Flight time used</h2>
            <p class="lead">Only steady hover is used. Filled: used. Hatched: nothing recorded.</p>
            {FlightParts.TimeLine("This flight", f)}</section>
            <section><h2>What was not known</h2>
            {Unknowns.Of(f).ToMarkup()}{(
                Notes(f).Count == 0 ? Markup.Empty : Markup.Of($"<h3>Good to know about this log</h3>\n{FlightParts.Notes(Notes(f))}")
            )}</section>
            <section><h2>How it was calculated</h2>
            {Method.Flight}{Table.Folded(
                "Levels of each channel",
                FlightTables.Levels(f)
            )}<details><summary>The files and how they were understood</summary>
            {FlightParts.Input(f)}</details></section>

            """
        );

    private static IReadOnlyList<string> Notes(FlightAnalysis f) =>
        [.. f.Warnings.Select(w => Grammar.Sentence(ReasonText.Of(w.Cause))), .. FlightText.LogWarnings(f)];

    private static string Started(FlightAnalysis flight) =>
        flight.Input.StartedUtc is DateTime utc
            ? " · " + utc.ToString("yyyy-MM-dd HH:mm 'UTC'", System.Globalization.CultureInfo.InvariantCulture)
            : "";
}
