namespace VibeCheck.Core.Orders;

/// <summary>Phases and envelopes that the passes settled on, and what they leave.</summary>
internal sealed record PhaseSolution
{
    /// <summary>The segment demodulated at these phases; whoever replaces the solution disposes it.</summary>
    internal required DemodulatedSegment Demodulated { get; init; }

    /// <summary>Variance of each rotor's angle, rad², [rotor][sample].</summary>
    internal required double[][] Variance { get; init; }

    /// <summary>Noise at every line.</summary>
    internal required NoiseEstimate Noise { get; init; }

    /// <summary>Envelopes of the lines.</summary>
    internal required EnvelopeFit Envelopes { get; init; }

    /// <summary>Twice the negative log-likelihood, but for a constant.</summary>
    internal required double NegativeLogLikelihood { get; init; }

    /// <summary>How fast the reported angles were found to go astray, rad² a second.</summary>
    internal required double ProcessNoise { get; init; }

    /// <summary>The worst half second of the residual over the median one.</summary>
    internal required double Roughness { get; init; }

    /// <summary>Whether the residual shows that a phase slipped or is lost.</summary>
    internal bool HasSlips => Roughness > OrderTuning.CycleSlips.Smooth || Noise.Excess > OrderTuning.CycleSlips.MostExcess;

    /// <summary>Whether no line shows the angle of a rotor.</summary>
    internal bool IsLost(int rotor) => Variance[rotor].Average() > OrderTuning.Phase.LostVariance;
}
