using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Tests.Text;

/// <summary>A reader is told what false samples in a log leave unknown, although the rotors stay known.</summary>
public sealed class FalseSampleTextTests
{
    [Fact]
    public void Spikes_in_a_log_are_followed_by_what_they_withhold_and_by_what_was_not_checked()
    {
        FlightAnalysis flight = With(new SpikesLeftOut(3812, 180));
        Assert.EndsWith(
            "Repaired. Withheld: total vibration and its parts.",
            Assert.Single(QualityLines.Of(flight)),
            StringComparison.Ordinal
        );
        Assert.EndsWith(
            "Not known, so not checked: half orders, other lines and broadband vibration and knocks.",
            CheckedText.Of(flight),
            StringComparison.Ordinal
        );
        Assert.True(flight.RotorVibrationMps2.IsKnown);
        Assert.All(flight.Accounting!.Parts, p => Assert.False(p.Mps2.IsKnown));
    }

    [Fact]
    public void Filled_samples_withhold_broadband_vibration_and_knocks_and_leave_the_lines_checked()
    {
        FlightAnalysis flight = With(new SamplesFilled(0.02, 0.01));
        Assert.EndsWith("Withheld: broadband vibration and knocks.", Assert.Single(QualityLines.Of(flight)), StringComparison.Ordinal);
        string text = CheckedText.Of(flight);
        Assert.Contains("half orders and other lines,", text, StringComparison.Ordinal);
        Assert.EndsWith("Not known, so not checked: broadband vibration and knocks.", text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_few_spikes_withhold_nothing() =>
        Assert.EndsWith("Repaired.", Assert.Single(QualityLines.Of(With(new SpikesLeftOut(3, 180)))), StringComparison.Ordinal);

    private static FlightAnalysis With(Reason cause)
    {
        VibrationAccount account = new()
        {
            TotalMps2 = Estimate.Around(1, 0.1),
            SensorNoiseMps2 = Estimate.Unknown(new NoTimeAtRest()),
            BandHz = new Interval(10, 200),
            Parts = [.. Enum.GetValues<VibrationPartKind>().Select(k => new VibrationPart(k, Estimate.Around(0.4, 0.1), 0.16))],
            Knocks = new(0, null, 0),
        };
        return QualityEffects.Apply(
            Examples.Before with
            {
                Accounting = account,
            },
            [
                new()
                {
                    Cause = cause,
                    Track = "imu",
                    Effect = QualityEffect.Repaired,
                    Affects = Answers.Vibration,
                },
            ]
        );
    }
}
