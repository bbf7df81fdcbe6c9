using VibeCheck.Core.Quality;
using VibeCheck.Core.Tracks;
using static VibeCheck.Logs.Tests.MadeLog;

namespace VibeCheck.Logs.Tests.Checks;

/// <summary>Lost, repeated, shuffled or filled samples of a log keep their place in time; otherwise no result is given for the
/// vibration.</summary>
public sealed class LostSamplesTests : IDisposable
{
    private readonly MadeLog _log = new();

    public void Dispose() => _log.Dispose();

    private Flight Rows(IEnumerable<int> rows)
    {
        int[] all = [.. rows];
        return Fly([_log.Save("rows.csv", ImuHeader, all.Length, r => Imu(all[r], all[r] / 500.0, all[r] / 500.0))], []);
    }

    private static IEnumerable<int> Kept(double share)
    {
        var random = new Random(9);
        return Enumerable.Range(0, 20_000).Where(_ => random.NextDouble() >= share);
    }

    [Theory]
    [InlineData(0.04)]
    [InlineData(0.1)]
    [InlineData(0.2)]
    [InlineData(0.35)]
    public void Rows_lost_at_random_leave_the_rate_as_it_was_and_the_wave_in_phase(double share)
    {
        Flight flight = Rows(Kept(share));
        Assert.Equal(500, flight.Imu.RateHz, 0.01);
        ContiguousSegment block = Assert.Single(flight.Imu.Blocks);
        double error = 0;
        for (int i = 0; i < block.SampleCount; i++)
        {
            double timeS = block.TimeOf(i);
            error = Math.Max(error, Math.Abs(flight.Imu.AccXMps2[i] - 2 * Math.Sin(Math.Tau * 40 * timeS)));
        }

        // The simulated wave includes noise of 0.05 m/s²; the filled samples follow it as closely, except where many in a row are lost.
        Assert.InRange(error, 0, 0.2);
        QualityIssue issue = Assert.Single(flight.Quality);
        Assert.IsType<SamplesFilled>(issue.Cause);
        Assert.Equal(share, ((SamplesFilled)issue.Cause).Share, 0.02);
        Assert.NotEqual(QualityEffect.Withheld, issue.Effect);
    }

