using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Tables;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Console;

/// <summary>A shim plan and a shim chart as plain lines.</summary>
/// <param name="output">Where the lines go.</param>
/// <param name="inch">Whether thicknesses are in inches instead of millimetres.</param>
/// <param name="width">Columns to keep within, 45 or more; a table without room becomes a list.</param>
public sealed class ShimSummary(TextWriter output, bool inch, int width = 80)
{
    private const int TableColumns = 76;
    private const int MostTextColumns = 110;

    private static readonly TextColumn[] s_tiltColumns =
    [
        new("motor", 6, Gap: 0),
        new("across", 12, Gap: 0),
        new("along", 10, Gap: 0),
        new("±", 5, IsRight: true, Gap: 0),
        new("action", 14),
    ];

    private static readonly TextColumn[] s_shimColumns = [new("shim"), new("tilt", IsRight: true)];
    private static readonly TextColumn s_parting = new("|");
    private static readonly TextColumn[] s_budgetColumns = [new("", 44, Gap: 6), new("", 10, IsRight: true, Gap: 0)];

    private string Unit => inch ? "in" : "mm";

    /// <summary>Writes the plan: answer, what to expect, table, pieces, reasons, cautions.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="sinceLast">Moves since an earlier survey; empty when there was none.</param>
    /// <param name="withBudget">Whether to add the uncertainty budgets.</param>
    public void Write(ShimPlan plan, IReadOnlyList<MountMovement> sinceLast, bool withBudget)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(sinceLast);
        string answer = ShimPlanText.Answer(plan),
            small = char.ToLowerInvariant(answer[0]) + answer[1..];
        if (plan.Survey.AsLeft.Count > 0)
        {
            string left = ShimPlanText.AnswerAsLeft(plan);
            Wrap($"{plan.Airframe.Name}, {char.ToLowerInvariant(left[0])}{left[1..]}");
            Wrap($"As found, the plan was: {small}");
        }
        else
        {
            Wrap($"{plan.Airframe.Name}: {small}");
        }

        output.WriteLine();
        Wrap(ShimPlanText.Expect(plan));
        if (plan.Forecast.MomentBeforeNm.IsKnown)
        {
            Wrap(
                $"Yaw moment as found: {ShimPlanText.Moment(plan.Forecast.MomentBeforeNm)}; after: "
                    + $"{ShimPlanText.Moment(plan.Forecast.MomentAfterNm)}."
            );
        }

        Wrap(ShimPlanText.ThrustLost(plan));
        output.WriteLine();
        WriteTable(plan);
        WriteHanging(plan);
        WriteAsLeft(plan);
        WriteReasons(plan);
        WriteMoves([.. plan.Survey.Knocks, .. sinceLast]);
        WriteList("Shims noted as fitted", [.. plan.Survey.Fitted.Select(f => ShimPlanText.Fitted(f, plan.Airframe, plan.Survey))]);
        WriteList("Notes", [.. plan.Survey.Readings.Where(r => r.Note.Length > 0).Select(Note)]);
        if (withBudget)
        {
            WriteBudgets(plan);
        }
        else if (plan.Survey.Gauge is { ZeroErrorDeg.IsKnown: true } gauge)
        {
            output.WriteLine();
            WriteZeroError(gauge);
        }

