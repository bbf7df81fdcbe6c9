using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;

namespace VibeCheck.Logs.Tests;

/// <summary>RFC 4180, section 2, rule by rule, on a log.</summary>
public sealed class Rfc4180Tests : IDisposable
{
    private const string Header = "time_ms,acc_x_g,acc_y_g,acc_z_g,note";

    private readonly string _path = Path.GetTempFileName();

    public void Dispose() => File.Delete(_path);

    [Theory]
    // Rule 1: each record on a line of its own, ended by CRLF.
    [InlineData(Header, "{0},0.25,-0.5,-1,ok", "\r\n", true)]
    // Rule 2: the last record may or may not end with a line break.
    [InlineData(Header, "{0},0.25,-0.5,-1,ok", "\r\n", false)]
    // Rule 4: spaces are part of a field; around numbers they change nothing.
    [InlineData(Header, "{0}, 0.25 ,-0.5, -1,ok", "\r\n", true)]
    // Rule 5: fields may be quoted.
    [InlineData("\"time_ms\",\"acc_x_g\",\"acc_y_g\",\"acc_z_g\",\"note\"", "\"{0}\",\"0.25\",\"-0.5\",\"-1\",\"ok\"", "\r\n", true)]
    // Rule 6: quoted fields may hold line breaks, quotes and commas.
    [InlineData("time_ms,note,acc_x_g,acc_y_g,acc_z_g", "{0},\"one, two\r\nthree\",0.25,-0.5,-1", "\r\n", true)]
    // Rule 7: a quote in a quoted field is doubled.
    [InlineData("time_ms,note,acc_x_g,acc_y_g,acc_z_g", "{0},\"said \"\"ok\"\", then\",0.25,-0.5,-1", "\n", true)]
    public void Record_is_read(string header, string row, string end, bool lastEnds)
    {
        const int Rows = 60;
        string body = string.Join(
            end,
            Enumerable.Range(0, Rows).Select(i => string.Format(System.Globalization.CultureInfo.InvariantCulture, row, i))
        );
        File.WriteAllText(_path, header + end + body + (lastEnds ? end : ""));
        Flight flight = FlightReader.Read(new([_path], []), ReadOptions.Default, Flights.Hexa, TestContext.Current.CancellationToken);
        Assert.Equal((Rows, 0), (flight.Input.Imu.Rows, flight.Input.Imu.RowsUnusable));
        Assert.Equal(Rows, flight.Imu.Count);
        Assert.Equal(1000, flight.Imu.RateHz, 1e-6);
        Assert.All(flight.Imu.AccXMps2, v => Assert.Equal(0.25 * 9.80665, v, 1e-12));
        Assert.All(flight.Imu.AccYMps2, v => Assert.Equal(-0.5 * 9.80665, v, 1e-12));
    }
}
