using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Pages;

/// <summary>The page that answers "did it help?": one file that needs no network.</summary>
public static class ComparisonPage
{
    private const int ReasonsShown = 4;

    /// <summary>Writes the page as UTF-8 HTML. The stream stays open.</summary>
    /// <param name="comparison">The comparison to show.</param>
    /// <param name="stream">Takes the page.</param>
    /// <param name="details">What is shown at its head beside the aircraft; null for nothing.</param>
    public static void Write(Comparison comparison, Stream stream, JobDetails? details = null)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        ArgumentNullException.ThrowIfNull(stream);
        comparison = Clockwise.Sorted(comparison);
        PageFrame.Write(
            stream,
            $"{comparison.Title}: {VerdictText.Short(comparison.Verdict)}",
            Markup.Of($"{Head(comparison, details)}{Body(comparison)}")
        );
    }

    /// <summary>The content of the page without its frame, to be shown in a page with another frame.</summary>
    /// <param name="comparison">The comparison to show.</param>
    /// <param name="details">What is shown at its head beside the aircraft; null for nothing.</param>
    public static Markup Content(Comparison comparison, JobDetails? details = null)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        comparison = Clockwise.Sorted(comparison);
        return PageFrame.Content(Markup.Of($"{Head(comparison, details)}{Body(comparison)}"));
    }

    /// <summary>The page below its header. The motors must be in clockwise order.</summary>
    internal static Markup Body(Comparison comparison)
    {
        ComparisonCharts charts = ComparisonCharts.Of(comparison);
        return Markup.Of(
            $"{Tiles(comparison)}{Quality(QualityLines.Of(comparison))}{Next(comparison)}{Aircraft(comparison)}{Account(comparison)}"
                + $"{Orders(comparison, charts)}{Spectra(charts)}{Temperatures(comparison, charts)}{Yaw(comparison, charts)}"
                + $"{Survey(comparison)}{Alike(comparison)}{Findings(comparison)}{Time(comparison)}{Calculation(comparison)}"
        );
    }

    /// <summary>Aircraft, tail number, serial number, work order and customer; empty where none of the last four is given.</summary>
    internal static Markup About(string aircraft, JobDetails? details) =>
        details?.Given.Any() != true
            ? Markup.Empty
            : Markup.Of(
                $"""
                <dl class="about"><div><dt>Aircraft:</dt> <dd>{aircraft}</dd></div>{details.Given.Select(d =>
                    Markup.Of($"<div><dt>{d.Name}:</dt> <dd>{d.Value}</dd></div>")
                )}</dl>

                """
            );

    private static Markup Head(Comparison c, JobDetails? details) =>
        Markup.Of(
            $"""
            <header><p class="kicker">{c.Title} · {c.Airframe.Name} · {Flights(c)}</p>
            {About(c.Airframe.Name, details)}<p class="kicker"><span class="call {c.Verdict.Code()}">{VerdictText.Short(
                c.Verdict
            )}</span></p>
            <h1>{NoBreakSpaces.Insert(VerdictText.Sentence(c))}</h1></header>

            """
        );

    private static Markup Tiles(Comparison c) =>
        Markup.Of(
            $"""
            <div class="tiles">
            {Tile(
                c,
                "Vibration from the rotors",
                c.Vibration,
                c.Options.MinChangeDb,
                c.VibrationIsOfGroup ? "rms, all rotors together" : "rms"
            )}{Tile(
                c,
                "Hottest motor, steady",
                c.MotorTemperature,
                c.Options.MinChangeC,
                "above ambient" + Hottest(c, m => m.MotorTemp.RiseSteadyC)
            )}{Tile(
                c,
                "Hottest ESC, steady",
                c.EscTemperature,
                c.Options.MinChangeC,
                "above ambient" + Hottest(c, m => m.EscTemp.RiseSteadyC)
            )}</div>

            """
        );

    /// <summary>Which unit was the hottest before and after, such as ": M3, then M1"; empty where that is not known.</summary>
    private static string Hottest(Comparison c, Func<MotorAnalysis, Estimate> rise)
    {
        string? Who(IReadOnlyList<FlightAnalysis> flights) =>
            flights.SelectMany(f => f.Motors).Where(m => rise(m).IsKnown).GroupBy(m => m.Id).MaxBy(g => g.Average(m => rise(m).Value))?.Key;
        return (Who(c.Before), Who(c.After)) is (string before, string after)
            ? before == after
                ? $": {before}, before and after"
                : $": {before}, then {after}"
            : "";
    }

    private static Markup Tile(Comparison c, string name, Call call, double matters, string of)
    {
        const double LeastReach = 6;
        double reach = IntervalStrip.ReachFor([call.Change], LeastReach);
        var strip = new IntervalStrip(reach, matters, 184);
        Markup big = call.Change.Value is double value
            ? Markup.Of($"{Format.Signed(value, 1)} <small>{call.ChangeUnit}</small>")
            : Markup.Of($"{Format.NotKnown}");
        string interval =
            call.Change.Ci95 is Interval ci ? $"95 % interval {Format.SignedRange(ci, 1)} {call.ChangeUnit}"
            : VerdictText.IsSaidAbove(c, call) ? "Not compared, for the reason above."
            : ReasonText.Full(call.Why);
        string from = call is { Before: double before, After: double after }
            ? $"{Format.Number(before, Decimals(call))} → {Format.Number(after, Decimals(call))} {call.Unit} {of}"
            : "";
        string ends = Format.Number(reach, 0);
        string limit = call is { Kind: CallKind.NoClearChange, SmallestShown: double smallest }
            ? $"These flights could show {Format.Number(smallest, 1)} {call.ChangeUnit} or more."
            : "";
        return Markup.Of(
            $"""
            <section class="tile"><h2>{name}</h2><p>{ComparisonTables.CallWord(call.Kind)}</p><p class="big">{big}</p>
            <svg viewBox="0 0 200 36" role="img" aria-label="{interval}">{strip.Draw(
                8,
                10,
                call.Change,
                call.Kind,
                8
            )}<g font-size="13" fill="{Palette.Soft}"><text x="8" y="33">−{ends} less</text><text x="100" y="33" text-anchor="middle">0</text>
            <text x="192" y="33" text-anchor="end">more +{ends}</text></g></svg>
            <p class="soft">{interval}</p><p class="soft">{from}</p><p class="soft">{limit}</p></section>

            """
        );
    }

    private static Markup Next(Comparison c) =>
        Markup.Of(
            $"""
            <div class="two"><section class="next"><h3>What to do next</h3>
            <ol>{NextStepText.Of(c).Select(Item)}</ol>
            <p class="caution">{Cautions.Bench} {Cautions.FirstHover}</p></section>
            <section><h3>Why this answer</h3>
            <ul>{c.Reasons.Take(ReasonsShown).Select(r => Item(ReasonText.Full(r)))}</ul></section></div>
            {MoreReasons(c)}

            """
        );

    /// <summary>The section on faults of the logs; empty where there are none.</summary>
    internal static Markup Quality(IReadOnlyList<string> lines) =>
        lines.Count == 0
            ? Markup.Empty
            : Markup.Of(
                $"<section class=\"faults\"><h2>Faults of the "
                    + $"logs</h2>\n<ul>{lines.Select(l => Markup.Of($"<li>{NoBreakSpaces.Insert(l)}</li>\n"))}</ul></section>\n"
            );

    private static Markup MoreReasons(Comparison c) =>
        c.Reasons.Count <= ReasonsShown
            ? Markup.Empty
            : Table.Folded("More reasons", Markup.Of($"<ul>{c.Reasons.Skip(ReasonsShown).Select(r => Item(ReasonText.Full(r)))}</ul>\n"));

    private static Markup Item(string text) => Markup.Of($"<li>{NoBreakSpaces.Insert(Grammar.Sentence(text))}</li>\n");

    private static Markup Aircraft(Comparison c)
    {
        if (!c.Airframe.HasLayout)
        {
            return Markup.Of(
                $"<section><h2>The aircraft, motor by motor</h2>\n<p>{FlightText.WithoutAirframe(c.Before[0])}</p></section>\n"
            );
        }

        var maps = new ComparisonMaps(c);
        return Markup.Of(
            $"""
            <section class="aircraft"><h2>The aircraft, motor by motor</h2>
            {(
                c.Motors.Any(m => m.TiltBefore is not null || m.TiltAfter is not null)
                    ? Markup.Of($"<div class=\"two maps\">{maps.Tilts()}{maps.Changes()}</div>")
                    : maps.Changes()
            )}</section>

            """
        );
    }

    private static Markup Account(Comparison c) =>
        AccountBar.Draw([("before", c.Before[0].Accounting), ("after", c.After[0].Accounting)]) is var bar && bar != Markup.Empty
            ? Markup.Of(
                $"""
                <section><h2>Total vibration and its parts</h2>
                <p class="lead">The vibration of the hover in parts, before and after on one scale. Lengths are mean squares, so they add up.</p>
                {bar}<p>Total vibration: {(
                    c.AllVibration.Change.IsKnown
                        ? $"{VerdictText.Short(c.AllVibration.Kind)}, {Format.Change(c.AllVibration.Change, 1, "dB")}."
                        : $"{Format.NotKnown}, because {ReasonText.Clause(c.AllVibration.Why)}."
                )}</p></section>

                """
            )
            : Markup.Empty;

    private static Markup Orders(Comparison c, ComparisonCharts charts) =>
        Markup.Of(
            $"""
            <section><h2>Vibration of each motor, order by order</h2>
            <p class="lead">×1 is once per turn (balance, a bent shaft, tilt), ×2 twice per turn (two blades passing), and so on.</p>
            {OrdersOrWhy(c, charts)}</section>

            """
        );

    private static Markup OrdersOrWhy(Comparison c, ComparisonCharts charts) =>
        c.Motors.Any(m => m.Orders.Any(o => o.BeforeMps2.IsKnown || o.AfterMps2.IsKnown))
            ? Markup.Of($"{charts.Figure("orders", OrdersLegend())}{Table.Folded("The same as a table", OrdersTable(c))}")
        : c.VibrationIsOfGroup && GroupTables.Of(c) is var group && group != Markup.Empty ? group
        : Markup.Of($"<p>Not known, because {ReasonText.Clause(c.Vibration.Why)}.</p>\n");

    private static Markup OrdersTable(Comparison c) =>
        Markup.Of($"{ComparisonTables.Orders(c)}<p class=\"soft\">{VerdictText.NotClearAlthoughIntervalExcludesZero}</p>\n");

    private static Markup OrdersLegend() =>
        Markup.Of(
            $"Size at each order on a logarithmic scale, the same for all motors. {Drawings.Figure.BeforeAfter} Bars are 95 % intervals "
                + $"within the flights. At the right: the change and its call, which also counts how flights scatter from one to the next."
        );

    private static Markup Spectra(ComparisonCharts charts) =>
        charts.Spectra.Count == 0
            ? Markup.Empty
            : Markup.Of(
                $"""
                <section><h2>Spectra, before and after</h2>
                <p class="lead">All of the vibration over frequency, axis by axis, on one scale: power spectral density in dB re 1 (m/s²)²/Hz.</p>
                {charts.Spectra.Select(name =>
                    Markup.Of($"<h3>{Grammar.Capital(ChannelNames.Axis(name)!)}</h3>{charts.Figure(name, Markup.Empty)}")
                )}
                <p class="soft">{Drawings.Figure.BeforeAfter} Grey bands are where the motors' orders lie in the two flights; a peak outside them is none of these orders. Look for thin peaks that stand above the thick line: that is what went away. {charts.DensityText}</p></section>

                """
            );

    private static Markup Temperatures(Comparison c, ComparisonCharts charts)
    {
        Markup motors = c.Motors.Any(m => m.MotorTemp.Before is not null || m.MotorTemp.After is not null)
            ? charts.Figure(
                "motors",
                Markup.Of(
                    $"Steady rise of each motor above ambient, with 95 % intervals. {Drawings.Figure.BeforeAfter} The call at the top "
                        + $"of the page is about the hottest one."
                )
            )
            : Markup.Of($"<p>Not known, because {ReasonText.Clause(c.MotorTemperature.Why)}.</p>\n");
        Markup escs = c.Motors.Any(m => m.EscTemp.Before is not null || m.EscTemp.After is not null)
            ? charts.Figure("escs", Markup.Of($"Steady rise of each ESC above ambient, with 95 % intervals. {Drawings.Figure.BeforeAfter}"))
            : Markup.Of($"<p>Not known, because {ReasonText.Clause(c.EscTemperature.Why)}.</p>\n");
        return Markup.Of(
            $"""
            <section><h2>Temperatures</h2>
            <p class="lead">Steady rise: what each unit would settle at above ambient if the hover went on. So a short flight or a cold day does not pass for an improvement.</p>
            <h3>Motors</h3>{motors}
            <h3>ESCs</h3>{escs}
            <p>{NoBreakSpaces.Insert(string.Join(" ", RiseCauseText.Causes(c)))}</p>
            <p>{NoBreakSpaces.Insert($"{Spread("Motors", c.MotorSpread)} {Spread("ESCs", c.EscSpread)}")}</p>{Table.Folded(
                "The same as a table",
                ComparisonTables.Temperatures(c)
            )}</section>

            """
        );
    }

    private static string Spread(string what, TemperatureSpread? spread) =>
        spread is { BeforeC.Value: double before, AfterC.Value: double after }
            ? $"{what}, hottest minus coolest: {Format.Number(before, 1)} → {Format.Number(after, 1)} °C, a change of "
                + $"{Format.Change(spread.ChangeC, 1, "°C")}: {VerdictText.Short(spread.Call)}."
            : "";

    private static Markup Yaw(Comparison c, ComparisonCharts charts)
    {
        string from = c.YawTrim.From == YawTrimSource.Rpm ? "from rotor speeds" : "from motor commands, because speeds are missing";
        Markup figure =
            c.YawTrim.Before.IsKnown || c.YawTrim.After.IsKnown || c.YawTrim.PredictedBefore.IsKnown || c.YawTrim.PredictedAfter.IsKnown
                ? charts.Figure(
                    "yaw",
                    Markup.Of(
                        $"Flown: measured {from}. Tilts: predicted by the survey. {Drawings.Figure.BeforeAfter} Where the two agree, tilt "
                            + $"explains the trim."
                    )
                )
                : Markup.Of($"<p>Not known, because {ReasonText.Clause(c.YawTrim.Before.Why)}.</p>\n");
        return Markup.Of(
            $"""
            <section><h2>Yaw trim</h2>
            <p class="lead">How much faster the clockwise motors turn than the others. Mounts that tilt to the same side turn the aircraft about its yaw axis; one group of motors then works harder to hold the heading.</p>
            {figure}<p>{NoBreakSpaces.Insert(ReasonText.Full(c.YawTrim.Meaning) ?? "")}</p>{Table.Folded(
                "Speed, load and current of each motor",
                ComparisonTables.Speeds(c)
            )}</section>

            """
        );
    }

    private static Markup Survey(Comparison c) =>
        Markup.Of(
            $"""
        <section><h2>Survey and shims</h2>
        {(c.Survey is null
            ? Markup.Of($"<p>There is no survey in this job, so the page cannot say what was done to the mounts.</p>\n")
            : Markup.Of(
                $"<p class=\"lead\">Tilt of each mount against the frame, with its 95 % uncertainty. Sides as seen from the hub "
                    + $"looking out along the arm.</p>\n{ComparisonTables.Survey(c)}{ComparisonTables.Shims(c)}"))}
        <p>{Effect(c.TiltEffect)}</p></section>

        """
        );

    private static string Effect(TiltEffect effect) =>
        effect.SlopePerDeg.IsKnown
            ? $"Effect of tilt, over {Grammar.Count(effect.MotorCount, "motor")}: {Format.Change(effect.SlopePerDeg, 1, "dB")} in ×1 for each "
                + $"added degree of tilt. {Grammar.Sentence(TiltFormat.Method(effect.Method))}"
            : $"Effect of tilt on vibration: {Format.NotKnown}, because {ReasonText.Clause(effect.SlopePerDeg.Why)}.";

    private static Markup Alike(Comparison c) =>
        Markup.Of(
            $"""
            <section><h2>Were the flights alike?</h2>
            {ComparisonTables.Conditions(c)}</section>

            """
        );

    private static Markup Findings(Comparison c) =>
        Markup.Of(
            $"""
            <section><h2>What else the flights show</h2>
            <h3>After</h3>{FlightParts.Findings(
                c.Findings.Concat(c.After.SelectMany(f => f.Findings)),
                c.After.All(f => f.Hover.Segments.Count > 0)
                    ? "Nothing else stands out in the flights after."
                    : "There was no hover to examine."
            )}
            {Table.Folded(
                "What the flights before showed",
                FlightParts.Findings(c.Before.SelectMany(f => f.Findings), "Nothing else stood out in the flights before.")
            )}</section>

            """
        );

    private static Markup Time(Comparison c)
    {
        FlightAnalysis[] flights = [.. c.Before, .. c.After];
        return Markup.Of(
            $"""
            <section><h2>Flight time used</h2>
            <p class="lead">Only steady hover that the flights have in common is compared. Filled: used. Light: hover that was found but not used. Hatched: nothing recorded.</p>
            {flights.Select((flight, i) => c.Timeline.Count == flights.Length
                ? FlightParts.TimeLine(Name(c, i), flight, c.Timeline[i].Record, c.Timeline[i].Hover)
                : FlightParts.TimeLine(Name(c, i), flight))}</section>

            """
        );
    }

    private static Markup Calculation(Comparison c)
    {
        FlightAnalysis[] flights = [.. c.Before, .. c.After];
        string[] notes =
        [
            .. flights
                .SelectMany(f => f.Warnings.Select(w => Grammar.Sentence(ReasonText.Of(w.Cause))).Concat(FlightText.LogWarnings(f)))
                .Distinct(),
        ];
        return Markup.Of(
            $"""
            <section><h2>What was not known</h2>
            {Unknowns.Of(c).ToMarkup()}{(
                notes.Length == 0 ? Markup.Empty : Markup.Of($"<h3>Good to know about these logs</h3>\n{FlightParts.Notes(notes)}")
            )}</section>
            <section><h2>How it was calculated</h2>
            {Method.Comparison}
            {Table.Folded("Levels of each channel", ComparisonTables.Levels(c))}
            {flights.Select(
                (f, i) => Markup.Of($"<details><summary>Files of flight {Name(c, i)}</summary>\n{FlightParts.Input(f)}</details>\n")
            )}</section>

            """
        );
    }

    private static string Name(Comparison c, int index)
    {
        bool isBefore = index < c.Before.Count;
        (string side, int at, int count) = isBefore ? ("before", index, c.Before.Count) : ("after", index - c.Before.Count, c.After.Count);
        return count == 1 ? side : $"{side} {Format.Whole(at + 1)}";
    }

    private static string Flights(Comparison c) =>
        $"{Grammar.Count(c.Before.Count, "flight")} before, {Format.Whole(c.After.Count)} after{When(c)}";

    private static string When(Comparison c)
    {
        DateTime[] days = [.. c.Before.Concat(c.After).Select(f => f.Input.StartedUtc?.Date).OfType<DateTime>().Distinct().Order()];
        string Day(DateTime day) => day.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);
        return days.Length == 0 ? ""
            : days.Length == 1 ? $" · {Day(days[0])}"
            : $" · {Day(days[0])} to {Day(days[^1])}";
    }

    private static int Decimals(Call call) => call.Unit == "°C" ? 1 : Format.DecimalsFor(Math.Max(call.Before ?? 0, call.After ?? 0));
}
