namespace VibeCheck.Core.Tests;

public sealed class TypedNumberTests
{
    [Theory]
    [InlineData("28.6", 28.6)]
    [InlineData("28,6", 28.6)]
    [InlineData("1,234", 1.234)]
    [InlineData("1.234", 1.234)]
    [InlineData(" 7 ", 7)]
    [InlineData("-0,5", -0.5)]
    [InlineData("\u22120,5", -0.5)]
    [InlineData("+3", 3)]
    [InlineData(",5", 0.5)]
    [InlineData("5.", 5)]
    [InlineData("1,5e3", 1500)]
    [InlineData("2E-2", 0.02)]
    public void A_point_and_a_comma_are_both_decimal_marks(string text, double expected)
    {
        Assert.Equal(TypedNumberForm.Number, TypedNumber.Read(text, out double value));
        Assert.Equal(expected, value);
    }

    [Theory]
    [InlineData("1.234,5")]
    [InlineData("1,234.5")]
    [InlineData("1,234,567")]
    [InlineData("1..2")]
    public void Marks_between_thousands_are_refused(string text) =>
        Assert.Equal(TypedNumberForm.SeveralMarks, TypedNumber.Read(text, out _));

    [Theory]
    [InlineData("")]
    [InlineData("   ")]
    [InlineData("NaN")]
    [InlineData("Infinity")]
    [InlineData("-\u221E")]
    [InlineData("inf")]
    [InlineData("0x1F")]
    [InlineData("1 234")]
    [InlineData("1_000")]
    [InlineData("1'000")]
    [InlineData("28.6mm")]
    [InlineData("e5")]
    [InlineData("1e")]
    [InlineData("--1")]
    [InlineData("1-")]
    [InlineData(".")]
    [InlineData(",")]
    [InlineData("..")]
    [InlineData("(5)")]
    [InlineData("\u0661\u0662")]
    [InlineData("1\0")]
    public void Text_that_is_no_number_is_refused(string text) => Assert.Equal(TypedNumberForm.NotANumber, TypedNumber.Read(text, out _));

    [Theory]
    [InlineData("1e400")]
    [InlineData("-1e999")]
    public void A_number_that_no_double_holds_is_refused(string text) =>
        Assert.Equal(TypedNumberForm.TooLarge, TypedNumber.Read(text, out _));

    [Fact]
    public void A_text_without_end_is_refused() =>
        Assert.Equal(TypedNumberForm.NotANumber, TypedNumber.Read(new string('1', 1_000_000), out _));
}
