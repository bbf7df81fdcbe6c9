using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Figures;

/// <summary>A flight over time on one axis: frequencies with each rotor's speed above, temperatures with their fit and steady value
/// below, the hover that was used, and when findings began.</summary>
internal sealed class TimeView
{
    private const double Top = 30,
        MapHeight = 210,
        PanelHeight = 120,
        Gap = 30,
        Bottom = 26,
        LineHeight = 14.5;
    private const int PixelsPerPoint = 5;

    private readonly FlightAnalysis _flight;
    private readonly HeatMap _map;
    private readonly TimeInterval _time;
    private readonly double _toHz;

    private TimeView(FlightAnalysis flight)
    {
        _flight = flight;
        double[] middles = flight.Spectrogram!.TimeS;
        double half = middles.Length > 1 ? (middles[1] - middles[0]) / 2 : 0.5;
        _time = new(middles[0] - half, middles[^1] + half);
        _toHz = SpectrumChart.EndHz([flight]);
        _map = HeatMap.Of(flight.Spectrogram, _time, _toHz);
    }

    /// <summary>The drawing of a flight; null where its record is too short for one.</summary>
    internal static TimeView? Of(FlightAnalysis flight) => flight.Spectrogram is { TimeS.Length: > 1, Bins: > 1 } ? new(flight) : null;

    /// <summary>Levels of the darkest and the brightest colour, dB re 1 (m/s²)²/Hz.</summary>
    internal Interval RangeDb => _map.RangeDb;

    /// <summary>The picture of the map, once per page; the drawings of both widths refer to it.</summary>
    internal Markup Picture =>
        Markup.Of(
            $"""<svg class="picture" aria-hidden="true"><defs><image id="map" width="100" height="100" preserveAspectRatio="none" """
                + $"""href="data:image/png;base64,{Convert.ToBase64String(_map.Png)}"/></defs></svg>"""
        );

    internal Markup Draw(int width)
    {
        Frame frame = new(width > 500 ? 54 : 44, width - (width > 500 ? 92 : 84), _time);
        List<Markup> parts = [Map(frame)];
        double y = Top + MapHeight + Gap;
        foreach ((string title, Func<MotorAnalysis, TemperatureRise> of) in Panels())
        {
            parts.Add(Panel(frame, title, of, y));
            y += PanelHeight + Gap;
        }

        double bottom = y - Gap;
        return Markup.Of(
            $"""
            <svg class="own" viewBox="0 0 {width} {bottom
                + Bottom}" role="img" aria-label="The flight over time: frequencies, rotor speeds and temperatures">
            {parts}{Times(frame, bottom)}{Onsets(frame, bottom)}
            </svg>
            """
        );
    }

    private IEnumerable<(string Title, Func<MotorAnalysis, TemperatureRise> Of)> Panels()
    {
        (string, Func<MotorAnalysis, TemperatureRise>)[] all = [("Motors, °C", m => m.MotorTemp), ("ESCs, °C", m => m.EscTemp)];
        return all.Where(p => _flight.Motors.Any(m => p.Item2(m).Readings is { Count: > 1 }));
    }

    private Markup Map(Frame frame)
    {
        double Y(double hz) => Top + MapHeight * (1 - hz / _toHz);
        double step = Chart.RoundStep(_toHz / 4);
        List<Markup> parts =
        [
            Markup.Of(
                $"""<g transform="translate({frame.Left} {Top}) scale({frame.Width / 100} {MapHeight / 100})"><use href="#map"/></g>"""
            ),
            Text(frame.Left, Top - 16, "start", "Frequency, Hz"),
            .. _flight.Hover.Segments.Select(s =>
                Markup.Of(
                    $"""<rect class="hover" x="{frame.X(s.FromS)}" y="{Top - 8}" width="{frame.X(s.ToS) - frame.X(s.FromS)}" height="5"/>"""
                )
            ),
        ];
        for (double hz = 0; hz <= _toHz; hz += step)
        {
            parts.Add(Text(frame.Left - 6, Y(hz) + 5, "end", Format.Number(hz, 0)));
        }

        List<(double Y, string Text)> names = [];
        foreach (MotorAnalysis motor in _flight.Motors.Where(m => m.Rpm is { Count: > 1 }))
        {
            Series rpm = motor.Rpm!;
            string path = Path(frame, rpm, v => Y(Math.Clamp(v / 60, 0, _toHz)));
            parts.Add(Markup.Of($"""<path class="halo" d="{path}"/><path class="speed" d="{path}"/>"""));
        }

        foreach (
            var near in Near([.. _flight.Motors.Where(m => m.RpmMean.IsKnown).Select(m => (m.Id, Y(m.RpmMean.Value!.Value / 60)))], 2.5)
        )
        {
            names.Add((near.Average(n => n.Y), near.Count > 3 ? $"{near.Count} rotors" : string.Join(" ", near.Select(n => n.Id))));
        }

        parts.AddRange(Labels(frame, names, Top + MapHeight));
        return Markup.Join(parts);
    }

