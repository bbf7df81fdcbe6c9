using VibeCheck.Core.Orders;

namespace VibeCheck.Core.Tests.Orders;

public sealed class PhasePathSearchTests
{
    private const int Box = 4;

    [Fact]
    public void Angles_with_the_smallest_residual_throughout_are_kept()
    {
        double[][]? joined = PhasePathSearch.Best(
            [Steady(0), Steady(Math.Tau)],
            [
                [1, 1, 1, 1],
                [200, 200, 200, 200],
            ],
            Box
        );

        Assert.Null(joined);
    }

    [Fact]
    public void A_track_one_turn_off_is_chosen_where_its_residual_is_smaller_and_the_angle_continues_without_a_jump()
    {
        double[][]? joined = PhasePathSearch.Best(
            [Steady(0), Steady(Math.Tau + 0.1)],
            [
                [1, 1, 500, 1],
                [900, 1, 1, 1],
            ],
            Box
        );

        Assert.NotNull(joined);
        Assert.All(joined[0], angle => Assert.InRange(angle, 0, 0.11));
        Assert.Equal(0, joined[0][0]);
        Assert.Equal(0.1, joined[0][2 * Box], tolerance: 1e-9);
    }

    [Fact]
    public void Tracks_half_a_turn_apart_are_not_connected()
    {
        double[][]? joined = PhasePathSearch.Best(
            [Steady(0), Steady(Math.PI)],
            [
                [1, 1, 500, 1],
                [900, 1, 1, 1],
            ],
            Box
        );

        Assert.Null(joined);
    }

    [Fact]
    public void A_small_matrix_is_inverted()
    {
        // Hilbert matrix of three rows, whose inverse has integer elements; from memory.
        double[] inverse = new double[9];
        SmallInverse.Of([1, 1 / 2.0, 1 / 3.0, 1 / 2.0, 1 / 3.0, 1 / 4.0, 1 / 3.0, 1 / 4.0, 1 / 5.0], inverse, 3);

        double[] expected = [9, -36, 30, -36, 192, -180, 30, -180, 180];
        Assert.All(expected.Zip(inverse), pair => Assert.Equal(pair.First, pair.Second, tolerance: 1e-9));
    }

    private static double[][] Steady(double angle) =>
        [
            [.. Enumerable.Repeat(angle, 4 * Box)],
        ];
}
