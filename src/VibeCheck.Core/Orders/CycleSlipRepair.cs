using Tuning = VibeCheck.Core.Orders.OrderTuning.CycleSlips;

namespace VibeCheck.Core.Orders;

/// <summary>Repair of cycle slips: where the residual shows that a phase slipped a turn or is lost, the passes start again from other
/// phases, and stay with what fits better.</summary>
internal static class CycleSlipRepair
{
    /// <summary>Repairs a solution as long as that helps.</summary>
    /// <param name="settled">The solution; taken over.</param>
    /// <param name="first">Correction before any pass, rad, [rotor][sample].</param>
    /// <param name="estimator">Estimates the noise.</param>
    /// <returns>The best solution, with all samples gone through once more at its phases.</returns>
    internal static PhaseSolution Of(PhaseSolution settled, double[][] first, NoiseEstimator estimator)
    {
        PhaseSolution now = settled;
        RotorPhases phases = now.Demodulated.Phases;
        for (int round = 0; round < Tuning.MostRounds && now.HasSlips; round++)
        {
            (PhaseSolution? better, phases) = Better(now, first, estimator);
            if (better is null)
            {
                break;
            }

            now.Demodulated.Dispose();
            now = better;
        }

        DemodulatedSegment old = now.Demodulated;
        old.Dispose();
        return now with { Demodulated = DemodulatedSegment.Of(old.Segment, old.Lines, phases, old.Workspace), Variance = WithoutLost(now) };
    }

    /// <summary>The first solution from another starting point that is better; null when none is. And the phases that it, or else the
    /// one before, stands at.</summary>
    /// <remarks>Each start is reached from the phases before it, not from those of the solution: a sum of corrections differs from
    /// their total by rounding, which the fit enlarges to 1e-8 of a level.</remarks>
    private static (PhaseSolution? Better, RotorPhases Phases) Better(PhaseSolution before, double[][] first, NoiseEstimator estimator)
    {
        DemodulatedSegment from = before.Demodulated;
        (IReadOnlyList<StartingPoint> starts, RotorPhases phases) = MultiStart.Of(before, first);
        foreach (StartingPoint start in starts)
        {
            var moved = DemodulatedSegment.Of(from.Segment, from.Lines, phases.MovedTo(start.Correction), from.Workspace);
            PhaseSolution after = PhaseRefinement.From(moved, start, before, estimator);
            phases = after.Demodulated.Phases;
            if (IsBetter(after, before))
            {
                return (after, phases);
            }

            after.Demodulated.Dispose();
        }

        return (null, phases.MovedTo(from.Phases.Correction));
    }

    private static bool IsBetter(PhaseSolution after, PhaseSolution before)
    {
        double least = after.HasSlips ? Tuning.LeastFall * Math.Abs(before.NegativeLogLikelihood) : 0;
        return after.NegativeLogLikelihood < before.NegativeLogLikelihood - least;
    }

    /// <summary>Variances of the phases; what no line shows is taken as reported.</summary>
    private static double[][] WithoutLost(PhaseSolution solution) =>
        [.. solution.Variance.Select((own, rotor) => solution.IsLost(rotor) ? new double[own.Length] : own)];
}
