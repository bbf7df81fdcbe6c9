namespace VibeCheck.Core.Signals;

/// <summary>A sinusoidal motion: one frequency, given as acceleration or velocity.</summary>
/// <remarks>v = a/ω with ω = 2πf. The default has no frequency and shows nothing; use the factory.</remarks>
public readonly record struct SineMotion
{
    private SineMotion(double hz, double accelerationRmsMps2)
    {
        Hz = hz;
        AccelerationRmsMps2 = accelerationRmsMps2;
    }

    /// <summary>Frequency, Hz.</summary>
    public double Hz { get; }

    /// <summary>Acceleration, m/s² rms.</summary>
    public double AccelerationRmsMps2 { get; }

    /// <summary>Velocity, mm/s rms.</summary>
    public double VelocityRmsMmps => 1e3 * AccelerationRmsMps2 / OmegaRadps;

    private double OmegaRadps => 2 * Math.PI * Hz;

    /// <summary>From acceleration, m/s² rms, at a frequency above 0.</summary>
    public static SineMotion FromAccelerationRmsMps2(double mps2, double hz) => new(Require.Positive(hz), Require.Finite(mps2));
}
