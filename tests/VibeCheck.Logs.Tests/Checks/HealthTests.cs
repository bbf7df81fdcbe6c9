using VibeCheck.Core.Tracks;
using static VibeCheck.Logs.Tests.MadeLog;

namespace VibeCheck.Logs.Tests.Checks;

/// <summary>Faults of the data are detected, without false alarms.</summary>
public sealed class HealthTests : IDisposable
{
    private const string WideHeader = "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,M1_rpm,M2_rpm\n";

    private readonly MadeLog _log = new();

    public void Dispose() => _log.Dispose();

    [Fact]
    public void Healthy_record_has_no_warnings()
    {
        FileRecord reading = Read((i, t) => [Shake(i, t, 0), Shake(i, t, 1), Shake(i, t, 2) - 9.80665]);
        Assert.Empty(reading.Warnings);
        Assert.Contains("gravity reads negative on z: z points down", reading.Form);
    }

    [Fact]
    public void Clipping_is_counted_by_sample()
    {
        int truth = Enumerable.Range(0, 5000).Count(i => Math.Abs(Shake(i, i / 500.0, 0)) >= 1.5);
        FileRecord reading = Read((i, t) => [Math.Clamp(Shake(i, t, 0), -1.5, 1.5), Shake(i, t, 1), Shake(i, t, 2) - 9.80665]);
        Warning only = Assert.Single(reading.Warnings);
        Assert.Equal("clipping", only.Code);
        Assert.Equal(truth, reading.ClippedSamples);
        Assert.StartsWith(
            FormattableString.Invariant($"acc_x: {truth} samples are at the end of the range (-1.5 to 1.5 m/s²)"),
            only.Text,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Frozen_channel_is_reported_with_its_time()
    {
        FileRecord reading = Read((i, t) => [Shake(i, t, 0), i is > 2000 and < 2400 ? 0.123 : Shake(i, t, 1), Shake(i, t, 2) - 9.80665]);
        Warning only = Assert.Single(reading.Warnings);
        Assert.Equal("channel-frozen", only.Code);
        Assert.StartsWith("acc_y does not change for 0.80 s from 4.00 s on", only.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Steps_coarser_than_the_vibration_are_reported()
    {
        FileRecord reading = Read(
            (i, t) => [Math.Round(Shake(i, t, 0, 0.06) / 0.5) * 0.5 + (i % 10 == 0 ? 0.5 : 0), Shake(i, t, 1), Shake(i, t, 2) - 9.80665]
        );
        Warning only = Assert.Single(reading.Warnings);
        Assert.Equal("coarse-steps", only.Code);
        Assert.StartsWith("acc_x is logged in steps of 0.5 m/s²", only.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0, "gravity-missing")]
    [InlineData(2, "gravity-doubled")]
    [InlineData(0.6, "gravity-odd")]
    public void Wrong_or_missing_gravity_is_reported(double gs, string code)
    {
        FileRecord reading = Read((i, t) => [Shake(i, t, 0), Shake(i, t, 1), Shake(i, t, 2) - gs * 9.80665]);
        Assert.Equal(code, Assert.Single(reading.Warnings).Code);
    }

    [Fact]
    public void Swapped_axes_are_reported_and_an_upside_down_one_is_shown()
    {
        FileRecord swapped = Read((i, t) => [Shake(i, t, 0) + 9.80665, Shake(i, t, 1), Shake(i, t, 2)]);
        Assert.Equal("axes-swapped", Assert.Single(swapped.Warnings).Code);
        Assert.StartsWith("Gravity lies along x (9.8", swapped.Warnings[0].Text, StringComparison.Ordinal);
        FileRecord upsideDown = Read((i, t) => [Shake(i, t, 0), Shake(i, t, 1), Shake(i, t, 2) + 9.80665]);
        Assert.Empty(upsideDown.Warnings);
        Assert.Contains("gravity reads positive on z: z points up, or the IMU is mounted upside down", upsideDown.Form);
    }

    [Fact]
    public void Rate_too_low_for_the_rotors_is_reported()
    {
        // 3300 rpm is 55 turns per second; 100 Hz can show up to 50.
        string[] codes = Codes(rateHz: 100, rpm: (i, t) => 3300 + 20 * Math.Sin(t));
        Assert.Equal(["rate-too-low"], codes);
        Assert.Empty(Codes(rateHz: 500, rpm: (i, t) => 3300 + 20 * Math.Sin(t)));
    }

    [Fact]
    public void Telemetry_that_freezes_stops_or_runs_backwards_is_reported()
    {
        Assert.Equal(["telemetry-stale"], Codes(500, (i, t) => t is > 20 and < 25 ? 3300 : 3300 + 20 * Math.Sin(t)));
        Assert.Equal(["telemetry-dropout"], Codes(500, (i, t) => t is > 20 and < 22 ? null : 3300 + 20 * Math.Sin(t)));
        Assert.Equal(["speed-negative"], Codes(500, (i, t) => -3300 - 20 * Math.Sin(t)));
    }

    private FileRecord Read(Func<int, double, double[]> acceleration) =>
        Look(
            _log.Save(
                "imu.csv",
                ImuHeader,
                5000,
                i =>
                {
                    double[] a = acceleration(i, i / 500.0);
                    return $"{i / 500.0:F3},{a[0]:F4},{a[1]:F4},{a[2]:F4}";
                }
            )
        );

    /// <summary>Warning codes for a flight of 40 s with a motor with the given speeds and a healthy one, reported at 20 Hz.</summary>
    private string[] Codes(int rateHz, Func<int, double, double?> rpm)
    {
        int every = rateHz / 20;
        string path = _log.Save(
            "wide.csv",
            WideHeader,
            40 * rateHz,
            i =>
            {
                double t = i / (double)rateHz;
                FormattableString motors = i % every == 0 ? $"{rpm(i, t):0.0},{3250 + 20 * Math.Cos(t):0.0}" : (FormattableString)$",";
                return $"{t:F4},{Shake(i, t, 0):F4},{Shake(i, t, 1):F4},{Shake(i, t, 2) - 9.80665:F4},{FormattableString.Invariant(motors)}";
            }
        );
        return [.. Fly([path], []).Input.Imu.Warnings.Select(w => w.Code).Distinct().Order()];
    }
}
