using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Pages;

/// <summary>The shim chart as one sheet: a table from tilt to shim, two from shim to tilt, and a graph.</summary>
public static class ShimChartPage
{
    private const double MmPerInch = 25.4;
    private const string Css = """
        .cols{display:grid;grid-template-columns:1.25fr 1fr 1fr;gap:8mm;margin:3mm 0;align-items:start}
        table{border-collapse:collapse;width:100%;font-size:12.5pt}
        th{font-size:10pt;text-align:right;border-bottom:.5mm solid #000;padding:.6mm 1mm}
        td{text-align:right;padding:.45mm 1mm;border-bottom:.2mm solid #bbb}
        tr:nth-child(even) td{background:#f1f1f1}
        .lead{font-size:12pt}
        @media screen and (max-width:600px){.cols{grid-template-columns:1fr}}
        @media print{tr:nth-child(even) td{print-color-adjust:exact}}
        """;

    /// <summary>Writes the page.</summary>
    /// <param name="chart">The chart.</param>
    /// <param name="stream">Takes the page, UTF-8; stays open.</param>
    /// <param name="letter">Whether the paper is Letter instead of A4.</param>
    public static void Write(ShimChart chart, Stream stream, bool letter)
    {
        ArgumentNullException.ThrowIfNull(chart);
        ArgumentNullException.ThrowIfNull(stream);
        string span = $"{Format.Number(chart.SpanMm, 1)} mm ({Format.Number(chart.SpanMm / MmPerInch, 3)} in)";
        Markup body = Markup.Of(
            $"""
            <h1>Shim chart: {span} between bolts</h1>
            <p class="lead">The shim goes under both bolts of the low side; at the lower motor of a coaxial pair, of the high side. A cross of four bolts takes the shim at the low bolt, half of it at the two bolts on the axis.</p>
            {Figure(chart)}
            <div class="cols num">
            <table><tr><th>tilt</th><th>shim, mm</th><th>shim, in</th></tr>{chart.FromTilt.Select(r =>
                Markup.Of(
                    $"<tr><td>{Format.Number(r.TiltDeg, 2)}°</td><td>{Format.Number(r.ShimMm, 3)}</td><td>{Format.Number(r.ShimIn, 4)}</td></tr>"
                )
            )}</table>
            <table><tr><th>shim</th><th>takes out</th></tr>{chart.FromMm.Select(r =>
                Markup.Of($"<tr><td>{Format.Number(r.ShimMm, 2)} mm</td><td>{Format.Number(r.TiltDeg, 2)}°</td></tr>")
            )}</table>
            <table><tr><th>shim</th><th>takes out</th></tr>{chart.FromInch.Select(r =>
                Markup.Of($"<tr><td>{Format.Number(r.ShimIn, 3)} in</td><td>{Format.Number(r.TiltDeg, 2)}°</td></tr>")
            )}</table>
            </div>
            <p class="soft">shim = distance between bolts × tan(tilt). Tilt is mount reading less frame reading. If the tilt is smaller than the uncertainty of the readings, read again instead of shimming.</p>
            <div class="foot">{PrintPage.Cautions()}</div>
            """
        );
        PrintPage.Write(stream, $"Shim chart: {span}", letter, Css, body);
    }

    /// <summary>The graph of shim against tilt: millimetres on the left axis, inches on the right.</summary>
    private static Markup Figure(ShimChart chart)
    {
        const double Left = 46,
            Right = 580,
            Top = 14,
            Bottom = 176,
            LargestDeg = 1.0;
        double top = NiceTop(ShimChart.ShimMm(chart.SpanMm, LargestDeg)),
            step = top / 5;
        double X(double deg) => Left + (Right - Left) * deg / LargestDeg;
        double Y(double mm) => Bottom - (Bottom - Top) * mm / top;
        IEnumerable<Markup> across = Enumerable
            .Range(0, 11)
            .Select(i => i / 10.0)
            .Select(deg =>
                Markup.Of(
                    $"""<path d="M{X(deg)} {Top}V{Bottom}" stroke="#bbb" stroke-width=".7"/><text x="{X(deg)}" y="{Bottom + 14}" """
                        + $"""text-anchor="middle" font-size="11">{Format.Number(deg, 1)}°</text>"""
                )
            );
        int decimals =
            step < 0.0999 ? 2
            : step < 0.999 ? 1
            : 0;
        IEnumerable<Markup> up = Enumerable
            .Range(0, 6)
            .Select(i => i * step)
            .Select(mm =>
                Markup.Of(
                    $"""<path d="M{Left} {Y(mm)}H{Right}" stroke="#bbb" stroke-width=".7"/><text x="{Left - 5}" y="{Y(mm) + 4}" """
                        + $"""text-anchor="end" font-size="11">{Format.Number(mm, decimals)}</text><text x="{Right + 5}" y="{Y(mm) + 4}" """
                        + $"""font-size="11">{Format.Number(mm / MmPerInch, 3)}</text>"""
                )
            );
        return Markup.Of(
            $"""
            <svg viewBox="0 0 640 208" width="100%" role="img"
            aria-label="Shim thickness against tilt, a straight line from 0 to {Format.Number(
                ShimChart.ShimMm(chart.SpanMm, LargestDeg),
                3
            )} mm at 1 degree.">{across}{up}<path d="M{X(0)} {Y(0)}L{X(LargestDeg)} {Y(
                ShimChart.ShimMm(chart.SpanMm, LargestDeg)
            )}" stroke="#000" stroke-width="2.4"/><text x="{Left}" y="9" font-size="11" text-anchor="middle">mm</text>
            <text x="{Right}" y="9" font-size="11" text-anchor="start">inch</text><text x="{(
                Left + Right
            ) / 2}" y="{Bottom + 28}" text-anchor="middle" font-size="11">tilt of the mount</text></svg>

            """
        );
    }

    private static double NiceTop(double largest)
    {
        double power = Math.Pow(10, Math.Floor(Math.Log10(largest)));
        return new[] { 1, 2, 2.5, 5, 10 }.Select(f => f * power).First(t => t >= largest);
    }
}
