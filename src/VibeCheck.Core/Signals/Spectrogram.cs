using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Signals;

/// <summary>Spectral density of the acceleration over time, all three axes summed: how the lines of a flight move.</summary>
public sealed record Spectrogram
{
    private const double WindowS = 1;

    /// <summary>Centre of each window, s on the IMU clock, rising. Windows do not reach over gaps.</summary>
    public required double[] TimeS { get; init; }

    /// <summary>Spacing of the bins, Hz.</summary>
    public required double ResolutionHz { get; init; }

    /// <summary>Density, (m/s²)²/Hz, one row a window; bin k lies at k · <see cref="ResolutionHz"/>.</summary>
    /// <remarks>Single precision: it is for pictures and for finding what moves, and a long flight has many rows.</remarks>
    public required IReadOnlyList<float[]> Density { get; init; }

    /// <summary>Bins a row.</summary>
    public int Bins => Density.Count == 0 ? 0 : Density[0].Length;

    /// <summary>The spectrogram of a whole track: Hann windows of about a second, half overlapped.</summary>
    /// <param name="imu">The track.</param>
    /// <returns>Empty when no block of the track is as long as a window.</returns>
    public static Spectrogram Of(ImuTrack imu)
    {
        ArgumentNullException.ThrowIfNull(imu);
        int length = Math.Max(16, 1 << (int)Math.Round(Math.Log2(imu.RateHz * WindowS)));
        WelchPlan plan = new(Window.Hann, length, length / 2, imu.RateHz);
        List<(double MiddleS, int First)> windows = [];
        foreach (ContiguousSegment block in imu.Blocks)
        {
            for (int first = 0; first + length <= block.SampleCount; first += plan.Step)
            {
                windows.Add((block.StartS + (first + length / 2.0) * block.PeriodS, block.FirstSample + first));
            }
        }

        float[][] rows = new float[windows.Count][];
        Parallel.For(
            0,
            Environment.ProcessorCount,
            part =>
            {
                WelchAverage average = new(plan, []);
                double[] density = new double[plan.Bins];
                for (int w = part; w < rows.Length; w += Environment.ProcessorCount)
                {
                    rows[w] = Row(average, imu, windows[w].First, plan, density);
                }
            }
        );
        return new()
        {
            TimeS = [.. windows.Select(w => w.MiddleS)],
            ResolutionHz = plan.ResolutionHz,
            Density = rows,
        };
    }

    private static float[] Row(WelchAverage average, ImuTrack imu, int first, WelchPlan plan, double[] density)
    {
        average.Clear();
        foreach (double[] axis in imu.Acceleration)
        {
            average.Add(axis.AsSpan(first, plan.Length));
        }

        // The mean of the windows added, times their number, is the sum over the axes.
        int axes = average.WindowCount;
        float[] row = new float[plan.Bins];
        if (axes > 0)
        {
            average.FillDensity(density);
            for (int k = 0; k < row.Length; k++)
            {
                row[k] = (float)(axes * density[k]);
            }
        }

        return row;
    }
}
