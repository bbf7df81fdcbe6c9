namespace VibeCheck.Core.Flights.Hovers;

/// <summary>Means of the IMU's channels in the cells of a grid.</summary>
internal sealed class CellMeans
{
    private readonly int[] _cellOfSample;
    private readonly int[] _samples;

    internal CellMeans(ImuTrack imu, HoverGrid grid)
    {
        Imu = imu;
        _samples = new int[grid.Count];
        _cellOfSample = new int[imu.Count];
        foreach (ClockBlock block in imu.Blocks)
        {
            for (int i = block.FirstSample; i < block.FirstSample + block.SampleCount; i++)
            {
                int cell = Math.Clamp((int)((block.TimeOf(i) - grid.StartS) / HoverGrid.CellS), 0, grid.Count - 1);
                _cellOfSample[i] = cell;
                _samples[cell]++;
            }
        }
    }

    internal ImuTrack Imu { get; }

    internal bool[] HasSamples => Array.ConvertAll(_samples, n => n > 0);

    internal double[]? TurnRadps() => Imu is { RateXRadps: { } x, RateYRadps: { } y, RateZRadps: { } z } ? Size(x, y, z) : null;

    /// <summary>Length of the vector of the three means.</summary>
    internal double[] Size(double[] x, double[] y, double[] z)
    {
        double[] mx = Mean(x), my = Mean(y), mz = Mean(z);
        double[] size = new double[mx.Length];
        for (int cell = 0; cell < size.Length; cell++)
        {
            size[cell] = Math.Sqrt(mx[cell] * mx[cell] + my[cell] * my[cell] + mz[cell] * mz[cell]);
        }

        return size;
    }

    /// <summary>Mean square of the step from sample to sample, all axes: vibration without gravity and slow motion, m²/s⁴.</summary>
    internal double[] Roughness()
    {
        double[] sums = new double[_samples.Length];
        foreach (double[] axis in Imu.Acceleration)
        {
            foreach (ClockBlock block in Imu.Blocks)
            {
                for (int i = block.FirstSample + 1; i < block.FirstSample + block.SampleCount; i++)
                {
                    double step = axis[i] - axis[i - 1];
                    sums[_cellOfSample[i]] += double.IsFinite(step) ? step * step : 0;
                }
            }
        }

        return PerSample(sums);
    }

    private double[] Mean(double[] samples)
    {
        double[] sums = new double[_samples.Length];
        for (int i = 0; i < samples.Length; i++)
        {
            sums[_cellOfSample[i]] += samples[i];
        }

        return PerSample(sums);
    }

    private double[] PerSample(double[] sums)
    {
        for (int cell = 0; cell < sums.Length; cell++)
        {
            sums[cell] = _samples[cell] == 0 ? double.NaN : sums[cell] / _samples[cell];
        }

        return sums;
    }
}