    [Theory]
    [InlineData(0.1, false)]
    [InlineData(10, true)]
    public void Stamps_with_slow_jitter_over_many_rows_do_not_give_the_sample_times(double wobbleRows, bool isWithheld)
    {
        var random = new Random(3);
        double[] stamps =
        [
            .. Enumerable
                .Range(0, 20_000)
                .Select(i =>
                    (i + wobbleRows * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble())) / 500
                ),
        ];
        Flight flight = Fly([_log.Save("wobble.csv", ImuHeader, stamps.Length, r => Imu(r, r / 500.0, stamps[r]))], []);
        Assert.Equal(isWithheld, flight.Quality.Any(q => q is { Cause: RowsOutOfOrder, Effect: QualityEffect.Withheld }));
    }

    [Fact]
    public void A_log_that_lost_half_its_rows_gives_no_result_for_the_vibration()
    {
        Flight flight = Rows(Kept(0.5));
        Assert.Equal(500, flight.Imu.RateHz, 0.01);
        Assert.Equal(QualityEffect.Withheld, Assert.Single(flight.Quality, q => q.Cause is SamplesMissing).Effect);
    }

    [Theory]
    [InlineData(3)]
    [InlineData(300)]
    public void Shuffled_rows_are_sorted_by_their_stamps(int apart)
    {
        var random = new Random(4);
        double[] keys = [.. Enumerable.Range(0, 8000).Select(i => i + apart * random.NextDouble())];
        int[] rows = [.. Enumerable.Range(0, 8000)];
        Array.Sort(keys, rows);
        Flight flight = Rows(rows);
        Assert.Contains(flight.Input.Imu.Warnings, w => w.Code == "rows-sorted");
        Assert.Equal(8000, Assert.Single(flight.Imu.Blocks).SampleCount);
        Assert.All([10, 4000, 7000], i => Assert.Equal(Shake(i, i / 500.0, 0), flight.Imu.AccXMps2[i], 1e-4));
        Assert.Empty(flight.Quality);
    }

    [Fact]
    public void A_block_written_twice_with_its_stamps_is_taken_once()
    {
        Flight flight = Rows([.. Enumerable.Range(0, 4000), .. Enumerable.Range(3500, 4500)]);
        Assert.Equal(8000, Assert.Single(flight.Imu.Blocks).SampleCount);
        Assert.Equal(500, flight.Imu.RateHz, 0.001);
    }

    [Fact]
    public void Stamps_in_whole_milliseconds_at_800_hertz_are_no_losses()
    {
        Flight flight = Fly([_log.Save("ms.csv", ImuHeader, 20_000, i => Imu(i, i / 800.0, Math.Floor(i / 0.8) / 1000))], []);
        Assert.Equal(800, flight.Imu.RateHz, 0.1);
        Assert.Equal(20_000, flight.Imu.Count);
        Assert.Empty(flight.Quality);
    }

    [Fact]
    public void Empty_cells_of_one_axis_are_filled_and_the_other_axes_kept()
    {
        var random = new Random(6);
        bool[] empty = [.. Enumerable.Range(0, 8000).Select(_ => random.NextDouble() < 0.1)];
        Flight flight = Fly(
            [
                _log.Save(
                    "empty.csv",
                    ImuHeader,
                    8000,
                    i =>
                        empty[i]
                            ? (FormattableString)$"{i / 500.0:F6},,{Shake(i, i / 500.0, 1):F4},{Shake(i, i / 500.0, 2) - 9.80665:F4}"
                            : Imu(i, i / 500.0, i / 500.0)
                ),
            ],
            []
        );
        Assert.Equal(8000, flight.Imu.Count);
        Assert.Equal(Shake(5000, 10, 1), flight.Imu.AccYMps2[5000], 1e-4);
        int at = Array.FindIndex(empty, 4000, e => e);
        Assert.Equal(2 * Math.Sin(Math.Tau * 40 * at / 500.0), flight.Imu.AccXMps2[at], 0.2);
        Assert.Equal(0.1, Assert.IsType<SamplesFilled>(Assert.Single(flight.Quality).Cause).Share, 0.02);
    }

    [Fact]
    public void An_axis_frozen_for_a_third_of_the_flight_leaves_that_time_out()
    {
        Flight flight = Fly(
            [
                _log.Save(
                    "frozen.csv",
                    ImuHeader,
                    9000,
                    i =>
                        $"{i / 500.0:F6},{Shake(i, i / 500.0, 0):F4},{Shake(Math.Min(i, 6000), Math.Min(i, 6000) / 500.0, 1):F4},{Shake(i, i / 500.0, 2) - 9.80665:F4}"
                ),
            ],
            []
        );
        Assert.Equal(12, flight.Imu.EndS, 0.01);
        Assert.Equal(6, Assert.IsType<AxisFrozen>(Assert.Single(flight.Quality, q => q.Cause is AxisFrozen).Cause).Seconds, 0.01);
    }

    [Fact]
    public void An_axis_without_a_value_withholds_the_vibration()
    {
        Flight flight = Fly(
            [
                _log.Save(
                    "dead.csv",
                    ImuHeader,
                    8000,
                    i => $"{i / 500.0:F6},0,{Shake(i, i / 500.0, 1):F4},{Shake(i, i / 500.0, 2) - 9.80665:F4}"
                ),
            ],
            []
        );
        QualityIssue issue = Assert.Single(flight.Quality);
        Assert.Equal("acc_x", Assert.IsType<AxisDead>(issue.Cause).Axis);
        Assert.Equal(QualityEffect.Withheld, issue.Effect);
    }

    [Fact]
    public void A_range_far_too_small_withholds_the_vibration()
    {
        static double Clip(double v) => Math.Clamp(v, -1.5, 1.5);
        Flight flight = Fly(
            [
                _log.Save(
                    "clip.csv",
                    ImuHeader,
                    8000,
                    i =>
                        $"{i / 500.0:F6},{Clip(Shake(i, i / 500.0, 0)):F4},{Clip(Shake(i, i / 500.0, 1)):F4},{Clip(Shake(i, i / 500.0, 2)) - 9.80665:F4}"
                ),
            ],
            []
        );
        QualityIssue issue = Assert.Single(flight.Quality, q => q.Cause is RangeExceeded);
        Assert.Equal(QualityEffect.Withheld, issue.Effect);
    }
}
