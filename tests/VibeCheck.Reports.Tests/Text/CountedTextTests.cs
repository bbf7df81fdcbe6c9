using System.Text.RegularExpressions;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Tests.Text;

/// <summary>Checks every text of a cause with a count of one and with a count of two.</summary>
public sealed partial class CountedTextTests
{
    // No enum of a cause has more values than this.
    private const int Choices = 12;

    public static TheoryData<string> Causes => [.. MadeCauses.Types.Concat(MadeCauses.ConditionTypes).Select(t => t.FullName!)];

    [Theory]
    [MemberData(nameof(Causes))]
    public void One_thing_is_written_in_the_singular(string type) =>
        Assert.All(Texts(type, 1), t => Assert.DoesNotMatch(OneWithPlural(), t));

    [Theory]
    [MemberData(nameof(Causes))]
    public void Two_things_are_written_in_the_plural(string type) =>
        Assert.All(Texts(type, 2), t => Assert.DoesNotMatch(TwoWithSingular(), t));

    // Tests the patterns themselves: without this, an error in one of them would accept every text.
    [Theory]
    [InlineData("fly another 1 minutes of hover")]
    [InlineData("the log names 1 motors.")]
    [InlineData("It lasts 1 more readings")]
    [InlineData("M1 have no telemetry")]
    [InlineData("M1 stop at 90 °C")]
    [InlineData("flights M1 are short")]
    public void A_false_plural_is_seen(string text) => Assert.Matches(OneWithPlural(), text);

    [Theory]
    [InlineData("Flight M1 and M2 has no telemetry")]
    [InlineData("M1, M2 reports too much")]
    [InlineData("no hover in flight M1 and M2")]
    [InlineData("2 drop by 3 %")]
    public void A_false_singular_is_seen(string text) => Assert.Matches(TwoWithSingular(), text);

    [Theory]
    [InlineData("order 1 is folded; ×1 has 1 °C, 1.0 m/s² and 1 rpm; it lasts 1 minute, 1 more reading shows M1 as it has it")]
    [InlineData("the readings of M1 are false")]
    public void True_singulars_pass(string text) => Assert.DoesNotMatch(OneWithPlural(), text);

    [Theory]
    [InlineData(0, "0 knocks")]
    [InlineData(1, "1 knock")]
    [InlineData(2, "2 knocks")]
    [InlineData(0.6, "1 knock")]
    [InlineData(1.6, "2 knocks")]
    public void A_count_brings_the_form_of_its_noun(double count, string expected) => Assert.Equal(expected, Grammar.Count(count, "knock"));

    [Fact]
    public void A_noun_may_have_a_plural_of_its_own() => Assert.Equal("2 entries", Grammar.Count(2, "entry", "entries"));

    private static string[] Texts(string type, int count)
    {
        Type made = typeof(Reason).Assembly.GetType(type)!;
        IEnumerable<StandIn> all = Enumerable
            .Range(0, Choices)
            .SelectMany(choice =>
                (StandIn[])
                    [
                        new(count, count, count, Flag: false, choice, HasOptional: false),
                        new(count, count, count, Flag: false, choice, HasOptional: true),
                        new(count, count, count, Flag: true, choice, HasOptional: false),
                        new(count, count, count, Flag: true, choice, HasOptional: true),
                    ]
            );
        return [.. all.SelectMany(v => made.IsSubclassOf(typeof(Reason)) ? TextsOf(MadeCauses.Of(made, v)) : TextsOf(made, v)).Distinct()];
    }

    private static IEnumerable<string> TextsOf(Reason cause) =>
        FindingText.Of(cause) is { } finding ? [finding.Text, finding.Evidence, finding.NextCheck] : [ReasonText.Of(cause)];

    private static IEnumerable<string> TextsOf(Type condition, StandIn values) =>
        [ConditionText.Of(MadeCauses.ConditionOf(condition, values))!];

    // "1 minutes"; "1 more readings"; "M1 have"; "flights M1". Not "order 1 is", "×1 has" and "0.1 …".
    [GeneratedRegex(
        @"(?<![Oo]rder |[\w.×−+])1 (more |other |higher )?(?!is\b|has\b|was\b|does\b|as\b|less\b|times\b)[a-z]+s\b"
            + @"|(?<!and |, |of )\bM1 (are|have|were|do|report|repeat|stop|stay|jump|hold|read|turn|change|start|seem)\b"
            + @"|\b(flights|motors) M1(?! and|,)"
    )]
    private static partial Regex OneWithPlural();

    // "M1 and M2 has"; "flight M1 and M2"; "2 drop".
    [GeneratedRegex(
        @"\bM1(,| and) M2 (is|has|was|does|reports|repeats|stops|stays|jumps|holds|reads|turns|changes|starts|seems)\b"
            + @"|\b([Ff]light|motor|[Oo]rder) (M1(,| and) M2|2(,| and) 2)\b"
            + @"|(?<![Oo]rder |[\w.×−+])2 (minute|motor|sample|knock|flight|reading|part|drop(?!-)|drop-out|temperature|order|column|piece)\b"
    )]
    private static partial Regex TwoWithSingular();
}
