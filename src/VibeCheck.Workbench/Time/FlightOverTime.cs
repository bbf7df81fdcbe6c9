using System.Text.Json;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Figures;

namespace VibeCheck.Workbench.Time;

/// <summary>The data of one flight for the time view of the answer, as JSON for the script of the page.</summary>
internal static class FlightOverTime
{
    private const int MostColumns = 1600,
        MostRows = 320,
        MostReadings = 4000;

    /// <summary>Flights of an answer, before then after.</summary>
    internal static IReadOnlyList<FlightAnalysis> Flights(Comparison whole) => [.. whole.Before, .. whole.After];

    /// <summary>Writes one flight. Its scales cover all flights, so that before and after can be compared.</summary>
    internal static void Write(Comparison whole, int index, Utf8JsonWriter json)
    {
        IReadOnlyList<FlightAnalysis> all = Flights(whole);
        FlightAnalysis flight = all[index];
        double toHz = SpectrumChart.EndHz(all);
        json.WriteStartObject();
        json.WriteNumber("floor_db", HeatGrid.FloorDb);
        Interval range = Range(all, toHz);
        Pair(json, "range_db", range.Low, range.High);
        json.WriteStartArray("colours");
        foreach (string colour in HeatMap.Colours)
        {
            json.WriteStringValue(colour);
        }

        json.WriteEndArray();
        json.WriteNumber("to_hz", toHz);
        WriteSpectrogram(flight, toHz, json);
        WriteSpeedMap(flight, all, toHz, json);
        json.WriteStartArray("hover");
        foreach (TimeInterval part in flight.Hover.Segments)
        {
            json.WriteStartArray();
            json.WriteNumberValue(part.FromS);
            json.WriteNumberValue(part.ToS);
            json.WriteEndArray();
        }

        json.WriteEndArray();
        json.WriteStartArray("onsets");
        foreach (FindingOnset onset in flight.Onsets)
        {
            json.WriteStartObject();
            json.WriteNumber("s", onset.FromS);
            json.WriteString("name", TimeView.Name(onset));
            json.WriteEndObject();
        }

        json.WriteEndArray();
        WriteSeries(json, "speeds", flight.Motors.Select(m => (m.Id, m.Rpm, (double?)null)), 1 / 60.0);
        WriteSeries(json, "motors", flight.Motors.Select(m => (m.Id, m.MotorTemp.Readings, Steady(flight, m.MotorTemp))), 1);
        WriteSeries(json, "escs", flight.Motors.Select(m => (m.Id, m.EscTemp.Readings, Steady(flight, m.EscTemp))), 1);
        WriteHeat(all, json);
        json.WriteEndObject();
    }

    /// <summary>Levels of the darkest and the brightest colour over all flights, dB: the lower quartile and the 99.8 % quantile, rounded
    /// outwards to 5 dB.</summary>
    private static Interval Range(IReadOnlyList<FlightAnalysis> all, double toHz)
    {
        List<float> some = [];
        foreach (var spectrogram in all.Select(f => f.Spectrogram).OfType<Core.Signals.Spectrogram>())
        {
            int bins = Math.Clamp((int)(toHz / spectrogram.ResolutionHz), 1, spectrogram.Bins - 1),
                every = Math.Max(1, spectrogram.Density.Count * bins / 40_000);
            for (int i = 0; i < spectrogram.Density.Count * bins; i += every)
            {
                some.Add(spectrogram.Density[i / bins][1 + i % bins]);
            }
        }

        some.RemoveAll(p => !(p > 0));
        if (some.Count == 0)
        {
            return new(-60, 0);
        }

        some.Sort();
        double low = 5 * Math.Floor(2 * Math.Log10(some[some.Count / 4])),
            high = 5 * Math.Ceiling(2 * Math.Log10(some[(int)(0.998 * (some.Count - 1))]));
        return new(low, Math.Max(low + 10, high));
    }

    private static void WriteSpectrogram(FlightAnalysis flight, double toHz, Utf8JsonWriter json)
    {
        if (flight.Spectrogram is not { TimeS.Length: > 1, Bins: > 1 } spectrogram)
        {
            json.WriteNull("spectrogram");
            return;
        }

        double[] middles = spectrogram.TimeS;
        double half = (middles[1] - middles[0]) / 2,
            from = middles[0] - half,
            seconds = middles[^1] + half - from;
        int bins = Math.Clamp((int)(toHz / spectrogram.ResolutionHz), 1, spectrogram.Bins - 1);

        // Columns are at least as wide as the spacing of the windows, so that only gaps of the log stay empty.
        int columns = Math.Min(MostColumns, Math.Max(1, (int)(seconds / (2 * half))));
        HeatGrid grid = HeatGrid.Of(
            [.. middles.Select(t => (t - from) / seconds)],
            (w, k) => spectrogram.Density[w][k],
            bins,
            columns,
            MostRows
        );
        json.WriteStartObject("spectrogram");
        json.WriteNumber("from_s", from);
        json.WriteNumber("to_s", from + seconds);
        json.WriteNumber("to_hz", bins * spectrogram.ResolutionHz);
        Grid(json, grid);
        json.WriteEndObject();
    }

