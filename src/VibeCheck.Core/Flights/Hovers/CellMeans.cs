using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Hovers;

/// <summary>Means of the IMU's channels in the cells of a grid.</summary>
internal sealed class CellMeans
{
    private readonly ImuTrack _imu;
    private readonly int _cells;

    // Consecutive samples within one cell and one block.
    private readonly List<(int Cell, int First, int End)> _pieces = [];

    /// <param name="imu">The track.</param>
    /// <param name="startS">Start of the first cell, s.</param>
    /// <param name="cells">Number of cells of <see cref="HoverGrid.CellS"/>; the last one includes everything after it.</param>
    internal CellMeans(ImuTrack imu, double startS, int cells)
    {
        _imu = imu;
        _cells = cells;
        foreach (ContiguousSegment block in imu.Blocks)
        {
            Cut(block, startS);
        }
    }

    internal double[]? TurnRadps() => _imu is { RateXRadps: { } x, RateYRadps: { } y, RateZRadps: { } z } ? Size(x, y, z) : null;

    /// <summary>Length of the vector of the three means; NaN in cells without samples or with one that is not a number.</summary>
    internal double[] Size(double[] x, double[] y, double[] z)
    {
        double[] mx = Mean(x),
            my = Mean(y),
            mz = Mean(z);
        double[] size = new double[_cells];
        for (int cell = 0; cell < size.Length; cell++)
        {
            size[cell] = Math.Sqrt(mx[cell] * mx[cell] + my[cell] * my[cell] + mz[cell] * mz[cell]);
        }

        return size;
    }

    /// <summary>Mean square of the step from sample to sample, all axes: vibration without gravity and slow motion, m²/s⁴.</summary>
    internal double[] Roughness()
    {
        double[] roughness = new double[_cells];
        foreach (double[] axis in _imu.Acceleration)
        {
            double[] squares = MeanOf(
                (first, end) =>
                {
                    double sum = 0;
                    for (int i = first + 1; i < end; i++)
                    {
                        double step = axis[i] - axis[i - 1];
                        sum += double.IsFinite(step) ? step * step : 0;
                    }

                    return sum;
                }
            );
            for (int cell = 0; cell < roughness.Length; cell++)
            {
                roughness[cell] += squares[cell];
            }
        }

        return roughness;
    }

    private double[] Mean(double[] samples) =>
        MeanOf(
            (first, end) =>
            {
                double sum = 0;
                foreach (double sample in samples.AsSpan(first, end - first))
                {
                    sum += sample;
                }

                return sum;
            }
        );

    private double[] MeanOf(Func<int, int, double> sumOver)
    {
        double[] sums = new double[_cells];
        int[] counts = new int[_cells];
        foreach ((int cell, int first, int end) in _pieces)
        {
            sums[cell] += sumOver(first, end);
            counts[cell] += end - first;
        }

        for (int cell = 0; cell < sums.Length; cell++)
        {
            sums[cell] = counts[cell] == 0 ? double.NaN : sums[cell] / counts[cell];
        }

        return sums;
    }

    private void Cut(ContiguousSegment block, double startS)
    {
        int end = block.FirstSample + block.SampleCount;
        for (int first = block.FirstSample; first < end; )
        {
            int cell = Math.Clamp((int)((block.TimeOf(first) - startS) / HoverGrid.CellS), 0, _cells - 1);
            double cellEndS = startS + (cell + 1) * HoverGrid.CellS;
            int next = cell == _cells - 1 ? end : block.FirstSample + (int)Math.Ceiling((cellEndS - block.StartS) / block.PeriodS);
            next = Math.Clamp(next, first + 1, end);
            _pieces.Add((cell, first, next));
            first = next;
        }
    }
}
