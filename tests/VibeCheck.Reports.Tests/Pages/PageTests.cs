using System.Collections.Concurrent;
using System.Globalization;
using System.Text.RegularExpressions;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Pages;

namespace VibeCheck.Reports.Tests.Pages;

public sealed class PageTests
{
    private const string Hostile = "<script>alert('1')</script>\"><img src=x onerror=\"alert(2)\">&amp;\u202Egnp\u0000";

    private static readonly ConcurrentDictionary<string, string> _drawn = new();

    public static TheoryData<string> Pages => ["improved", "no-survey", "not-comparable", "flight", "wide", "no-hover", "octo", "life"];

    [Theory]
    [MemberData(nameof(Pages))]
    public void A_page_asks_for_nothing_from_outside(string name)
    {
        string html = Html(name);
        Assert.DoesNotMatch(
            new Regex(@"(src|href|action)\s*=\s*(?![""']?(#|data:image/png;base64,))", RegexOptions.IgnoreCase),
            WithoutStyle(html)
        );
        Assert.DoesNotMatch(new Regex(@"url\((?!#|data:)"), html);
        Assert.DoesNotContain("<script", html, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("@import", html, StringComparison.Ordinal);
        Assert.Contains("default-src 'none'", html, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Pages))]
    public void A_page_never_shows_NaN_or_infinity(string name)
    {
        string html = WithoutStyle(Html(name));
        Assert.DoesNotContain("NaN", html, StringComparison.Ordinal);
        Assert.DoesNotContain("Infinity", html, StringComparison.Ordinal);
        Assert.DoesNotContain("∞", html, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Pages))]
    public void Every_id_occurs_once_and_every_reference_has_a_target(string name)
    {
        string html = Html(name);
        string[] ids = [.. Regex.Matches(html, "\\sid=\"([^\"]+)\"").Select(m => m.Groups[1].Value)];
        Assert.Equal(ids.Distinct().Count(), ids.Length);
        Assert.All(Regex.Matches(html, @"url\(#([^)]+)\)"), m => Assert.Contains(m.Groups[1].Value, ids));
    }

    [Theory]
    [MemberData(nameof(Pages))]
    public void Elements_are_closed_in_order(string name)
    {
        string[] empty = ["meta", "br", "img", "!DOCTYPE"];
        var open = new Stack<string>();
        foreach (Match tag in Regex.Matches(WithoutStyle(Html(name)), @"<(/?)([!A-Za-z][A-Za-z0-9]*)[^>]*?(/?)>"))
        {
            string element = tag.Groups[2].Value;
            if (tag.Groups[1].Length > 0)
            {
                Assert.Equal(open.Pop(), element);
            }
            else if (tag.Groups[3].Length == 0 && !empty.Contains(element))
            {
                open.Push(element);
            }
        }

        Assert.Empty(open);
    }

    [Fact]
    public void The_same_result_gives_the_same_page_in_any_culture()
    {
        string plain = Draw("improved");
        CultureInfo was = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = CultureInfo.DefaultThreadCurrentCulture = CultureInfo.GetCultureInfo("de-DE");
            Assert.Equal(plain, Draw("improved"));
        }
        finally
        {
            CultureInfo.CurrentCulture = was;
            CultureInfo.DefaultThreadCurrentCulture = null;
        }
    }

    [Fact]
    public void Text_from_files_stays_text()
    {
        string html =
            Rendered.Html(s => ComparisonPage.Write(Poisoned(), s)) + Rendered.Html(s => FlightPage.Write(Poisoned(Examples.Before), s));
        Assert.DoesNotContain("<script", html, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("<img", html, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain('\u202E', html);
        Assert.DoesNotContain('\0', html);
        Assert.Contains("&lt;script&gt;alert(&#39;1&#39;)&lt;/script&gt;", html, StringComparison.Ordinal);
        Assert.Contains("&amp;amp;", html, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("no-bolts")]
    [InlineData("no-survey")]
    [InlineData("not-comparable")]
    [InlineData("flight")]
    [InlineData("wide")]
    [InlineData("no-hover")]
    public void The_words_of_a_page_are_approved(string name) => Golden.Holds("page-" + name, Rendered.Words(Html(name)));

    [Fact]
    public void The_survey_comes_with_the_shims_it_calls_for_where_the_bolts_are_known()
    {
        string words = Rendered.Words(Html("improved"));
        Assert.Contains("Shims that the as-found readings call for", words, StringComparison.Ordinal);
        Assert.Matches(@"\nM3 \| shim \| [^\n]*right-\w+ 0\.\d", words);
        Assert.DoesNotContain("call for", Rendered.Words(Html("no-bolts")), StringComparison.Ordinal);
    }

    [Fact]
    public void A_yaw_trim_that_only_the_tilts_as_left_predict_is_drawn()
    {
        Estimate unknown = Estimate.Unknown(new NotMeasured());
        using var page = new MemoryStream();
        ComparisonPage.Write(
            Examples.Improved with
            {
                YawTrim = new YawTrimChange(unknown, unknown, unknown, Estimate.Around(0.0015, 0.0060), YawTrimSource.Rpm),
            },
            page
        );
        string words = Rendered.Words(System.Text.Encoding.UTF8.GetString(page.ToArray()));
        Assert.Contains("Tilts: predicted by the survey.", words, StringComparison.Ordinal);
    }

    [Fact]
    public void The_life_of_an_airframe_shows_each_metric_with_its_work_and_calls()
    {
        string html = Html("life"),
            words = Rendered.Words(html);
        string[] metrics =
        [
            "Vibration from the rotors, m/s² rms",
            "Hottest motor, steady rise, °C",
            "Hottest ESC, steady rise, °C",
            "Motors, hottest minus coolest, °C",
            "Yaw trim, speed split, %",
        ];
        Assert.All(metrics, m => Assert.Equal(2, Regex.Count(html, Regex.Escape($"aria-label=\"{m}, stage by stage\""))));
        string vibration = html[
            html.IndexOf("aria-label=\"Vibration from the rotors", StringComparison.Ordinal)..html.IndexOf(
                "aria-label=\"Hottest motor, steady rise, °C, stage",
                StringComparison.Ordinal
            )
        ];
        Assert.Contains(">▼ −5.9 dB", vibration, StringComparison.Ordinal);
        Assert.Contains(">● −0.2 dB", vibration, StringComparison.Ordinal);
        Assert.Contains(
            ">not known",
            html[
                html.IndexOf("aria-label=\"Hottest ESC, steady rise, °C, stage", StringComparison.Ordinal)..html.IndexOf(
                    "aria-label=\"Motors, hottest minus",
                    StringComparison.Ordinal
                )
            ],
            StringComparison.Ordinal
        );
        Assert.Contains("\nshims on M1, M3 and M5, 2026-04-02\n", words, StringComparison.Ordinal);
        Assert.Contains("New propellers, 2026-09-03: no clear change", words, StringComparison.Ordinal);
        Assert.Contains("The last stage against the first", words, StringComparison.Ordinal);
    }

    [Fact]
    public void The_answer_comes_first_and_cautions_are_on_the_page()
    {
        string words = Rendered.Words(Html("improved"));
        Assert.InRange(words.IndexOf("The shims helped: ", StringComparison.Ordinal), 0, 200);
        Assert.Contains("battery out, propellers off", words, StringComparison.Ordinal);
        Assert.Contains("away from people", words, StringComparison.Ordinal);
        Assert.Contains("Local rules, the maker's limits and licensed persons", words, StringComparison.Ordinal);
    }

    [Fact]
    public void A_page_with_fine_spectra_of_three_axes_stays_below_a_megabyte_and_a_half()
    {
        // 0.05 Hz up to 2 kHz: finer than any flight log allows.
        FlightAnalysis Fine(FlightAnalysis f) =>
            f with
            {
                Spectra =
                [
                    .. f.Spectra.Select(s =>
                        s with
                        {
                            ResolutionHz = 0.05,
                            Density = [.. Enumerable.Range(0, 40_001).Select(k => s.Density[k % 2001])],
                        }
                    ),
                ],
            };
        string html = Rendered.Html(s =>
            ComparisonPage.Write(Examples.Improved with { Before = [Fine(Examples.Before)], After = [Fine(Examples.After)] }, s)
        );
        Assert.InRange(html.Length, 100_000, 1_500_000);
    }

    // Pages do not change, so each is made once for all tests.
    internal static string Html(string name) => _drawn.GetOrAdd(name, Draw);

    private static string Draw(string name) =>
        name switch
        {
            "improved" => Rendered.Html(s => ComparisonPage.Write(Examples.Improved, s)),
            "no-bolts" => Rendered.Html(s =>
                ComparisonPage.Write(Examples.Improved with { Airframe = Examples.Hexa with { Bolts = null } }, s)
            ),
            "no-survey" => Rendered.Html(s => ComparisonPage.Write(Examples.NoSurvey, s)),
            "not-comparable" => Rendered.Html(s => ComparisonPage.Write(Examples.NotComparable, s)),
            "flight" => Rendered.Html(s => FlightPage.Write(Examples.Before, s)),
            "wide" => Rendered.Html(s => FlightPage.Write(Examples.Wide, s)),
            "no-hover" => Rendered.Html(s => FlightPage.Write(Examples.NoHover, s)),
            "octo" => Rendered.Html(s => ComparisonPage.Write(Examples.Improved with { Airframe = Examples.Octo }, s)),
            "life" => Rendered.Html(s => HistoryPage.Write(Examples.Life, s)),
            _ => throw new ArgumentOutOfRangeException(nameof(name), name, "no such page"),
        };

    private static string WithoutStyle(string html) =>
        html[..html.IndexOf("<style>", StringComparison.Ordinal)] + html[(html.IndexOf("</style>", StringComparison.Ordinal) + 8)..];

    private static Comparison Poisoned() =>
        Examples.Improved with
        {
            Title = Hostile,
            Airframe = Poisoned(Examples.Hexa),
            Reasons = [new NoHoverInFlights([Hostile])],
            NextSteps = [new LookAtWhatGotWorse([Hostile])],
            Conditions =
            [
                new Condition(
                    ConditionKind.MotorsInLog,
                    new MotorSets([
                        [Hostile],
                    ]),
                    new MotorSets([
                        [Hostile],
                    ]),
                    true,
                    new SomeWithoutTelemetry([Hostile], GroupIsKnown: true)
                ),
            ],
            Motors = [.. Examples.Improved.Motors.Select((m, i) => i == 0 ? m with { Id = Hostile } : m)],
            Before = [Poisoned(Examples.Before)],
            After = [Poisoned(Examples.After)],
        };

    private static Airframe Poisoned(Airframe airframe) =>
        airframe with
        {
            Name = Hostile,
            Motors = [.. airframe.Motors.Select((m, i) => i == 0 ? m with { Id = Hostile } : m)],
        };

    private static FlightAnalysis Poisoned(FlightAnalysis flight) =>
        flight with
        {
            Airframe = Poisoned(flight.Airframe),
            Hover = flight.Hover with { Why = new FlightWithoutTelemetry(Hostile) },
            Motors = [.. flight.Motors.Select((m, i) => i == 0 ? m with { Id = Hostile } : m)],
            Findings =
            [
                .. flight.Findings.Select(f =>
                    f with
                    {
                        Motor = Hostile,
                        Cause = new HalfOrdersStandOut(Hostile, [new LockedLine(Hostile, 1.5, Estimate.Around(1, 0.1), 9)]),
                    }
                ),
            ],
            Warnings = [new FlightWarning(Hostile, new SpeedsMissing([Hostile]))],
            Peaks = [.. flight.Peaks.Select(p => p with { Assigned = [new MotorOrder(Hostile, 1)] })],
            Input = flight.Input with
            {
                Imu = flight.Input.Imu with { Path = Hostile, Columns = [new ColumnRecord(Hostile, Hostile, Hostile, Hostile, 0, 1, 1)] },
            },
        };
}
