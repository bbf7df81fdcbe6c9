using VibeCheck.Core.Quality;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests.Quality;

public sealed class RatesAgreementTests
{
    // 180/π is 35.2 dB. Rates written in degrees per second explain the whole difference; where the columns of the rates are in place of
    // the acceleration, the acceleration falls by nearly as much, and the rates change by the change of the rotors.
    [Theory]
    [InlineData(-35.2, 0.5, false)]
    [InlineData(-32.0, -28.5, true)]
    [InlineData(20.0, 0.5, true)]
    public void Another_unit_of_the_rates_excuses_a_difference_only_where_the_rates_make_it(
        double differenceDb,
        double accelerationDb,
        bool isWithheld
    )
    {
        QualityIssue? issue = RatesAgreement.Judge(
            new RatesChange(differenceDb, 0.3, 24, accelerationDb),
            c => new RatesDisagree(c.Db, c.Lines)
        );
        Assert.Equal(isWithheld, issue?.Effect == QualityEffect.Withheld);
    }
}
