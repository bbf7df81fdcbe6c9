namespace VibeCheck.Core.Signals;

/// <summary>The parabola through a peak's bin and its two neighbours, and the line that its vertex indicates.</summary>
/// <remarks>J. O. Smith, Spectral Audio Signal Processing (2011), quadratic peak interpolation; the bias that remains for each
/// window is in Gasior and Gonzalez, CERN AB-Note-2004-021.</remarks>
public static class LogParabola
{
    // Nothing measurable lies below this share of a peak; it keeps the logarithm finite.
    private const double Floor = 1e-300;

    /// <summary>Vertex of the parabola through (-1, left), (0, middle), (1, right).</summary>
    /// <param name="left">Ordinate of the bin before, often a logarithm.</param>
    /// <param name="middle">Ordinate of the peak's bin, not below its neighbours.</param>
    /// <param name="right">Ordinate of the bin after.</param>
    /// <returns>Distance from the middle in bins, -½ to ½, and the ordinate there. Three equal ordinates give 0.</returns>
    public static (double Offset, double Height) Vertex(double left, double middle, double right)
    {
        double bend = left - 2 * middle + right;
        double offset = bend == 0 ? 0 : Math.Clamp((left - right) / (2 * bend), -0.5, 0.5);
        return (offset, middle - (left - right) * offset / 4);
    }

    /// <summary>Where a steady line lies and how large it is, from three magnitudes under a known window: the vertex of the
    /// log parabola, its bias taken out by the window's own transform.</summary>
    /// <param name="left">Magnitude of the bin before.</param>
    /// <param name="middle">Magnitude of the peak's bin, above 0.</param>
    /// <param name="right">Magnitude of the bin after.</param>
    /// <param name="window">The window.</param>
    /// <returns>Distance from the middle in bins, and the magnitude that the line would have on a bin.</returns>
    public static (double Offset, double Magnitude) Line(double left, double middle, double right, Window window)
    {
        ArgumentNullException.ThrowIfNull(window);
        double seen = OffsetOf(left, middle, right),
            offset = seen;

        // The parabola's position is nearly the true one, so stepping by the difference closes in within a few rounds.
        for (int i = 0; i < 30; i++)
        {
            double error = OffsetOf(window.Response(offset + 1), window.Response(offset), window.Response(offset - 1)) - seen;
            offset = Math.Clamp(offset - error, -0.5, 0.5);
            if (Math.Abs(error) < 1e-13)
            {
                break;
            }
        }

        return (offset, middle / window.Response(offset));
    }

    private static double OffsetOf(double left, double middle, double right) =>
        Vertex(Math.Log(left + Floor), Math.Log(middle + Floor), Math.Log(right + Floor)).Offset;
}
