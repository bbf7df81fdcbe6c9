using VibeCheck.Core.Tracks;
using static VibeCheck.Logs.Tests.MadeLog;

namespace VibeCheck.Logs.Tests.Clocks;

/// <summary>Timestamps as recorders write them become an even clock, and the corrections are reported.</summary>
public sealed class ClockTests : IDisposable
{
    private readonly MadeLog _log = new();

    public void Dispose() => _log.Dispose();

    [Fact]
    public void Clean_stamps_give_no_message()
    {
        FileRecord reading = Look(_log.Save("clean.csv", ImuHeader, 5000, i => Imu(i, i / 500.0, 3 + i / 500.0)));
        Assert.Equal(500, reading.RateHz!.Value, 0.001);
        Assert.Empty(reading.Warnings);
        Assert.Empty(reading.Gaps);
        Assert.Equal(0, reading.RowsUnusable);
    }

    [Theory]
    [InlineData(0.1e-3, false)]
    [InlineData(0.4e-3, false)]
    [InlineData(0.55e-3, true)]
    public void Jitter_is_measured_and_removed(double deviationS, bool told)
    {
        // White jitter at a period of 2 ms: with the larger values some timestamps are earlier than the one before.
        var random = new Random(3);
        double[] wobble =
        [
            .. Enumerable
                .Range(0, 10_000)
                .Select(_ => deviationS * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble())),
        ];
        Flight flight = Fly([_log.Save("jitter.csv", ImuHeader, 10_000, i => Imu(i, i / 500.0, 1 + i / 500.0 + wobble[i]))], []);

