using Tuning = VibeCheck.Core.Orders.OrderTuning.Phase;

namespace VibeCheck.Core.Orders;

/// <summary>Brings the rotor angles of a segment from what was reported to what the vibration shows: envelopes of all lines and phases
/// of all rotors by turns (expectation maximisation).</summary>
/// <remarks>How well a phase is known decides how much a line counts: at first only low orders stay coherent along it, and higher ones
/// come in as it gets better, so that none is caught a turn off.</remarks>
internal static class PhaseRefinement
{
    /// <summary>Refines all phases; those of rotors that stay lost a second time, whose only lines may be of high order.</summary>
    /// <param name="demodulated">The segment; taken over.</param>
    /// <param name="noise">Noise at every line.</param>
    /// <param name="estimator">Estimates it again.</param>
    /// <param name="mostProcessNoise">Largest process noise thought possible, rad² a second.</param>
    internal static PhaseSolution Of(DemodulatedSegment demodulated, NoiseEstimate noise, NoiseEstimator estimator, double mostProcessNoise)
    {
        int[] all = [.. Enumerable.Range(0, demodulated.Rotors)];
        double[][] variance = [.. all.Select(_ => new double[demodulated.Segment.EnvelopeCount])];
        PhaseSolution first = Settle(demodulated, With(variance, all, Tuning.FirstVariance), noise, null, estimator, mostProcessNoise);
        int[] lost = [.. all.Where(first.IsLost)];
        return lost.Length == 0
            ? first
            : Settle(
                first.Demodulated,
                With(first.Variance, lost, Tuning.SecondVariance),
                first.Noise,
                first.Envelopes,
                estimator,
                mostProcessNoise
            );
    }

    /// <summary>Refines phases from a starting point.</summary>
    /// <param name="demodulated">The segment at the starting point; taken over.</param>
    /// <param name="start">The starting point.</param>
    /// <param name="before">The solution that it is to improve on.</param>
    /// <param name="estimator">Estimates the noise.</param>
    internal static PhaseSolution From(
        DemodulatedSegment demodulated,
        StartingPoint start,
        PhaseSolution before,
        NoiseEstimator estimator
    ) =>
        Settle(
            demodulated,
            With(before.Variance, start.Rotors, start.Variance),
            before.Noise,
            before.Envelopes,
            estimator,
            OrderTuning.CycleSlips.ProcessNoiseGrowth * before.ProcessNoise
        );

    private static PhaseSolution Settle(
        DemodulatedSegment at,
        double[][] variance,
        NoiseEstimate noise,
        EnvelopeFit? envelopes,
        NoiseEstimator estimator,
        double mostProcessNoise
    )
    {
        double before = double.PositiveInfinity;
        for (int pass = 1; ; pass++)
        {
            envelopes = EnvelopeFit.Of(at, variance, noise, LinearSplineBasis.NoTime, OrderTuning.Envelopes.PassRounds, envelopes);
            using EnvelopeSet lines = envelopes.Envelopes();
            using var residual = Residual.Of(at, lines);
            noise = estimator.Of(residual);
            PhaseEstimate estimate = PhaseEstimator.Of(at, lines, residual, noise, mostProcessNoise);
            if (estimate.IsSolved)
            {
                DemodulatedSegment old = at;
                at = old.Rotated(estimate.Step, withSpeeds: true);
                old.Dispose();
                variance = estimate.Variance;
            }

            at.Workspace.PassDone();
            double now = variance.Sum(v => v.Average());
            if (pass == Tuning.MostPasses || (estimate.Moved < Tuning.Settled && now > (1 - Tuning.Settled) * before))
            {
                return new PhaseSolution
                {
                    Demodulated = at,
                    Variance = variance,
                    Noise = noise,
                    Envelopes = envelopes,
                    NegativeLogLikelihood = residual.NegativeLogLikelihood(noise.Variance),
                    ProcessNoise = estimate.ProcessNoise,
                    Roughness = residual.Roughness(noise.Variance, at.Segment.EnvelopeS),
                };
            }

            before = now;
        }
    }

    private static double[][] With(double[][] variance, int[] rotors, double value) =>
        [.. variance.Select((own, rotor) => rotors.Contains(rotor) ? [.. Enumerable.Repeat(value, own.Length)] : own)];
}
