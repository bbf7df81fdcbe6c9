using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Drawings;

/// <summary>Total vibration of one or two flights as bars on one scale, divided into the mean squares of the parts.</summary>
internal static class AccountBar
{
    private const double Width = 1000,
        Height = 26,
        LeastLabel = 0.09;

    // Parts differ in lightness and order, so that they can be distinguished in black and white too; hues are from the palette's set.
    private static readonly (VibrationPartKind Kind, string Fill, string Text)[] s_looks =
    [
        (VibrationPartKind.RotorOrders, Palette.Data, "#ffffff"),
        (VibrationPartKind.HalfOrders, "#e69f00", Palette.Ink),
        (VibrationPartKind.RotorLocked, "#56b4e9", Palette.Ink),
        (VibrationPartKind.SteadyLines, "#cc79a7", Palette.Ink),
        (VibrationPartKind.Broadband, Palette.Line, Palette.Ink),
        (VibrationPartKind.Knocks, Palette.Ink, "#ffffff"),
    ];

    /// <summary>One bar per flight, before then after; empty where the parts of no flight are known.</summary>
    internal static Markup Draw(IReadOnlyList<(string Name, VibrationAccount? Account)> flights)
    {
        (string Name, VibrationAccount Account)[] known =
        [
            .. flights
                .Where(f => f.Account?.TotalMps2.IsKnown == true && f.Account.Parts.All(p => p.Share is not null))
                .Select(f => (f.Name, f.Account!)),
        ];
        if (known.Length == 0)
        {
            return Markup.Empty;
        }

        double most = known.Max(f => Square(f.Account));
        Markup[] bars = [.. known.Select(f => One(f.Name, f.Account, Square(f.Account) / most, known.Length > 1))];
        return Markup.Of($"{bars}{Key(known.Select(f => f.Account))}");
    }

    private static double Square(VibrationAccount account) => Math.Pow(account.TotalMps2.Value!.Value, 2);

    private static Markup One(string name, VibrationAccount account, double scale, bool named)
    {
        List<Markup> pieces = [];
        double x = 0;
        foreach ((VibrationPartKind kind, string fill, string text) in s_looks)
        {
            double share = account.Part(kind).Share!.Value,
                width = Width * scale * share;
            string label = PartNames.Name(kind);
            pieces.Add(Markup.Of($"""<rect x="{x}" y="0" width="{width}" height="{Height}" fill="{fill}" stroke="#ffffff"/>"""));
            pieces.Add(
                share * scale > LeastLabel + 0.008 * label.Length
                    ? Markup.Of(
                        $"""<text x="{x + 8}" y="18" font-size="15" fill="{text}">{label} {Format.Number(100 * share, 0)} %</text>"""
                    )
                    : Markup.Empty
            );
            x += width;
        }

        string total =
            $"{Format.Amount(account.TotalMps2, Format.DecimalsFor(account.TotalMps2.Value!.Value), "m/s²")} rms in all, "
            + $"{Format.Number(account.BandHz.Low, 0)} to {Format.Number(account.BandHz.High, 0)} Hz; orders above that are not included; "
            + (
                account.SensorNoiseMps2.Value is double noise
                    ? $"sensor noise of {Format.Number(noise, Format.DecimalsFor(noise))} m/s² is subtracted"
                    : "sensor noise is included, because the log shows no time at rest"
            )
            + (
                account.RoundingNoiseMps2 > 0
                    ? $"; of the rounding noise of {Format.Number(account.RoundingNoiseMps2, Format.DecimalsFor(account.RoundingNoiseMps2))} m/s² (from "
                        + "the steps in which the log was written), what the sensor noise does not contain is subtracted too"
                    : ""
            );
        return Markup.Of(
            $"""
            <p class="soft">{(named ? Grammar.Capital(name) + ": " : "")}{total}</p>
            <svg class="account" viewBox="0 0 1000 {Height}" role="img" aria-label="parts of the total vibration, {name}">{pieces}</svg>

            """
        );
    }

    /// <summary>Size of a part; the detection limit where nothing of it was found.</summary>
    private static string Size(VibrationPart part) =>
        part.Mps2 is { Value: 0, Ci95: Interval ci }
            ? $"none found above {Format.Number(ci.High, Format.DecimalsFor(Math.Max(0.1, ci.High)))} m/s²"
            : $"{Format.Amount(part.Mps2, Format.DecimalsFor(Math.Max(0.1, part.Mps2.Value ?? 1)), "m/s²")}, "
                + $"{Format.Number(100 * part.Share!.Value, 0)} %";

    private static Markup Key(IEnumerable<VibrationAccount> accounts)
    {
        VibrationAccount[] all = [.. accounts];
        var rows = s_looks.Select(l =>
            (IReadOnlyList<Markup>)
                [
                    Markup.Of(
                        $"""<svg class="swatch" viewBox="0 0 10 10" aria-hidden="true"><rect width="10" height="10" """
                            + $"""fill="{l.Fill}"/></svg> {PartNames.Name(l.Kind)}"""
                    ),
                    .. all.Select(a => a.Part(l.Kind)).Select(p => Table.Text(Size(p))),
                ]
        );
        return Table.Of(
            [
                "Part",
                .. all.Select(
                    (_, i) =>
                        all.Length == 1
                            ? "Size rms (95 %), share of the mean square"
                            : $"{(i == 0 ? "Before" : "After")}: rms (95 %), share"
                ),
            ],
            rows
        );
    }
}
