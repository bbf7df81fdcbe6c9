using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Flights.Structure;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Pages;

/// <summary>The numbers of one flight as tables.</summary>
internal static class FlightTables
{
    internal static Markup Motors(FlightAnalysis flight) =>
        Table.Of(
            [
                "Motor",
                "#Speed, rpm",
                "#Load share",
                "#Current, A",
                "#Unbalance, g·mm",
                "#Motor, °C above ambient",
                "#ESC, °C above ambient",
            ],
            flight.Motors.Select(m =>
                (IReadOnlyList<Markup>)
                    [
                        Table.Text(m.Id),
                        Cell(m.RpmMean, 0),
                        Cell(m.LoadShare, 3),
                        Cell(m.CurrentA, 1),
                        Cell(m.UnbalanceGmm, 0),
                        Cell(m.MotorTemp.RiseSteadyC, 1),
                        Cell(m.EscTemp.RiseSteadyC, 1),
                    ]
            )
        );

    internal static Markup Orders(FlightAnalysis flight)
    {
        int decimals = Format.DecimalsFor(
            flight.Motors.SelectMany(m => m.Orders).Select(o => o.RmsMps2.Value ?? 0).DefaultIfEmpty(0).Max() / 10
        );
        return Table.Of(
            ["Motor, order", "#Size, m/s²", "#x", "#y", "#z", "~Remark"],
            flight.Motors.SelectMany(m =>
                m.Orders.Select(o =>
                    (IReadOnlyList<Markup>)
                        [
                            Table.Text($"{m.Id} ×{Format.Whole(o.Order)}"),
                            Cell(o.RmsMps2, decimals),
                            Part(o, 0, decimals),
                            Part(o, 1, decimals),
                            Part(o, 2, decimals),
                            Table.Text(Remark(o, decimals)),
                        ]
                )
            )
        );
    }

    internal static Markup Levels(FlightAnalysis flight) =>
        Table.Of(
            ["Channel", "Unit", "#Rms", "#Band, Hz"],
            flight.Levels.Select(l =>
                (IReadOnlyList<Markup>)
                    [Table.Text(ChannelNames.Of(l.Channel)), Table.Text(l.Unit), Cell(l.Rms, 3), Table.Text(Format.Range(l.BandHz, 0))]
            )
        );

    internal static Markup Peaks(FlightAnalysis flight) =>
        Table.Of(
            ["Peak", "Channel", "#Rms of the line", "Belongs to"],
            flight.Peaks.Select(p =>
                (IReadOnlyList<Markup>)
                    [
                        Table.Text($"{Format.Number(p.Hz, 1)} Hz"),
                        Table.Text(ChannelNames.Of(p.Channel)),
                        Table.Text($"{Format.Number(p.Amplitude, 3)} {p.Unit}"),
                        Table.Text(Owner(p)),
                    ]
            )
        );

    internal static Markup Resonances(FlightAnalysis flight) =>
        Table.Of(
            ["Channel", "#Frequency, Hz", "#Damping, % of critical", "~Seen in", "~Nearest order in hover"],
            flight.Resonances.Select(r =>
                (IReadOnlyList<Markup>)
                    [
                        Table.Text(ChannelNames.Of(r.Channel)),
                        Cell(r.Hz, 1),
                        Cell(ComparisonCharts.Percent(r.DampingRatio), 1),
                        Table.Text(
                            r.Method == ModeEvidence.FreeDecay ? "the ringing after a bump" : "the hover spectrum without the rotors' lines"
                        ),
                        Table.Text(Nearest(r)),
                    ]
            )
        );

    private static string Nearest(StructureMode mode) =>
        mode is { NearestOrder: MotorOrder near, Margin: double margin }
            ? $"{near.Motor} ×{Format.Whole(near.Order)}, {Format.Number(Math.Abs(100 * margin), 0)} % {(margin < 0 ? "below" : "above")} it"
            : "";

    private static string Owner(SpectralPeak peak)
    {
        string who = peak.Kind switch
        {
            PeakKind.Structure => "the structure: its frequency stays while speeds change",
            PeakKind.Rotor => "a rotor",
            _ => "not known",
        };
        string names = Grammar.List([.. peak.Assigned.Select(a => $"{a.Motor} ×{Format.Whole(a.Order)}")]);
        string folded = peak.FoldedFromHz is double hz ? $"; folded from {Format.Number(hz, 0)} Hz, above what the logger can hold" : "";
        return (names.Length > 0 ? names : who) + folded;
    }

    private static string Remark(OrderLevel order, int decimals)
    {
        string group = order.Separable
            ? ""
            : $"not separated from {Grammar.List([.. order.Group])}; together "
                + $"{Format.Amount(order.GroupMps2 ?? Estimate.Unknown(new NotMeasured()), decimals, "m/s²")}";
        string folded = order.FoldedFromHz is double hz ? $"seen folded from {Format.Number(hz, 0)} Hz" : "";
        return group.Length > 0 && folded.Length > 0 ? $"{group}; {folded}" : group + folded;
    }

    private static Markup Part(OrderLevel order, int axis, int decimals) =>
        Table.Text(order.PerAxisMps2 is { Count: 3 } parts ? Format.Number(parts[axis], decimals) : "");

    private static Markup Cell(Estimate amount, int decimals) => Table.Text(Format.Amount(amount, decimals, ""));
}
