using System.Globalization;

namespace VibeCheck.Tests;

/// <summary>Checks that a run under another culture and time zone really uses them; compiled into every test project.</summary>
public sealed class TestCultureTests
{
    // Comma as decimal mark in German: Unicode CLDR, de, decimal.
    [Fact]
    public async Task Numbers_are_written_as_the_run_asks_on_every_thread()
    {
        string expected = TestCulture.Asked is string asked
            ? CultureInfo.GetCultureInfo(asked).NumberFormat.NumberDecimalSeparator
            : CultureInfo.InstalledUICulture.NumberFormat.NumberDecimalSeparator;
        Assert.Equal($"1{expected}5", 1.5.ToString(CultureInfo.CurrentCulture));
        Assert.Equal(
            $"1{expected}5",
            await Task.Run(() => 1.5.ToString(CultureInfo.CurrentCulture), TestContext.Current.CancellationToken)
        );

        // Where the runtime has no culture data, a run under another culture would test nothing.
        Assert.Equal("1,5", 1.5.ToString(CultureInfo.GetCultureInfo("de-DE")));
    }

    // New Zealand is at UTC+12, in summer +13: IANA time zone database, Pacific/Auckland.
    [Fact]
    public void The_time_zone_is_the_one_asked_for()
    {
        DateTime winter = new(2026, 6, 30, 12, 0, 0, DateTimeKind.Utc);
        TimeZoneInfo auckland = TimeZoneInfo.FindSystemTimeZoneById("Pacific/Auckland");
        Assert.Equal(TimeSpan.FromHours(12), auckland.GetUtcOffset(winter));
        if (Environment.GetEnvironmentVariable("TZ") == auckland.Id)
        {
            Assert.Equal(TimeSpan.FromHours(12), TimeZoneInfo.Local.GetUtcOffset(winter));
        }
    }
}