        // The slope of a line through n timestamps is uncertain by s √12/(T √n): 1e-6 of the rate at 0.55 ms over 20 s; the tolerance is
        // five times that.
        Assert.Equal(500, flight.Imu.RateHz, 0.0025);
        Assert.Equal(10_000, flight.Imu.Count);
        Assert.Single(flight.Imu.Blocks);
        Assert.Equal(deviationS, flight.Input.Imu.JitterS!.Value, 0.05 * deviationS);
        Assert.Equal(told, flight.Input.Imu.Warnings.Any(w => w.Code == "stamps-wobble"));
        Assert.Equal(1, flight.Imu.StartS, 60e-6);
    }

    [Theory]
    [InlineData(0.1e-3, 100)]
    [InlineData(0.3e-3, 100)]
    [InlineData(0.45e-3, 40)]
    public void Single_samples_lost_under_jitter_are_found_and_filled(double deviationS, int losses)
    {
        var random = new Random(5);
        HashSet<int> lost = [];
        while (lost.Count < losses)
        {
            int at = 100 + random.Next(9800);
            _ = Enumerable.Range(at - 30, 61).Any(lost.Contains) || lost.Add(at);
        }

        int[] kept = [.. Enumerable.Range(0, 10_000).Where(i => !lost.Contains(i))];
        double[] wobble =
        [
            .. kept.Select(_ => deviationS * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble())),
        ];
        Flight flight = Fly(
            [_log.Save("lost.csv", ImuHeader, kept.Length, r => Imu(kept[r], kept[r] / 500.0, kept[r] / 500.0 + wobble[r]))],
            []
        );

        // A loss after a timestamp that was very late may be missed: one of a hundred.
        Assert.InRange(flight.Imu.Count, 9999, 10_000);
        Assert.Equal(500, flight.Imu.RateHz, 0.1);
        Assert.Single(flight.Imu.Blocks);
    }

    [Fact]
    public void Stamps_coarser_than_the_sampling_give_the_rate_all_the_same()
    {
        FileRecord reading = Look(
            _log.Save(
                "coarse.csv",
                ImuHeader.Replace("time_s", "time_ms", StringComparison.Ordinal),
                8000,
                i => $"{Math.Floor(i / 3.2):F0},{Shake(i, i / 3200.0, 0):F4},{Shake(i, i / 3200.0, 1):F4},{-9.8:F4}"
            )
        );
        Assert.Equal(3200, reading.RateHz!.Value, 1);
        Assert.Equal(0, reading.RowsUnusable);
    }

    [Fact]
    public void Counter_that_restarts_in_mid_flight_splits_the_record()
    {
        Flight flight = Fly(
            [_log.Save("reset.csv", ImuHeader, 6000, i => Imu(i, i / 500.0, i < 3500 ? 40 + i / 500.0 : (i - 3500) / 500.0))],
            []
        );
        Assert.Contains(flight.Input.Imu.Warnings, w => w.Code == "clock-reset" && w.Text.StartsWith("1 × ", StringComparison.Ordinal));
        Assert.Equal([3500, 2500], flight.Imu.Blocks.Select(b => b.SampleCount));
        Assert.All(flight.Imu.Blocks, b => Assert.Equal(0.002, b.PeriodS, 1e-7));
        TimeInterval gap = Assert.Single(flight.Input.Imu.Gaps);
        Assert.Equal(1, gap.Seconds, 0.005);
        Assert.Equal(0, flight.Input.Imu.RowsUnusable);
    }

    [Fact]
    public void Bursts_at_full_rate_become_blocks_with_gaps_between()
    {
        // 300 ms at 1 kHz, then 700 ms without samples, twenty times.
        Flight flight = Fly(
            [_log.Save("bursts.csv", ImuHeader, 6000, i => Imu(i, i / 300 + i % 300 / 1000.0, i / 300 + i % 300 / 1000.0))],
            []
        );
        Assert.Equal(20, flight.Imu.Blocks.Count);
        Assert.All(flight.Imu.Blocks, b => Assert.Equal(300, b.SampleCount));
        Assert.Equal(1000, flight.Imu.RateHz, 0.5);
        Assert.Equal(19, flight.Input.Imu.Gaps.Count);
        Assert.All(flight.Input.Imu.Gaps, g => Assert.Equal(0.701, g.Seconds, 0.001));
    }

    [Fact]
    public void Bursts_with_stamps_in_whole_milliseconds_and_jitter_keep_their_rate()
    {
        var random = new Random(8);
        Flight flight = Fly(
            [
                _log.Save(
                    "bursts.csv",
                    ImuHeader,
                    9600,
                    i =>
                        Imu(
                            i,
                            i / 480 + i % 480 / 1600.0,
                            Math.Round(1000 * (i / 480 + i % 480 / 1600.0 + 0.2e-3 * random.NextDouble())) / 1000
                        )
                ),
            ],
            []
        );
        Assert.Equal(20, flight.Imu.Blocks.Count);

        // Whole milliseconds over a burst of 0.3 s determine its rate to 1.5e-4.
        Assert.Equal(1600, flight.Imu.RateHz, 1.0);
    }

    [Fact]
    public void Rows_out_of_order_repeated_or_lost_are_counted_and_the_rest_stays_on_its_clock()
    {
        List<int> order = [.. Enumerable.Range(0, 4000)];
        (order[1000], order[1003]) = (order[1003], order[1000]);
        order.Insert(2001, 2000);
        order.Remove(3000);
        order.RemoveRange(order.IndexOf(3500), 2);
        Flight flight = Fly([_log.Save("rows.csv", ImuHeader, order.Count, r => Imu(order[r], order[r] / 500.0, order[r] / 500.0))], []);
        string[] codes = [.. flight.Input.Imu.Warnings.Select(w => w.Code).Order()];
        Assert.Equal(["rows-repeated", "rows-sorted", "samples-filled"], codes);
        ContiguousSegment block = Assert.Single(flight.Imu.Blocks);
        Assert.Equal(4000, block.SampleCount);
        Assert.Equal(0.002, block.PeriodS, 1e-8);
        foreach (int i in (int[])[500, 1500, 2500, 3200, 3900])
        {
            Assert.Equal(Shake(i, i / 500.0, 0), flight.Imu.AccXMps2[i], 1e-4);
        }

        // The lost samples lie on the wave through their neighbours: 2 m/s² at 40 Hz and 500 Hz, with 0.05 m/s² of noise.
        Assert.Equal(2 * Math.Sin(Math.Tau * 40 * 3000 / 500.0), flight.Imu.AccXMps2[3000], 0.25);
    }

    [Fact]
    public void Rate_that_changes_in_mid_flight_splits_the_record()
    {
        static double Stamp(int i) => i < 4000 ? i / 1000.0 : 4 + (i - 4000) / 500.0;
        Flight flight = Fly([_log.Save("two-rates.csv", ImuHeader, 8000, i => Imu(i, Stamp(i), Stamp(i)))], []);
        Assert.Equal(2, flight.Imu.Blocks.Count);
        Assert.Equal(0.001, flight.Imu.Blocks[0].PeriodS, 1e-5);
        Assert.Equal(0.002, flight.Imu.Blocks[^1].PeriodS, 1e-5);
    }
}
