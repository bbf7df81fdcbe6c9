using System.Text;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Tests.Text;

/// <summary>Dates, times and numbers as people and spreadsheets write them.</summary>
public sealed class LocalTextTests
{
    [Theory]
    [InlineData("1.5.2026 12:00:00", 2026, 5, 1, 12, 0, 0.0)]
    [InlineData("01.05.2026 12:00:00,250", 2026, 5, 1, 12, 0, 0.25)]
    [InlineData("31-12-2026 23:59:59.5", 2026, 12, 31, 23, 59, 59.5)]
    [InlineData("31/12/2026 08:30:00", 2026, 12, 31, 8, 30, 0.0)]
    [InlineData("12/31/2026 08:30:00", 2026, 12, 31, 8, 30, 0.0)]
    [InlineData("5/1/2026 1:02:03 PM", 2026, 5, 1, 13, 2, 3.0)]
    [InlineData("5/1/2026, 12:00:00.5 am", 2026, 5, 1, 0, 0, 0.5)]
    [InlineData("5/1/2026 12:00 p.m.", 2026, 5, 1, 12, 0, 0.0)]
    [InlineData("2026-05-01 01:02:03.004 PM", 2026, 5, 1, 13, 2, 3.004)]
    public void A_local_date_is_read(string text, int year, int month, int day, int hour, int minute, double second)
    {
        Assert.True(StampText.TryRead(Encoding.UTF8.GetBytes(text), out long ticks, out double rest, out bool hasDate));
        Assert.True(hasDate);
        DateTime expected = new DateTime(year, month, day, hour, minute, 0, DateTimeKind.Utc).AddSeconds(second);
        Assert.Equal(expected.Ticks / 1e7, ticks / 1e7 + rest, 1e-5);
    }

    [Theory]
    [InlineData("1:02:03 PM", 13 * 3600 + 2 * 60 + 3)]
    [InlineData("12:00:01 AM", 1)]
    [InlineData("12:00:01 pm", 12 * 3600 + 1)]
    [InlineData("11:59:59pm", 86399)]
    public void A_clock_of_twelve_hours_is_read(string text, double seconds)
    {
        Assert.True(StampText.TryRead(Encoding.UTF8.GetBytes(text), out long ticks, out _, out bool hasDate));
        Assert.False(hasDate);
        Assert.Equal(seconds, ticks / 1e7, 1e-9);
    }

    [Theory]
    [InlineData("13:00:00 PM")]
    [InlineData("0:30:00 am")]
    [InlineData("32.1.2026 12:00:00")]
    [InlineData("1.13.2026 12:00:00")]
    [InlineData("13/13/2026 12:00:00")]
    [InlineData("1.5.26 12:00:00")]
    [InlineData("1.5.2026")]
    [InlineData("1.5-2026 12:00:00")]
    [InlineData("spam")]
    public void Text_that_is_no_time_is_refused(string text) =>
        Assert.False(StampText.TryRead(Encoding.UTF8.GetBytes(text), out _, out _, out _));

    [Theory]
    [InlineData("1,234.5", '.', 1234.5, true)]
    [InlineData("1.234,5", ',', 1234.5, true)]
    [InlineData("1'234.5", '.', 1234.5, true)]
    [InlineData("1 234,5", ',', 1234.5, true)]
    [InlineData("1\u00a0234,5", ',', 1234.5, true)]
    [InlineData("-12,345,678", '.', -12345678, true)]
    [InlineData("3,245", '.', 3245, false)]
    public void A_number_with_marks_between_thousands_is_read(string text, char mark, double value, bool clear)
    {
        Assert.True(NumberText.TryReadGrouped(Encoding.UTF8.GetBytes(text), (byte)mark, out bool isClear, out double read));
        Assert.Equal((value, clear), (read, isClear));
    }

    [Theory]
    [InlineData("1,23.5")]
    [InlineData("1,2345.5")]
    [InlineData("1234,567.5")]
    [InlineData(",234.5")]
    [InlineData("1,234'567.5")]
    [InlineData("1,234.5x")]
    public void Marks_elsewhere_are_no_number(string text) =>
        Assert.False(NumberText.TryReadGrouped(Encoding.UTF8.GetBytes(text), (byte)'.', out _, out _));
}
