using System.Globalization;
using Spectre.Console;
using Spectre.Console.Testing;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Console;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Tests.Console;

public sealed class SummaryTests
{
    public static TheoryData<string, bool> Summaries =>
        new()
        {
            { "improved", false },
            { "improved", true },
            { "no-survey", false },
            { "not-comparable", false },
            { "flight", false },
            { "flight", true },
            { "wide", false },
            { "no-hover", false },
            { "no-hover", true },
            { "life", false },
            { "life", true },
        };

    [Fact]
    public void Every_column_with_a_remark_is_named_beyond_those_that_are_listed_too()
    {
        ColumnRecord[] columns =
        [
            new("time_s", "time", "s", "header", 0, 1, 1),
            .. Enumerable.Range(1, 14).Select(i => new ColumnRecord($"temp{i}", null, "C", "a temperature of no motor", 0, 1, 1)),
        ];
        using var output = new StringWriter();
        VibeCheck.Reports.Tables.ReadingTable.Write(
            new FileRecord
            {
                Path = "log.csv",
                Rows = 2,
                RowsUnusable = 0,
                Columns = columns,
            },
            output
        );
        string text = output.ToString();
        Assert.Contains("  temp10: a temperature of no motor", text, StringComparison.Ordinal);
        Assert.Contains("  Not used either: temp11, temp12, temp13, temp14. The JSON gives the reason", text, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Summaries))]
    public void The_words_and_columns_are_approved_and_fit_80_columns(string name, bool plain)
    {
        string text = Text(name, plain);
        Assert.All(text.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
        Assert.All(text.Split('\n'), line => Assert.Equal(line.TrimEnd(), line));
        Golden.Holds($"console-{name}{(plain ? "-plain" : "")}", text);
    }

    [Theory]
    [MemberData(nameof(Summaries))]
    public void At_no_width_does_a_table_break_or_a_word_get_cut(string name, bool plain)
    {
        HashSet<string> words = [.. Enumerable.Range(0, 3).SelectMany(i => Words(Text(name, plain, 80 + 60 * i)))];
        foreach (int width in (int[])[45, 50, 57, 63, 70, 77, 78, 79, 80, 81, 96, 110, 114, 130, 160, 200])
        {
            string text = Text(name, plain, width);
            Assert.All(text.Split('\n'), line => Assert.True(line.Length <= width, $"{line.Length} of {width}: {line}"));
            if (width >= 80)
            {
                Assert.All(Words(text), word => Assert.Contains(word, words));
            }
        }
    }

    [Fact]
    public void An_unknown_split_has_no_unit()
    {
        History history = Examples.Life with
        {
            Stages = [Examples.Life.Stages[0] with { Split = Estimate.Unknown(new SpinsUnknown()) }, .. Examples.Life.Stages.Skip(1)],
        };
        var console = new TestConsole();
        console.Profile.Width = 200;
        HistorySummary.Write(history, console, plain: true);
        Assert.Contains("split not known.", console.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("not known %", console.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void No_two_columns_of_the_motors_have_the_same_heading()
    {
        string headings = Text("flight", false)
            .Split('\n')
            .Single(line => line.Contains("rpm", StringComparison.Ordinal) && line.Contains("Load "));
        Assert.Distinct(headings.Split("  ", StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries));
    }

    [Fact]
    public void A_wide_terminal_is_used()
    {
        Assert.DoesNotContain("×4", Text("flight", plain: false, 80), StringComparison.Ordinal);
        Assert.True(Text("improved", plain: false, 130).Split('\n').Max(l => l.Length) > 100);
    }

    private static IEnumerable<string> Words(string text) =>
        text.Split([' ', '\n'], StringSplitOptions.RemoveEmptyEntries).Where(w => !w.StartsWith('─'));

    [Theory]
    [MemberData(nameof(Summaries))]
    public void A_decimal_comma_culture_changes_nothing(string name, bool plain)
    {
        string expected = Text(name, plain);
        CultureInfo was = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo("de-DE");
            Assert.Equal(expected, Text(name, plain));
        }
        finally
        {
            CultureInfo.CurrentCulture = was;
        }
    }

    [Fact]
    public void Colour_comes_with_a_terminal_that_has_it_and_not_without()
    {
        Assert.Contains("\u001b[", Ansi(ColorSystem.TrueColor, plain: false), StringComparison.Ordinal);
        Assert.DoesNotContain("38;2", Ansi(ColorSystem.NoColors, plain: false), StringComparison.Ordinal);
        Assert.DoesNotContain("\u001b", Ansi(ColorSystem.TrueColor, plain: true), StringComparison.Ordinal);
    }

    [Fact]
    public void The_plain_words_hold_no_drawn_lines_and_no_typographic_minus() =>
        Assert.DoesNotMatch("[─│▼▲●−×→]", Text("improved", plain: true));

    [Fact]
    public void A_terminal_without_unicode_gets_letters()
    {
        var console = new TestConsole().Width(80);
        console.Profile.Capabilities.Unicode = false;
        ComparisonSummary.Write(Examples.Improved, console);
        Assert.DoesNotMatch("[─│▼▲●−×→]", console.Output);
        Assert.Contains("v improved", console.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Text_from_files_cannot_control_the_terminal()
    {
        const string Hostile = "[red]x[/] \u001b[2J\u202E";
        var console = new TestConsole().Width(80).EmitAnsiSequences();
        ComparisonSummary.Write(Examples.Improved with { NextSteps = [new LookAtWhatGotWorse([Hostile])] }, console);
        FlightSummary.Write(
            Examples.Before with
            {
                Findings =
                [
                    new Finding(
                        "code",
                        Severity.Act,
                        Hostile,
                        new HalfOrdersStandOut(Hostile, [new LockedLine(Hostile, 1.5, Estimate.Around(1, 0.1), 9)])
                    ),
                ],
            },
            console
        );
        Assert.DoesNotContain("\u001b[2J", console.Output, StringComparison.Ordinal);
        Assert.DoesNotContain('\u202E', console.Output);
        Assert.Contains("[red]x[/]", console.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void The_page_and_the_console_say_the_same_sentence()
    {
        foreach (Comparison comparison in new[] { Examples.Improved, Examples.NoSurvey, Examples.NotComparable })
        {
            var console = new TestConsole().Width(80);
            ComparisonSummary.Write(comparison, console);
            string first = console.Output[..console.Output.IndexOf("\n\n", StringComparison.Ordinal)].Replace('\n', ' ');
            Assert.Equal(VerdictText.Sentence(comparison).Replace('\u2212', '-'), first);
        }
    }

    [Fact]
    public void Motors_are_listed_clockwise_from_the_nose_whatever_the_order_of_the_airframe_file()
    {
        var console = new TestConsole().Width(80);
        ComparisonSummary.Write(
            Examples.Improved with
            {
                Motors = [.. Examples.Improved.Motors.Reverse()],
                Airframe = Examples.Hexa with { Motors = [.. Examples.Hexa.Motors.Reverse()] },
            },
            console
        );
        int[] places = [.. Enumerable.Range(1, 6).Select(i => console.Output.IndexOf($"\n  M{i} ", StringComparison.Ordinal))];
        Assert.Equal(places.Order(), places);
        Assert.True(places[0] > 0);
    }

    private static string Text(string name, bool plain, int width = 80)
    {
        var console = new TestConsole().Width(width);
        console.Profile.Capabilities.Unicode = true;
        switch (name)
        {
            case "improved":
                ComparisonSummary.Write(Examples.Improved, console, plain);
                break;
            case "no-survey":
                ComparisonSummary.Write(Examples.NoSurvey, console, plain);
                break;
            case "not-comparable":
                ComparisonSummary.Write(Examples.NotComparable, console, plain);
                break;
            case "life":
                HistorySummary.Write(Examples.Life, console, plain);
                break;
            default:
                FlightSummary.Write(
                    name == "flight" ? Examples.Before
                        : name == "wide" ? Examples.Wide
                        : Examples.NoHover,
                    console,
                    plain
                );
                break;
        }

        return console.Output;
    }

    private static string Ansi(ColorSystem colours, bool plain)
    {
        var console = new TestConsole().Width(80).Colors(colours).EmitAnsiSequences();
        ComparisonSummary.Write(Examples.Improved, console, plain);
        return console.Output;
    }
}