        WriteList("Cautions", ShimReasonText.Cautions(plan, c => ReasonText.Of(c)));
        WriteList("On the bench", ShimPlanText.Bench);
    }

    /// <summary>Writes the chart.</summary>
    public void Write(ShimChart chart)
    {
        ArgumentNullException.ThrowIfNull(chart);
        Wrap($"Shim chart for {Format.Number(chart.SpanMm, 1)} mm ({Format.Number(chart.SpanMm / 25.4, 3)} in) between bolts");
        Wrap("The shim goes under both bolts of the low side (lower motor of a coaxial pair: of the high side).");
        output.WriteLine();
        ChartPart[] parts =
        [
            new(
                [new("tilt", IsRight: true), new("shim"), new("shim")],
                [
                    .. chart.FromTilt.Select(r =>
                        (TextCell[])
                            [Format.Number(r.TiltDeg, 2) + "°", Format.Number(r.ShimMm, 3) + " mm", Format.Number(r.ShimIn, 4) + " in"]
                    ),
                ]
            ),
            new(s_shimColumns, [.. chart.FromMm.Select(r => Tilted(Format.Number(r.ShimMm, 2) + " mm", r.TiltDeg))]),
            new(s_shimColumns, [.. chart.FromInch.Select(r => Tilted(Format.Number(r.ShimIn, 3) + " in", r.TiltDeg))]),
        ];
        if (width < TableColumns)
        {
            WriteBelow(parts);
        }
        else
        {
            WriteBeside(parts);
        }

        output.WriteLine();
        Wrap(
            "shim = span x tan(tilt). A cross of four bolts takes the shim at the low bolt and half of it at the two bolts on the "
                + "axis; the span is that of the low bolt and the one opposite."
        );
    }

    /// <summary>One of the lists of a chart.</summary>
    private sealed record ChartPart(TextColumn[] Columns, TextCell[][] Rows)
    {
        /// <summary>A row by its number; empty cells after the last row.</summary>
        internal TextCell[] Row(int number) => number < Rows.Length ? Rows[number] : [.. Columns.Select(_ => (TextCell)"")];
    }

    private static TextCell[] Tilted(string shim, double tiltDeg) => [shim, Format.Number(tiltDeg, 2) + "°"];

    private void WriteBelow(ChartPart[] parts)
    {
        foreach (ChartPart part in parts)
        {
            if (part != parts[0])
            {
                output.WriteLine();
            }

            var table = new TextTable(part.Columns);
            foreach (TextCell[] row in part.Rows)
            {
                table.Add(row);
            }

            table.Write(output);
        }
    }

    private void WriteBeside(ChartPart[] parts)
    {
        var table = new TextTable([.. parts[0].Columns, s_parting, .. parts[1].Columns, s_parting, .. parts[2].Columns]);
        for (int i = 0; i < parts.Max(p => p.Rows.Length); i++)
        {
            TextCell second = i < parts[1].Rows.Length ? "|" : "";
            table.Add([.. parts[0].Row(i), "|", .. parts[1].Row(i), second, .. parts[2].Row(i)]);
        }

        table.Write(output);
    }

    private void WriteTable(ShimPlan plan)
    {
        if (width < TableColumns)
        {
            WriteNarrow(plan);
        }
        else
        {
            WriteWide(plan);
        }

        output.WriteLine();
        Wrap(
            $"Tilt in degrees with the low side, seen from the hub looking out along the arm; ± is 95 %. Shims in {Unit}, by bolt, as "
                + $"fitted."
        );
        if (plan.Pieces.Count > 0)
        {
            IEnumerable<string> pieces = plan.Pieces.Select(p =>
                $"{Format.Whole(p.Count)} of {ShimPlanText.Thickness(p.ThicknessMm, inch)}"
            );
            Wrap($"Pieces: {string.Join(", ", pieces)} {Unit}.");
        }
    }

    private void WriteNarrow(ShimPlan plan)
    {
        foreach (MotorShims m in plan.Motors)
        {
            string doing = m.Side is null ? ShimPlanText.Short(m) : "shim " + ShimPlanText.Place(m, inch);
            Wrap($"{m.Motor.Id}: {doing}");
            if (m.Tilt is MotorTilt tilt)
            {
                string uncertainty = tilt.U95Deg is double u ? $" ± {Format.Number(u, 2)}" : "";
                Wrap(
                    $"across {ShimPlanText.Tilt(tilt.AcrossDeg, TiltDirection.Across)}, along "
                        + $"{ShimPlanText.Tilt(tilt.AlongDeg, TiltDirection.Along)}{uncertainty}",
                    "    "
                );
            }

            if (m.Stacks is ShimStacks stacks)
            {
                Wrap(
                    string.Join(", ", stacks.Bolts.Select(b => $"{b.Bolt.Place} {ShimPlanText.Stack(b, inch)}"))
                        + $"; remains {Format.Number(stacks.ResidualDeg, 2)}°",
                    "    "
                );
            }
        }
    }

    private void WriteWide(ShimPlan plan)
    {
        TextColumn[] columns =
        [
            .. s_tiltColumns,
            new(inch ? "shim, in" : "shim, mm", 15, Gap: 0),
            new("remains", 10, IsRight: true, Gap: 0),
        ];
        Row(columns, [.. columns.Select(c => (TextCell)c.Header)]);
        foreach (MotorShims m in plan.Motors)
        {
            Row(
                columns,
                m.Motor.Id,
                m.Tilt is null ? "-" : ShimPlanText.Tilt(m.Tilt.AcrossDeg, TiltDirection.Across),
                m.Tilt is null ? "-" : ShimPlanText.Tilt(m.Tilt.AlongDeg, TiltDirection.Along),
                m.Tilt?.U95Deg is double u ? Format.Number(u, 2) : "-",
                ShimPlanText.Short(m),
                ShimPlanText.Place(m, inch),
                (m.Stacks?.ResidualDeg ?? m.Tilt?.MagnitudeDeg) is double left ? Format.Number(left, 2) + "°" : "-"
            );
            if (m.Stacks is ShimStacks stacks)
            {
                Wrap(string.Join("   ", stacks.Bolts.Select(b => $"{b.Bolt.Place} {ShimPlanText.Stack(b, inch)}")), "      ");
            }
        }
    }

    /// <summary>For lower motors of coaxial pairs: why the other side is shimmed, and their bolts seen from below.</summary>
    private void WriteHanging(ShimPlan plan)
    {
        if (ShimPlanText.Hanging(plan) is not string why)
        {
            return;
        }

        output.WriteLine();
        Wrap(why);
        foreach (MotorShims m in plan.Motors.Where(m => m.Motor.Level == MotorLevel.Lower && m.Stacks is not null))
        {
            output.WriteLine();
            output.WriteLine($"  {m.Motor.Id} as you see it from below, in {Unit}:");
            foreach (
                string line in BoltSketch.Lines(
                    plan.Airframe.BoltsOf(m.Motor)!,
                    bolt => ShimPlanText.Stack(m.Stacks!.Bolts.First(b => b.Bolt == bolt), inch),
                    fromBelow: true
                )
            )
            {
                output.WriteLine("  " + line);
            }
        }
    }

    private void WriteAsLeft(ShimPlan plan)
    {
        if (plan.Survey.AsLeft.Count == 0)
        {
            return;
        }

        output.WriteLine();
        output.WriteLine("After the work");
        foreach (MotorTilt t in plan.Survey.AsLeft)
        {
            if (width < TableColumns)
            {
                Wrap(
                    $"{t.MotorId}: {ShimPlanText.Standing(t, plan.Options.ToleranceDeg)}, across "
                        + $"{ShimPlanText.Tilt(t.AcrossDeg, TiltDirection.Across)}, along {ShimPlanText.Tilt(t.AlongDeg, TiltDirection.Along)}",
                    "    ",
                    ""
                );
                continue;
            }

            Row(
                s_tiltColumns,
                t.MotorId,
                ShimPlanText.Tilt(t.AcrossDeg, TiltDirection.Across),
                ShimPlanText.Tilt(t.AlongDeg, TiltDirection.Along),
                t.U95Deg is double u ? Format.Number(u, 2) : "-",
                ShimPlanText.Standing(t, plan.Options.ToleranceDeg)
            );
        }

        Estimate split = TiltYaw.PredictSplit(plan.Airframe, plan.Survey.AsLeft);
        Wrap(
            split.Value is double s
                ? $"The readings after the work predict a split of {Format.Signed(100 * s, 1)} % "
                    + $"({Format.SignedRange(new Interval(100 * split.Ci95!.Value.Low, 100 * split.Ci95.Value.High), 1)}; + is cw faster)."
                : $"What these tilts do in hover is not known: {ReasonText.Clause(split.Why)}."
        );
    }

    private void WriteReasons(ShimPlan plan)
    {
        MotorShims[] open = [.. plan.Motors.Where(m => !m.IsSettled)];
        WriteList(
            plan.Survey.AsLeft.Count > 0 ? "Not settled as found" : "Not settled",
            [.. open.GroupBy(m => ReasonText.Of(m.Why)).Select(g => $"{Grammar.List([.. g.Select(m => m.Motor.Id)])}: {g.Key}.")]
        );
    }

    private void WriteMoves(IReadOnlyList<MountMovement> moves) => WriteList("Will it hold", [.. moves.Select(m => SurveyText.Of(m))]);

    private void WriteBudgets(ShimPlan plan)
    {
        output.WriteLine();
        output.WriteLine("Uncertainty budget of the tilts (GUM; standard uncertainty u in degrees)");
        foreach (MotorTilt t in plan.Survey.AsFound)
        {
            WriteBudget(t.MotorId + " across", t.AcrossBudget, 1);
            WriteBudget(t.MotorId + " along", t.AlongBudget, 1);
        }

        if (SplitPrediction.Of(plan.Airframe, plan.Survey.AsFound).Prediction is SplitPrediction split)
        {
            output.WriteLine("Uncertainty budget of the split as found (u in %)");
            WriteBudget("split", Gathered(split.Budget), 100);
        }

        if (plan.Survey.Gauge is GaugeQuality g)
        {
            Wrap(
                $"Gauge: steps of {Format.Number(g.StepDeg, 3)}° ({(g.StepGiven ? "as stated" : "as the readings show")}); "
                    + (
                        g.ScatterDeg is double s
                            ? $"{Grammar.Count(g.RepeatCount, "repeat")} {Grammar.Agree(g.RepeatCount, "scatters", "scatter")} by {Format.Number(s, 3)}° "
                                + "on the display. "
                            : "no repeats. "
                    )
                    + $"Repeatability before the display rounds: {Format.Number(g.RepeatabilityDeg, 3)}°, "
                    + $"{(g.RepeatabilityGiven ? "as stated" : "the usual one (common practice)")}"
                    + (g.RepeatCount > 0 ? ", pooled with what the repeats show." : ".")
            );
            WriteZeroError(g);
        }
    }

    private void WriteZeroError(GaugeQuality gauge) =>
        Wrap(
            gauge.ZeroErrorDeg.IsKnown
                ? $"Zero error of the gauge, from turning it: {Format.Change(gauge.ZeroErrorDeg, 2, "°")}."
                : $"Zero error of the gauge: not known, because {ReasonText.Clause(gauge.ZeroErrorDeg.Why)}; it cancels in every "
                    + $"tilt read with the gauge the same way round."
        );

    private static string Note(GaugeReading r)
    {
        string way = r.Direction == TiltDirection.Across ? "across" : "along",
            place = r.Where == GaugePlace.Frame ? "frame" : "mount";
        string when = r.When == SurveyTime.AsFound ? "before the work" : "after the work";
        return $"{r.MotorId ?? "hub"} {when}, {place} {way}: {r.Note}";
    }

    /// <summary>Combines the contributions of all tilts into one line; those of each motor are listed above it.</summary>
    private static UncertaintyBudget Gathered(UncertaintyBudget split)
    {
        UncertaintyPart[] others = [.. split.Parts.Where(p => SplitPrediction.OtherThanTilts.Contains(p.Name))];
        var tilts = new UncertaintyBudget([.. split.Parts.Except(others)]);
        return new([new("tilts", tilts.Combined, 1, tilts.EffectiveFreedom), .. others]);
    }

    private void WriteBudget(string name, UncertaintyBudget? budget, double scale)
    {
        if (budget is null)
        {
            return;
        }

        double freedom = budget.EffectiveFreedom;
        Wrap(
            $"{name}: u = {Format.Number(scale * budget.Combined, 4)}, degrees of freedom "
                + $"{(freedom > 999 ? "above 999" : Format.Number(Math.Floor(freedom), 0))}, "
                + $"coverage factor {Format.Number(budget.Factor95, 2)}, ± {Format.Number(scale * budget.Expanded95, 3)}",
            "      ",
            "  "
        );
        foreach (UncertaintyPart part in budget.Parts)
        {
            if (width < TableColumns)
            {
                Wrap($"{SurveyText.Of(part)}: {Format.Number(scale * part.Contribution, 4)}", "      ");
            }
            else
            {
                Row(s_budgetColumns, SurveyText.Of(part), Format.Number(scale * part.Contribution, 4));
            }
        }
    }

    private void WriteList(string heading, IReadOnlyList<string> items)
    {
        if (items.Count == 0)
        {
            return;
        }

        output.WriteLine();
        output.WriteLine(heading);
        foreach (string item in items)
        {
            Wrap(item, "    ", "  - ");
        }
    }

    private void Row(IReadOnlyList<TextColumn> columns, params ReadOnlySpan<TextCell> cells) =>
        TextTable.OneRow(columns, cells).Write(output);

    private void Wrap(string text, string indent = "", string? first = null)
    {
        foreach (string line in WrappedLines.Of(text, Math.Min(width, MostTextColumns), first ?? indent, indent, StringSplitOptions.None))
        {
            output.WriteLine(line);
        }
    }
}
