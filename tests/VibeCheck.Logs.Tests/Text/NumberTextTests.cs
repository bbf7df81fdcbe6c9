using System.Globalization;
using System.Text;
using CsCheck;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Tests.Text;

public class NumberTextTests
{
    // The framework's parser is the independent reference: it rounds correctly (IEEE 754).
    [Fact]
    public void Every_double_reads_back_exactly() =>
        Gen.Double.Where(double.IsFinite).Sample(value => Read(value.ToString("R", CultureInfo.InvariantCulture)) == value, iter: 20_000);

    [Fact]
    public void Plain_decimals_read_as_the_framework_reads_them() =>
        Gen.Select(Gen.Long, Gen.Int[0, 18])
            .Sample(
                (digits, places) =>
                {
                    string text = (digits < 0 ? "-" : "") + Decimal(digits, places);
                    return Read(text) == double.Parse(text, CultureInfo.InvariantCulture);
                },
                iter: 20_000
            );

    [Theory]
    [InlineData("1", 1)]
    [InlineData("+2.50", 2.5)]
    [InlineData("-.5", -0.5)]
    [InlineData("3.", 3)]
    [InlineData("1e3", 1000)]
    [InlineData("1.25E-2", 0.0125)]
    [InlineData("0.1", 0.1)]
    [InlineData("179769313486231570000000000000000000000", 1.7976931348623157e38)]
    public void Usual_ways_to_write_a_number(string text, double value) => Assert.Equal(value, Read(text));

    [Theory]
    [InlineData("")]
    [InlineData("-")]
    [InlineData(".")]
    [InlineData("abc")]
    [InlineData("1e999")]
    [InlineData("--1")]
    [InlineData("1,5")]
    [InlineData("0x10")]
    public void Text_that_is_no_number_is_refused(string text) => Assert.True(double.IsNaN(Read(text)));

    [Fact]
    public void Nanoseconds_since_1970_keep_every_digit()
    {
        int at = 0;
        Assert.True(NumberText.TryReadStamp("1777636800123456789"u8, ref at, (byte)'.', out long whole, out _));
        Assert.Equal(1777636800123456789, whole);
    }

    [Theory]
    // ISO 8601 formats; the times follow from the calendar.
    [InlineData("2026-05-01T12:00:00Z", "2026-05-01T12:00:00.0000000")]
    [InlineData("2026-05-01 12:00:00.123456", "2026-05-01T12:00:00.1234560")]
    [InlineData("2026-05-01T14:00:00.5+02:00", "2026-05-01T12:00:00.5000000")]
    [InlineData("2026/05/01 00:00:00,25", "2026-05-01T00:00:00.2500000")]
    [InlineData("2026-05-01T07:30:00-0430", "2026-05-01T12:00:00.0000000")]
    public void Date_and_time_is_read(string text, string instant)
    {
        Assert.True(StampText.TryRead(Encoding.ASCII.GetBytes(text), out long ticks, out _, out bool date));
        Assert.True(date);
        Assert.Equal(instant, new DateTime(ticks).ToString("yyyy-MM-ddTHH:mm:ss.fffffff", CultureInfo.InvariantCulture));
    }

    [Theory]
    [InlineData("12:00:00.250", 43200.25)]
    [InlineData("03:12.5", 192.5)]
    [InlineData("100:00:01", 360001)]
    public void Clock_time_is_read(string text, double seconds)
    {
        Assert.True(StampText.TryRead(Encoding.ASCII.GetBytes(text), out long ticks, out double rest, out bool date));
        Assert.False(date);
        Assert.Equal(seconds, (ticks / 1e7) + rest, 1e-9);
    }

    [Theory]
    [InlineData("2026-13-01T12:00:00")]
    [InlineData("2026-02-30 12:00:00")]
    [InlineData("12:61:00")]
    [InlineData("12.5")]
    [InlineData("2026-05-01")]
    [InlineData("12:00:00 PM?")]
    public void Text_that_is_no_time_is_refused(string text) =>
        Assert.False(StampText.TryRead(Encoding.ASCII.GetBytes(text), out _, out _, out _));

    private static string Decimal(long digits, int places)
    {
        string text = Math.Abs((decimal)digits).ToString(CultureInfo.InvariantCulture).PadLeft(places + 1, '0');
        return places == 0 ? text : text[..^places] + "." + text[^places..];
    }

    private static double Read(string text)
    {
        byte[] bytes = Encoding.ASCII.GetBytes(text);
        int at = 0;
        return NumberText.TryRead(bytes, ref at, (byte)'.', out double value) && at == bytes.Length ? value : double.NaN;
    }
}