    private Markup Panel(Frame frame, string title, Func<MotorAnalysis, TemperatureRise> of, double top)
    {
        (MotorAnalysis Motor, TemperatureRise Rise)[] units =
        [
            .. _flight.Motors.Select(m => (m, of(m))).Where(u => u.Item2.Readings is { Count: > 1 }),
        ];
        double? Steady(TemperatureRise r) =>
            r.Fitted is not null && _flight.AmbientC is double ambient ? ambient + r.RiseSteadyC.Value : null;
        double[] all = [.. units.SelectMany(u => u.Rise.Readings!.Values), .. units.Select(u => Steady(u.Rise)).OfType<double>()];
        (double low, double high) = (all.Min(), all.Max());
        double missing = Math.Max(0, PairChart.LeastSpanC - (high - low)) / 2;
        (low, high) = (low - missing, high + missing);
        double Y(double c) => top + PanelHeight * (1 - (Math.Clamp(c, low, high) - low) / (high - low));
        double step = Chart.RoundStep((high - low) / 5);
        List<Markup> parts = [Text(frame.Left, top - 8, "start", title)];
        for (double c = Math.Ceiling(low / step) * step; c <= high; c += step)
        {
            parts.Add(Markup.Of($"""<path class="grid" d="M{frame.Left} {Y(c)}H{frame.Right}"/>"""));
            parts.Add(Text(frame.Left - 6, Y(c) + 5, "end", Format.Number(c, 0)));
        }

        List<(double Y, string Text)> names = [];
        foreach ((MotorAnalysis motor, TemperatureRise rise) in units)
        {
            parts.Add(Markup.Of($"""<path class="reading" d="{Path(frame, rise.Readings!, Y)}"/>"""));
            if (rise.Fitted is { Count: > 1 } fitted)
            {
                parts.Add(Markup.Of($"""<path class="fit" d="{Path(frame, fitted, Y)}"/>"""));
            }

            if (Steady(rise) is double steady)
            {
                Interval ci = rise.RiseSteadyC.Ci95 ?? new(rise.RiseSteadyC.Value!.Value, rise.RiseSteadyC.Value!.Value);
                double half = ci.Width / 2;
                parts.Add(
                    Markup.Of(
                        $"""<path class="fit" d="M{frame.Right + 4} {Y(steady - half)}V{Y(steady + half)}M{frame.Right} {Y(steady)}h8"/>"""
                    )
                );
                names.Add((Y(steady), $"{motor.Id} {Format.Number(steady, 0)} °C"));
            }
            else
            {
                names.Add((Y(rise.Readings!.Values[^1]), motor.Id));
            }
        }

        parts.AddRange(Labels(frame, names, top + PanelHeight));
        return Markup.Join(parts);
    }

    private static Markup Times(Frame frame, double bottom)
    {
        double step = Chart.RoundStep(frame.Time.Seconds / (frame.Width / 80));
        List<Markup> parts = [];
        double last = Math.Floor(frame.Time.ToS / step) * step;
        for (double t = Math.Ceiling(frame.Time.FromS / step) * step; t <= frame.Time.ToS; t += step)
        {
            parts.Add(Text(frame.X(t), bottom + 19, "middle", Format.Number(t, step < 1 ? 1 : 0) + (t > last - step / 2 ? " s" : "")));
        }

        return Markup.Join(parts);
    }

