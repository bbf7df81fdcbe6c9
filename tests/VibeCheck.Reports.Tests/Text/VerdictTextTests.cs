using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Tests.Text;

public sealed class VerdictTextTests
{
    private static readonly Call _cooler = Examples.Known(
        CallKind.Improved,
        46.2,
        40.1,
        Estimate.Around(-6.1, 1.6),
        "°C",
        "°C",
        new NotMeasured()
    );
    private static readonly Call _hotter = Examples.Known(
        CallKind.Worse,
        40.0,
        43.2,
        Estimate.Around(3.2, 1.0),
        "°C",
        "°C",
        new NotMeasured()
    );

    [Fact]
    public void Improved_says_what_fell_and_by_how_much_without_a_minus() =>
        Assert.Equal(
            "The shims helped: vibration from the rotors fell by 5.9 dB (5.0 to 6.8) and the hottest motor now settles 6.1 °C cooler "
                + "(4.5 to 7.7); "
                + "no clear change: the hottest ESC −0.8 °C (−2.5 to +0.9).",
            VerdictText.Sentence(Examples.Improved)
        );

    [Fact]
    public void Without_a_survey_the_shims_get_no_credit() =>
        Assert.StartsWith(
            "The aircraft improved: ",
            VerdictText.Sentence(Examples.Improved with { Survey = null }),
            StringComparison.Ordinal
        );

    [Fact]
    public void No_clear_change_gives_the_numbers_and_what_is_not_known() =>
        Assert.Equal(
            "No clear change: vibration from the rotors −0.2 dB (−0.9 to +0.5); "
                + "motor temperatures and ESC temperatures are not known.",
            VerdictText.Sentence(Examples.NoSurvey)
        );

    [Fact]
    public void Mixed_sets_the_better_against_the_worse() =>
        Assert.Equal(
            "A mixed result: the hottest motor now settles 6.1 °C cooler (4.5 to 7.7), but the hottest ESC now settles 3.2 °C hotter "
                + "(2.2 to 4.2); "
                + "no clear change: vibration from the rotors −0.2 dB (−0.9 to +0.5).",
            VerdictText.Sentence(Examples.NoSurvey with { Verdict = Verdict.Mixed, MotorTemperature = _cooler, EscTemperature = _hotter })
        );

    [Fact]
    public void Worse_after_a_survey_says_that_the_shims_did_not_help() =>
        Assert.StartsWith(
            "The shims did not help: the hottest ESC now settles 3.2 °C hotter (2.2 to 4.2); ",
            VerdictText.Sentence(Examples.NoSurvey with { Survey = Examples.Survey, Verdict = Verdict.Worse, EscTemperature = _hotter }),
            StringComparison.Ordinal
        );

    [Fact]
    public void Flights_that_cannot_be_compared_say_why() =>
        Assert.Equal("These flights cannot be compared. No hover was found in flight after.", VerdictText.Sentence(Examples.NotComparable));

    [Fact]
    public void A_fault_of_a_log_that_hides_the_vibration_is_in_the_headline() =>
        Assert.EndsWith(
            "vibration is not known, because gravity reads 9.81 m/s² before and 4.90 after: the scale of the accelerometer changed "
                + "between the flights.",
            VerdictText.Sentence(
                Examples.Improved with
                {
                    Vibration = Examples.Improved.Vibration with
                    {
                        Kind = CallKind.Unknown,
                        Change = Estimate.Unknown(new GravityDiffers(9.81, 4.90)),
                        Why = new GravityDiffers(9.81, 4.90),
                    },
                }
            ),
            StringComparison.Ordinal
        );

    [Fact]
    public void A_flight_is_described_by_hover_time_level_and_strongest_line() =>
        Assert.Equal(
            "In 133 s of hover the vibration from the rotors was 3.17 m/s² rms (3.10 to 3.24); the strongest whole order is M3 ×1.",
            VerdictText.Sentence(Examples.Before)
        );

    [Fact]
    public void Motors_that_could_not_be_separated_are_the_strongest_together() =>
        Assert.EndsWith(
            "; the strongest whole order is ×1 of M2 and M4 together.",
            VerdictText.Sentence(Examples.Wide),
            StringComparison.Ordinal
        );

    [Fact]
    public void Where_all_three_are_unknown_it_says_what_is_missing_not_that_nothing_changed() =>
        Assert.Equal(
            "These flights cannot show whether it helped: the log has no rotor speeds; no flight has motor temperatures; no flight has "
                + "ESC temperatures.",
            VerdictText.Sentence(Examples.NoSurvey with { Vibration = Examples.Unknown("m/s²", "dB", new RotorSpeedsNotLogged()) })
        );

    public static TheoryData<Reason, string> Clauses =>
        new()
        {
            { new RotorSpeedsNotLogged(), "the log has no rotor speeds" },
            { new MotorNotInFlight("M6", "after"), "M6 is not in flight after" },
            { new FlightWithoutTemperatures("after", Esc: true), "flight after has no ESC temperatures" },
        };

    [Theory]
    [MemberData(nameof(Clauses))]
    public void A_reason_fits_into_a_sentence(Reason why, string expected)
    {
        FlightAnalysis flight = Examples.Before with { RotorVibrationMps2 = Estimate.Unknown(why) };
        Assert.EndsWith($"is not known: {expected}.", VerdictText.Sentence(flight), StringComparison.Ordinal);
    }

    [Fact]
    public void A_flight_without_hover_says_so() =>
        Assert.Equal(
            "No steady hover was found. The motor command never stays within 10 % of its usual level for 2 s without turning or climbing.",
            VerdictText.Sentence(Examples.NoHover)
        );

    public static TheoryData<Reason> WithoutHover =>
        [
            new NoFlightInVibration(),
            new MotorsNeverRun(HoverSource.Command),
            new NoSteadyHover(2, HoverSource.Rpm, 0.1, HoverCriterion.Load, 0.9),
            new NoHoverWithin(10, 20, 2),
        ];

    [Theory]
    [MemberData(nameof(WithoutHover))]
    public void A_missing_hover_is_mentioned_once(Reason why)
    {
        string text = VerdictText.Sentence(Examples.NoHover with { Hover = new([], why) });
        Assert.StartsWith("No steady hover was found.", text, StringComparison.Ordinal);
        Assert.DoesNotContain("no hover", text, StringComparison.OrdinalIgnoreCase);
    }
}
