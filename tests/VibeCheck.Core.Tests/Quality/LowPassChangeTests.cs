using VibeCheck.Core.Quality;

namespace VibeCheck.Core.Tests.Quality;

/// <summary>Detects a filter that only one of two recorders has, from the noise floor alone.</summary>
public class LowPassChangeTests
{
    // Magnitude in dB of scipy 1.10.1 signal.butter(2, 0.4), signal.butter(4, 0.5) and a mean of five samples (signal.freqz), in bands of a
    // sixth of an octave from 0.04 of the sample rate.
    private static readonly double[] SecondOrder =
    [
        .. (double[])[0, -0.01, -0.01, -0.02, -0.03, -0.04, -0.07, -0.11, -0.18, -0.29, -0.47],
        .. (double[])[-0.76, -1.23, -1.97, -3.1, -4.73, -6.96, -9.88, -13.64, -18.59, -25.69],
    ];

    private static readonly double[] FourthOrder =
    [
        .. (double[])[0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0],
        .. (double[])[-0.01, -0.04, -0.11, -0.35, -1.15, -3.47, -8.4, -15.91, -25.97, -40.25],
    ];

    private static readonly double[] MeanOfFive =
    [
        .. (double[])[-0.56, -0.7, -0.89, -1.13, -1.43, -1.82, -2.33, -2.98, -3.85, -5, -6.57],
        .. (double[])[-8.81, -12.25, -18.57, -41.49, -18.21, -13.58, -12.07, -12.95, -17.57, -39.62],
    ];

    [Theory]
    [InlineData(0)]
    [InlineData(3)]
    [InlineData(-3)]
    public void The_loss_of_order_1_in_a_second_order_filter_is_found_even_where_wind_changed_the_lowest_band(double windDb)
    {
        LowPassChange filter = Through(SecondOrder, windDb)!.Value;
        Assert.Equal(-0.585, filter.Db(0.134), tolerance: 0.45);
        Assert.Equal(-0.170, filter.Db(0.1), tolerance: 0.3);
    }

    [Fact]
    public void A_steep_filter_leaves_the_orders_below_it_alone()
    {
        LowPassChange filter = Through(FourthOrder, windDb: 0)!.Value;
        Assert.Equal(-0.007, filter.Db(0.134), tolerance: 0.1);
        Assert.Equal(FourthOrder[^1], filter.Db(0.04 * Math.Pow(2, 20 / 6.0)), tolerance: 1.5);
    }

    [Fact]
    public void A_filter_in_the_first_flight_shows_with_the_other_sign()
    {
        LowPassChange filter = Through([.. SecondOrder.Select(db => -db)], windDb: 0)!.Value;
        Assert.Equal(0.585, filter.Db(0.134), tolerance: 0.45);
    }

    [Fact]
    public void A_floor_with_the_zeros_of_a_moving_average_is_not_treated_as_a_low_pass() => Assert.Null(Through(MeanOfFive, windDb: 0));

    /// <param name="filterDb">Change of the floor in bands of a sixth of an octave from 0.04 of the sample rate, dB.</param>
    /// <param name="windDb">Additional change of the floor below 0.06 of the sample rate, dB.</param>
    private static LowPassChange? Through(double[] filterDb, double windDb)
    {
        IEnumerable<double> Change(double from, double to)
        {
            int band = (int)Math.Round(6 * Math.Log2(Math.Sqrt(from * to) / 0.04));
            double db = 1.5 + filterDb[Math.Clamp(band, 0, filterDb.Length - 1)] + (Math.Sqrt(from * to) < 0.06 ? windDb : 0);
            return [db - 0.3, db, db + 0.3];
        }

        return LowPassChange.Through(Change, filterDb[^1]);
    }
}