    private Markup Onsets(Frame frame, double bottom)
    {
        double free = frame.Left + 110;
        List<Markup> parts = [];
        foreach (FindingOnset onset in _flight.Onsets.Where(o => o.FromS >= _time.FromS && o.FromS <= _time.ToS))
        {
            double x = frame.X(onset.FromS);
            parts.Add(Markup.Of($"""<path class="onset" d="M{x} {Top - 10}V{bottom}"/>"""));
            string name = Name(onset);
            double half = 4 * name.Length,
                at = Math.Max(x, free + half);
            if (at - x < 40 && at + half < frame.Right + 60)
            {
                parts.Add(Text(at, Top - 16, "middle", name, "name"));
                free = at + half + 8;
            }
        }

        return Markup.Join(parts);
    }

    /// <summary>What began, in a few words.</summary>
    internal static string Name(FindingOnset onset) =>
        onset.Code switch
        {
            "hard-knocks" => "first knock",
            "speed-drops" => $"{onset.Motor} drops",
            "order-1-stands-out" => $"{onset.Motor} ×1 up",
            "blade-pass-stands-out" => $"{onset.Motor} blade pass up",
            "looseness" => "half orders up",
            "bearing-tone" => "bearing tone up",
            "steady-line" => "steady line up",
            "broadband" => "broadband up",
            _ => "a finding begins",
        };

    /// <summary>A line through about one reading per five pixels.</summary>
    private static string Path(Frame frame, Series series, Func<double, double> y)
    {
        int every = Math.Max(1, (int)(series.Count * PixelsPerPoint / frame.Width));
        var points = new List<string>();
        for (int i = 0; i < series.Count; i += every)
        {
            if (series.TimeS[i] >= frame.Time.FromS && series.TimeS[i] <= frame.Time.ToS)
            {
                points.Add(FormattableString.Invariant($"{frame.X(series.TimeS[i]):0.#} {y(series.Values[i]):0.#}"));
            }
        }

        return points.Count == 0 ? "" : "M" + string.Join("L", points);
    }

    private static IEnumerable<List<(string Id, double Y)>> Near(List<(string Id, double Y)> all, double within)
    {
        List<(string Id, double Y)> group = [];
        foreach (var one in all.OrderBy(a => a.Y))
        {
            if (group.Count > 0 && one.Y - group[^1].Y > within)
            {
                yield return [.. group.OrderBy(g => g.Id, StringComparer.Ordinal)];
                group = [];
            }

            group.Add(one);
        }

        if (group.Count > 0)
        {
            yield return [.. group.OrderBy(g => g.Id, StringComparer.Ordinal)];
        }
    }

    /// <summary>Names at the right end, moved apart where they would overlap.</summary>
    private static IEnumerable<Markup> Labels(Frame frame, List<(double Y, string Text)> names, double bottom)
    {
        (double Y, string Text)[] sorted = [.. names.OrderBy(n => n.Y)];
        double[] at = [.. sorted.Select(n => n.Y)];
        for (int i = 1; i < at.Length; i++)
        {
            at[i] = Math.Max(at[i], at[i - 1] + LineHeight);
        }

        // Names that were moved past the bottom move up again.
        for (int i = at.Length - 1; i >= 0; i--)
        {
            at[i] = Math.Min(at[i], i == at.Length - 1 ? bottom : at[i + 1] - LineHeight);
        }

        return sorted.Select((n, i) => Markup.Of($"{Text(frame.Right + 12, at[i] + 5, "start", n.Text, "name")}"));
    }

    private static Markup Text(double x, double y, string anchor, string text, string kind = "soft") =>
        Markup.Of($"""<text class="{kind}" x="{x}" y="{y}" text-anchor="{anchor}">{text}</text>""");

    /// <summary>The time axis that all parts share.</summary>
    private sealed record Frame(double Left, double Right, TimeInterval Time)
    {
        internal double Width => Right - Left;

        internal double X(double timeS) => Left + Width * Math.Clamp((timeS - Time.FromS) / Time.Seconds, 0, 1);
    }
}
