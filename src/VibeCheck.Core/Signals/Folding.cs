namespace VibeCheck.Core.Signals;

/// <summary>Where a line is seen when the sample rate is too low for it.</summary>
public static class Folding
{
    /// <summary>The frequency at which a line shows, 0 to half the rate: its distance to the nearest multiple of the rate.</summary>
    /// <param name="hz">True frequency, Hz.</param>
    /// <param name="rateHz">Sample rate, Hz, above 0.</param>
    public static double SeenHz(double hz, double rateHz) => Math.Abs(hz - Math.Round(hz / Require.Positive(rateHz)) * rateHz);
}