    /// <summary>One column per 100 rpm between the slowest and the fastest speed of all flights.</summary>
    private static void WriteSpeedMap(FlightAnalysis flight, IReadOnlyList<FlightAnalysis> all, double toHz, Utf8JsonWriter json)
    {
        SpeedFrequencyMap[] maps = [.. all.Select(f => f.SpeedMap).OfType<SpeedFrequencyMap>().Where(m => m.Rpm.Length > 0)];
        if (flight.SpeedMap is not { Rpm.Length: > 0 } map)
        {
            json.WriteNull("speed_map");
            return;
        }

        const double StepRpm = 100;
        double from = maps.Min(m => m.Rpm[0]) - StepRpm / 2,
            to = maps.Max(m => m.Rpm[^1]) + StepRpm / 2;
        int bins = Math.Clamp((int)(toHz / map.ResolutionHz), 1, map.Density[0].Length - 1),
            columns = (int)Math.Round((to - from) / StepRpm);
        double[] places = [.. Enumerable.Range(0, columns).Select(_ => -1.0)];
        int[] rows = [.. map.Rpm.Select(r => (int)((r - from) / StepRpm))];
        for (int i = 0; i < rows.Length; i++)
        {
            places[rows[i]] = (rows[i] + 0.5) / columns;
        }

        HeatGrid grid = HeatGrid.Of(places, (c, k) => map.Density[Array.IndexOf(rows, c)][k], bins, columns, MostRows);
        json.WriteStartObject("speed_map");
        json.WriteNumber("from_rpm", from);
        json.WriteNumber("to_rpm", to);
        json.WriteNumber("to_hz", bins * map.ResolutionHz);
        Grid(json, grid);
        json.WriteEndObject();
    }

    private static void Grid(Utf8JsonWriter json, HeatGrid grid)
    {
        json.WriteNumber("columns", grid.Columns);
        json.WriteNumber("rows", grid.Rows);
        json.WriteBase64String("levels", grid.Levels);
    }

    private static double? Steady(FlightAnalysis flight, TemperatureRise rise) =>
        rise.Fitted is not null && flight.AmbientC is double ambient && rise.RiseSteadyC.Value is double c ? ambient + c : null;

    private static void WriteSeries(
        Utf8JsonWriter json,
        string name,
        IEnumerable<(string Id, Series? Series, double? Steady)> all,
        double factor
    )
    {
        json.WriteStartArray(name);
        foreach ((string id, Series? series, double? steady) in all.Where(s => s.Series is { Count: > 1 }))
        {
            int every = Math.Max(1, series!.Count / MostReadings);
            json.WriteStartObject();
            json.WriteString("id", id);
            if (steady is double c)
            {
                json.WriteNumber("steady_c", Math.Round(c, 2));
            }

            json.WriteStartArray("t");
            for (int i = 0; i < series.Count; i += every)
            {
                json.WriteNumberValue(Math.Round(series.TimeS[i], 3));
            }

            json.WriteEndArray();
            json.WriteStartArray("v");
            for (int i = 0; i < series.Count; i += every)
            {
                json.WriteNumberValue(Math.Round(series.Values[i] * factor, 3));
            }

            json.WriteEndArray();
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    /// <summary>The range of temperatures over all flights, at least 10 °C wide.</summary>
    private static void WriteHeat(IReadOnlyList<FlightAnalysis> all, Utf8JsonWriter json)
    {
        double[] read =
        [
            .. all.SelectMany(f => f.Motors.SelectMany(m => new[] { m.MotorTemp, m.EscTemp }.Select(t => (t.Readings, Steady(f, t)))))
                .Where(t => t.Readings is { Count: > 1 })
                .SelectMany(t => new[] { t.Readings!.Values.Min(), t.Readings.Values.Max(), t.Item2 ?? t.Readings.Values[0] }),
        ];
        if (read.Length == 0)
        {
            json.WriteNull("range_c");
            return;
        }

        double spare = Math.Max(1, (PairChart.LeastSpanC - (read.Max() - read.Min())) / 2);
        Pair(json, "range_c", read.Min() - spare, read.Max() + spare);
    }

    private static void Pair(Utf8JsonWriter json, string name, double low, double high)
    {
        json.WriteStartArray(name);
        json.WriteNumberValue(low);
        json.WriteNumberValue(high);
        json.WriteEndArray();
    }
}
