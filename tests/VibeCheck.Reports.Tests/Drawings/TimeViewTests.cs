using SkiaSharp;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Figures;
using VibeCheck.Reports.Pages;
using VibeCheck.Reports.Tests.Pages;

namespace VibeCheck.Reports.Tests.Drawings;

/// <summary>The flight over time: frequencies and rotor speeds above, temperatures below.</summary>
public sealed class TimeViewTests
{
    private const double ToHz = 100;

    [Theory]
    [InlineData("hard-knocks", null, "first knock")]
    [InlineData("speed-drops", "M3", "M3 drops")]
    [InlineData("order-1-stands-out", "M3", "M3 ×1 up")]
    [InlineData("blade-pass-stands-out", "M3", "M3 blade pass up")]
    [InlineData("looseness", "M3", "half orders up")]
    [InlineData("bearing-tone", "M3", "bearing tone up")]
    [InlineData("steady-line", null, "steady line up")]
    [InlineData("broadband", null, "broadband up")]
    public void An_onset_in_flight_is_named_by_its_kind(string code, string? motor, string name) =>
        Assert.Equal(name, TimeView.Name(new(code, motor, 60)));

    [Fact]
    public void A_tone_is_the_brightest_row_at_its_frequency_and_a_gap_is_empty()
    {
        // 80 windows of 0.5 s with a tone at 30 Hz, none between 20 and 30 s: row 180 · (1 - 30/100) from the top, whatever the size of the
        // picture.
        Spectrogram spectrogram = Tone([.. Enumerable.Range(0, 80).Select(i => i < 40 ? i * 0.5 : 10 + i * 0.5)]);
        HeatMap map = HeatMap.Of(spectrogram, new(0, 50), ToHz);
        using SKBitmap picture = SKBitmap.Decode(map.Png);

        int column = picture.Width / 5;
        int brightest = Enumerable.Range(0, picture.Height).MaxBy(y => (int)picture.GetPixel(column, y).Red);
        Assert.Equal(1 - 30 / ToHz, (brightest + 0.5) / picture.Height, tolerance: 0.02);
        Assert.True(picture.GetPixel(column, 2).Red < picture.GetPixel(column, brightest).Red / 4);
        Assert.Equal(0, picture.GetPixel(picture.Width / 2, 5).Alpha);
        Assert.True(map.RangeDb.High > map.RangeDb.Low);
    }

    [Fact]
    public void The_drawing_names_rotors_steady_temperatures_and_what_began()
    {
        FlightAnalysis flight = Flown();
        string drawn = TimeView.Of(flight)!.Draw(760).ToString();
        Assert.Contains("href=\"#map\"", drawn, StringComparison.Ordinal);
        Assert.All(flight.Motors, m => Assert.Contains(m.Id, drawn, StringComparison.Ordinal));
        Assert.Contains("M3 ×1 up", drawn, StringComparison.Ordinal);
        double steady = flight.AmbientC!.Value + flight.Motors[0].MotorTemp.RiseSteadyC.Value!.Value;
        Assert.Contains(FormattableString.Invariant($"M1 {steady:0} °C"), drawn, StringComparison.Ordinal);
    }

    [Fact]
    public void A_temperature_axis_spans_ten_degrees_where_the_readings_do_not()
    {
        // Readings from 25 to 26 °C and no fit: ticks of 2 °C over 10 °C, and the line stays within a tenth of the panel's 120.
        FlightAnalysis flight = Flown();
        Series warm = new([0, 20, 39], [25, 25.5, 26]);
        TemperatureRise rise = TemperatureRise.Unknown(flight.Motors[0].MotorTemp.RiseSteadyC.Why ?? new SpeedMissingInHover()) with
        {
            Readings = warm,
        };
        flight = flight with
        {
            Motors =
            [
                .. flight.Motors.Select(m => m with { MotorTemp = rise, EscTemp = TemperatureRise.Unknown(new SpeedMissingInHover()) }),
            ],
        };
        string drawn = TimeView.Of(flight)!.Draw(760).ToString();
        double[] heights =
        [
            .. System
                .Text.RegularExpressions.Regex.Match(drawn, "class=\"reading\" d=\"M([^\"]+)\"")
                .Groups[1]
                .Value.Split('L')
                .Select(p => double.Parse(p.Split(' ')[1], System.Globalization.CultureInfo.InvariantCulture)),
        ];
        Assert.Equal(12, heights.Max() - heights.Min(), tolerance: 0.2);
    }

    [Fact]
    public void The_page_shows_it_once_for_both_widths_and_a_short_record_has_none()
    {
        string page = Rendered.Html(s => FlightPage.Write(Flown(), s));
        Assert.Single(System.Text.RegularExpressions.Regex.Matches(page, "data:image/png;base64,"));
        Assert.Equal(2, System.Text.RegularExpressions.Regex.Count(page, "href=\"#map\""));
        Assert.Contains("M3 ×1 up at 12 s", page, StringComparison.Ordinal);
        Assert.Contains("img-src data:", page, StringComparison.Ordinal);
        Assert.DoesNotContain("The flight over time", Rendered.Html(s => FlightPage.Write(Examples.Before, s)), StringComparison.Ordinal);
    }

    private static FlightAnalysis Flown()
    {
        double[] times = [.. Enumerable.Range(0, 80).Select(i => i * 0.5)];
        return Examples.Before with
        {
            Spectrogram = Tone(times),
            Onsets = [new("order-1-stands-out", "M3", 12)],
            Motors =
            [
                .. Examples.Before.Motors.Select(m =>
                    m with
                    {
                        Rpm = new(times, [.. times.Select(_ => m.RpmMean.Value!.Value)]),
                        MotorTemp = m.MotorTemp with
                        {
                            Readings = new(times, [.. times.Select(t => 21 + t / 4)]),
                            Fitted = new(times, [.. times.Select(t => 21 + t / 4)]),
                        },
                    }
                ),
            ],
        };
    }

    private static Spectrogram Tone(double[] times) =>
        new()
        {
            TimeS = times,
            ResolutionHz = 1,
            Density = [.. times.Select(_ => Enumerable.Range(0, 251).Select(k => k == 30 ? 1f : 1e-4f).ToArray())],
        };
}
