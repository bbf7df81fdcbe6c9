using Tuning = VibeCheck.Core.Orders.OrderTuning.Phase;

namespace VibeCheck.Core.Orders;

/// <summary>The order fit of one segment, from samples to the level of every line: the whole pipeline, one step a line.</summary>
/// <param name="Demodulated">The segment at its final phases.</param>
/// <param name="Levels">The level of every line.</param>
internal sealed record SegmentOrders(DemodulatedSegment Demodulated, LineLevel[] Levels)
{
    /// <summary>Fits all orders of all rotors.</summary>
    /// <param name="segment">The samples.</param>
    /// <param name="lines">All lines.</param>
    /// <param name="reported">Angles of all rotors as reported.</param>
    /// <param name="processNoise">How fast these are thought to go astray, rad² a second.</param>
    /// <param name="workspace">Lends the buffers.</param>
    internal static SegmentOrders Of(
        DetrendedSegment segment,
        IReadOnlyList<Line> lines,
        RotorPhases reported,
        double processNoise,
        Workspace workspace
    )
    {
        var estimator = new NoiseEstimator(segment, workspace.Threads);
        var demodulated = DemodulatedSegment.Of(segment, lines, reported, workspace);
        NoiseEstimate noise = estimator.Of(JointFit.Of(demodulated, OrderTuning.Windows.WindowS, OrderTuning.Windows.DiagonalLoading));
        (demodulated, noise) = FirstPhaseCorrection.Of(demodulated, noise, estimator, processNoise);
        double[][] first = demodulated.Phases.Correction;
        double mostProcessNoise = Tuning.MostProcessNoise * processNoise + Tuning.LeastLimit;
        PhaseSolution solution = PhaseRefinement.Of(demodulated, noise, estimator, mostProcessNoise);
        solution = CycleSlipRepair.Of(solution, first, estimator);
        return new SegmentOrders(solution.Demodulated, Envelopes(solution, estimator).Levels());
    }

    /// <summary>The last envelopes, which follow slow time too; the second time with the noise that the first leaves.</summary>
    private static EnvelopeFit Envelopes(PhaseSolution solution, NoiseEstimator estimator)
    {
        EnvelopeFit fit = Fit(solution.Noise, solution.Envelopes);
        using EnvelopeSet lines = fit.Envelopes();
        using var residual = Residual.Of(solution.Demodulated, lines);
        return Fit(estimator.Of(residual), fit);

        EnvelopeFit Fit(NoiseEstimate noise, EnvelopeFit before) =>
            EnvelopeFit.Of(
                solution.Demodulated,
                solution.Variance,
                noise,
                OrderTuning.Envelopes.KnotS,
                OrderTuning.Envelopes.LastRounds,
                before
            );
    }
}
