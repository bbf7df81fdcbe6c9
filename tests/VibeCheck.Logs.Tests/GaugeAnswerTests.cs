using System.Globalization;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Surveys;

namespace VibeCheck.Logs.Tests;

public sealed class GaugeAnswerTests
{
    private static string Shown(GaugeAnswer a) =>
        string.Join(
            "; ",
            a.Readings.Select(r =>
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{r.LowDeg}-{r.HighDeg} {(r.Side is LowSide side ? side.ToString() : r.Question.ToString())}{(r.Turned ? " turned" : "")}{(r.Knocked ? " knocked" : "")}"
                )
            )
        ) + (a.Note.Length > 0 ? " # " + a.Note : "");

    [Theory]
    [InlineData("0,5 r", "0.5-0.5 Right")]
    [InlineData("0.5 r", "0.5-0.5 Right")]
    [InlineData("0,5r", "0.5-0.5 Right")]
    [InlineData("0,4 r, 0,5 r", "0.4-0.4 Right; 0.5-0.5 Right")]
    [InlineData("0.4r,0.5r # warm", "0.4-0.4 Right; 0.5-0.5 Right # warm")]
    [InlineData("0,4/0,5 l", "0.4-0.5 Left")]
    [InlineData("0, 0", "0-0 Level; 0-0 Level")]
    [InlineData("0; 5 r", "0-0 Level; 5-5 Right")]
    [InlineData("t 0.3 r; k 0.4 r", "0.3-0.3 Right turned; 0.4-0.4 Right knocked")]
    [InlineData("0.4 ?", "0.4-0.4 TrialShim")]
    [InlineData("-0,4", "0.4-0.4 Sign")]
    [InlineData("-0.4 r", "0.4-0.4 Sign")]
    [InlineData("0.0°", "0-0 Level")]
    public void An_answer_is_read_as_it_was_meant(string text, string expected)
    {
        GaugeAnswer answer = GaugeAnswer.Read(text, TiltDirection.Across, hub: false);
        Assert.Null(answer.Problem);
        Assert.Equal(expected, Shown(answer));
    }

    [Theory]
    [InlineData("0, 5 r", "'0, 5' may be one reading of 0.5 or two: type 0.5, or 0; 5 for two.")]
    [InlineData(",5 r", "',5' may be 0.5 or 5: type it with its zero, or without the comma.")]
    [InlineData(
        "0.3,0.4 r",
        "'0.3,0.4' has more than one decimal mark: put a semicolon between readings, each with its side, as 0.4 r; 0.5 r."
    )]
    [InlineData("04 r", "'04' may be 0.4 or 4: type it with its decimal mark.")]
    [InlineData("0.4", "Say which side is low: r/l.")]
    [InlineData("0.4 o", "Say which side is low: r/l.")]
    [InlineData("0.4 level", "Say which side is low: r/l.")]
    [InlineData("44 r", "44° is over 10°: a typing error?")]
    [InlineData("nan r", "'nan' is not an angle: type what the gauge shows, such as 0.4.")]
    [InlineData("1e400 r", "'1e400' is not an angle: type what the gauge shows, such as 0.4.")]
    [InlineData("0.1/0.2/0.3 r", "Type at most two values, as 0.4/0.5.")]
    [InlineData("-0.1/0.1 r", "It flickers about level: type 0, or the larger one with its side.")]
    [InlineData("0.4 r l", "Type an angle and a side, such as 0.4 r.")]
    [InlineData(";", "Type what the gauge shows, such as 0.4 r.")]
    [InlineData("# warm", "Type what the gauge shows, such as 0.4 r.")]
    public void An_ambiguous_or_meaningless_answer_is_asked_about(string text, string problem) =>
        Assert.Equal(problem, GaugeAnswer.Read(text, TiltDirection.Across, hub: false).Problem);

    [Fact]
    public void At_the_hub_t_is_tail_only_where_it_cannot_be_turned()
    {
        Assert.Equal("0.3-0.3 In", Shown(GaugeAnswer.Read("0.3 tail", TiltDirection.Along, hub: true)));
        Assert.Equal("0.3-0.3 Out turned", Shown(GaugeAnswer.Read("t 0.3 nose", TiltDirection.Along, hub: true)));
        Assert.Equal(
            "t may be tail or turned: type tail, or t first for a turned gauge, as t 0.3 nose.",
            GaugeAnswer.Read("0.3 t", TiltDirection.Along, hub: true).Problem
        );
    }
}
