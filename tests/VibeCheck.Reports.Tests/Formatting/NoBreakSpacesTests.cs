using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Tests.Formatting;

public sealed class NoBreakSpacesTests
{
    [Theory]
    [InlineData("fell by 4.3 dB (3.4 to 5.2), from 2.54 m/s² to 1.56 m/s².", "fell by 4.3~dB (3.4~to~5.2), from 2.54~m/s² to~1.56~m/s².")]
    [InlineData("a share of 12 % of it", "a share of 12~% of it")]
    [InlineData("settles 7.6 °C cooler", "settles 7.6~°C cooler")]
    [InlineData("in 3 stages", "in 3 stages")]
    public void A_number_is_never_separated_from_its_unit_at_the_end_of_a_line(string sentence, string bound) =>
        Assert.Equal(bound.Replace('~', '\u00A0'), NoBreakSpaces.Insert(sentence));
}
