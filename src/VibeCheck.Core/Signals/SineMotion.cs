namespace VibeCheck.Core.Signals;

/// <summary>A sinusoidal motion: one frequency, told as acceleration, velocity or displacement.</summary>
/// <remarks>v = a/ω, d = a/ω² with ω = 2πf; of a sine the peak is √2 times the rms and peak to peak twice the peak. The default has no
/// frequency and tells nothing; use the factories.</remarks>
public readonly record struct SineMotion
{
    /// <summary>Standard gravity, m/s², exact (SI Brochure).</summary>
    public const double StandardGravityMps2 = 9.80665;

    private SineMotion(double hz, double accelerationRmsMps2)
    {
        Hz = hz;
        AccelerationRmsMps2 = accelerationRmsMps2;
    }

    /// <summary>Frequency, Hz.</summary>
    public double Hz { get; }

    /// <summary>Acceleration, m/s² rms.</summary>
    public double AccelerationRmsMps2 { get; }

    /// <summary>Acceleration, g peak.</summary>
    public double AccelerationPeakG => Math.Sqrt(2) * AccelerationRmsMps2 / StandardGravityMps2;

    /// <summary>Velocity, mm/s rms.</summary>
    public double VelocityRmsMmps => 1e3 * AccelerationRmsMps2 / OmegaRadps;

    /// <summary>Displacement, µm rms.</summary>
    public double DisplacementRmsUm => 1e6 * AccelerationRmsMps2 / (OmegaRadps * OmegaRadps);

    /// <summary>Displacement, µm peak to peak.</summary>
    public double DisplacementPeakToPeakUm => 2 * Math.Sqrt(2) * DisplacementRmsUm;

    private double OmegaRadps => 2 * Math.PI * Hz;

    /// <summary>From acceleration, m/s² rms, at a frequency above 0.</summary>
    public static SineMotion FromAccelerationRmsMps2(double mps2, double hz) => new(Require.Positive(hz), Require.Finite(mps2));

    /// <summary>From acceleration, g peak, at a frequency above 0.</summary>
    public static SineMotion FromAccelerationPeakG(double g, double hz) => FromAccelerationRmsMps2(g * StandardGravityMps2 / Math.Sqrt(2), hz);

    /// <summary>From velocity, mm/s rms, at a frequency above 0.</summary>
    public static SineMotion FromVelocityRmsMmps(double mmps, double hz) => FromAccelerationRmsMps2(1e-3 * mmps * 2 * Math.PI * hz, hz);

    /// <summary>From displacement, µm rms, at a frequency above 0.</summary>
    public static SineMotion FromDisplacementRmsUm(double um, double hz) =>
        FromAccelerationRmsMps2(1e-6 * um * 2 * Math.PI * hz * 2 * Math.PI * hz, hz);
}
