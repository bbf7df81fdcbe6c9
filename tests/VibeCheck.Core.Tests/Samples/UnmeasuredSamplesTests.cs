using VibeCheck.Core.Samples;

namespace VibeCheck.Core.Tests.Samples;

/// <summary>Cells that hold something other than a measurement are detected; an undamaged log is not changed.</summary>
public class UnmeasuredSamplesTests
{
    private const int Count = 20_000;

    private static double[][] Sound(double step = 0.001)
    {
        var random = new Random(17);
        double Noise() => 0.3 * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble());
        double[] means = [0.2, -0.1, -9.81, 0, 0, 0];
        return
        [
            .. means.Select(
                (mean, axis) =>
                    Enumerable.Range(0, Count).Select(i => Math.Round((mean + Math.Sin(0.8 * i + axis) + Noise()) / step) * step).ToArray()
            ),
        ];
    }

    private static UnmeasuredSamples Mark(double[][] columns) => UnmeasuredSamples.Mark(columns[..3], columns[3..], 500);

    private static int Unknown(double[] column) => column.Count(double.IsNaN);

    [Theory]
    [InlineData(0.0001)]
    [InlineData(0.001)]
    [InlineData(0.0048)]
    [InlineData(0.05)]
    [InlineData(0.5)]
    [InlineData(1.5)]
    public void An_undamaged_log_is_not_changed_in_fine_and_in_coarse_steps(double step)
    {
        double[][] columns = Sound(step);
        UnmeasuredSamples found = Mark(columns);
        Assert.All(columns, c => Assert.Equal(0, Unknown(c)));
        Assert.Equal(0, found.ClippedShares.Max());
        Assert.Null(found.Copies);
    }

    // Noise of 0.2 about a level that moves by one step in 10 s: it stays on a step for seconds, and changes fast between two of them.
    [Fact]
    public void An_axis_that_stays_on_one_coarse_step_for_seconds_was_measured()
    {
        double[][] columns = Sound(0.001);
        var random = new Random(5);
        double Noise() => 0.2 * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble());
        columns[2] = [.. Enumerable.Range(0, Count).Select(i => Math.Round(-9.81 + i / 5000.0 + Noise()))];
        UnmeasuredSamples found = Mark(columns);
        Assert.Equal(0, Unknown(columns[2]));
        Assert.Equal(1, found.Steps[2]);
        Assert.Equal(0.001, found.Steps[0], tolerance: 1e-9);
    }

    [Theory]
    [InlineData(9999)]
    [InlineData(-1)]
    [InlineData(0)]
    [InlineData(255)]
    [InlineData(32767)]
    public void Fillers_in_a_twentieth_of_the_cells_are_found_wherever_they_lie(double filler)
    {
        double[][] columns = Sound();
        var random = new Random(2);
        int put = 0;
        for (int i = 0; i < Count; i++)
        {
            bool now = random.NextDouble() < 0.05;
            columns[0][i] = now ? filler : columns[0][i];
            put += now ? 1 : 0;
        }

        Mark(columns);
        Assert.InRange(Unknown(columns[0]), put, put + 20);
        Assert.Equal(0, Unknown(columns[1]));
    }

    [Fact]
    public void Rows_held_at_random_are_found_one_by_one()
    {
        double[][] columns = Sound();
        var random = new Random(2);
        int held = 0;
        for (int i = 1; i < Count; i++)
        {
            if (random.NextDouble() < 0.2)
            {
                held++;
                Array.ForEach(columns, c => c[i] = c[i - 1]);
            }
        }

        UnmeasuredSamples found = Mark(columns);
        Assert.Equal(held, found.RepeatedRows);
        Assert.All(columns, c => Assert.InRange(Unknown(c), held, held + 3));
    }

    [Fact]
    public void Rows_drawn_along_lines_are_found()
    {
        double[][] columns = Sound();
        for (int i = 1; i + 1 < Count; i += 5)
        {
            Array.ForEach(columns, c => c[i] = Math.Round(500 * (c[i - 1] + c[i + 1])) / 1000);
        }

        Assert.InRange(Mark(columns).StraightRows, Count / 5 - 5, Count / 5 + 5);
    }

    [Fact]
    public void An_axis_frozen_for_a_third_is_marked_for_that_time_and_that_axis_alone()
    {
        double[][] columns = Sound();
        columns[1].AsSpan(9000, 7000).Fill(columns[1][9000]);
        UnmeasuredSamples found = Mark(columns);
        Assert.Equal((6999, 9000), found.Standstills[1]);

        // The few samples elsewhere that happen to have the same value are marked as well.
        Assert.InRange(Unknown(columns[1]), 6999, 7019);
        Assert.Equal(0, Unknown(columns[0]));
    }

    [Fact]
    public void An_axis_that_never_moves_is_dead()
    {
        double[][] columns = Sound();
        Array.Clear(columns[0]);
        Assert.Equal([true, false, false], Mark(columns).Dead);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(-1)]
    public void A_copy_of_an_axis_is_detected_with_either_sign(double sign)
    {
        double[][] columns = Sound();
        columns[1] = Array.ConvertAll(columns[0], v => sign * v);
        Assert.Equal((0, 1), Mark(columns).Copies);
    }

    [Fact]
    public void Spikes_are_removed_and_a_knock_that_rings_is_not()
    {
        double[][] columns = Sound();
        for (int i = 500; i < Count; i += 1000)
        {
            columns[2][i] += 40;
        }

        for (int i = 0; i < 40; i++)
        {
            columns[0][7100 + i] += 30 * Math.Exp(-i / 8.0) * Math.Sin(0.9 * i);
        }

        UnmeasuredSamples found = Mark(columns);
        Assert.Equal(20, found.Spikes);
        Assert.Equal(20, Unknown(columns[2]));
        Assert.Equal(0, Unknown(columns[0]));
    }

    [Theory]
    [InlineData(0.8)]
    [InlineData(1.2)]
    public void Clipping_far_below_full_scale_is_measured_not_taken_for_a_filler(double limit)
    {
        double[][] columns = Sound();
        double share = columns[0].Count(v => Math.Abs(v - 0.2) >= limit) / (double)Count;
        columns[0] = Array.ConvertAll(columns[0], v => Math.Clamp(v, 0.2 - limit, 0.2 + limit));
        UnmeasuredSamples found = Mark(columns);
        Assert.Equal(share, found.ClippedShares[0], 1e-3);
        Assert.Equal(0, Unknown(columns[0]));
    }
}
