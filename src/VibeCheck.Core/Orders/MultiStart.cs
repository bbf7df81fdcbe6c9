using System.Numerics;
using Tuning = VibeCheck.Core.Orders.OrderTuning.CycleSlips;

namespace VibeCheck.Core.Orders;

/// <summary>Multi-start: where passes may begin again when they have settled badly.</summary>
/// <remarks>
/// Where two rotors meet, the phase estimate of all samples at once, being linear, may leave an angle a turn behind. Followed sample
/// by sample from either end it need not be (<see cref="PhaseFilter"/>), and the best of what was and both is joined
/// (<see cref="PhasePathSearch"/>). A rotor that is lost altogether has spoilt the envelopes that such a filter rests on; it starts
/// again by itself.
/// </remarks>
internal static class MultiStart
{
    /// <summary>Starting points: the best joined of the phases there are and those followed from either end; these as they are; one
    /// rotor's phase as it was at first, for the rotors that are explained worst.</summary>
    /// <param name="before">What the passes settled on.</param>
    /// <param name="first">Correction before any pass, rad, [rotor][sample].</param>
    /// <returns>The starting points, and the phases that were reached on the way, from which the next are to be reached.</returns>
    internal static (IReadOnlyList<StartingPoint> Starts, RotorPhases Reached) Of(PhaseSolution before, double[][] first)
    {
        DemodulatedSegment demodulated = before.Demodulated;
        double[][] settled = demodulated.Phases.Correction;
        using EnvelopeSet envelopes = before.Envelopes.Envelopes();
        double[] weights = PhaseEstimator.Weights(envelopes, before.Noise);
        double[][][] tracks =
        [
            settled,
            .. Tuning.Trust.SelectMany(trust => Followed(before, envelopes, Array.ConvertAll(weights, w => trust * w))),
        ];
        tracks = [.. tracks.Where(t => Array.TrueForAll(t, angle => double.IsFinite(angle[0]) && double.IsFinite(angle[^1])))];
        int box = Residual.Box(demodulated.Segment.EnvelopeS);
        (double[][] costs, RotorPhases reached) = Costs(before, envelopes, tracks, box);
        double[][]? joined = costs[0].Length == 0 ? null : PhasePathSearch.Best(tracks, costs, box);
        IEnumerable<double[][]> corrections = joined is null ? tracks.Skip(1) : [joined, .. tracks.Skip(1)];
        int[] all = [.. Enumerable.Range(0, demodulated.Rotors)];
        IEnumerable<StartingPoint> together = corrections.Select(c => new StartingPoint(c, all, Tuning.JoinedVariance));
        return ([.. together, .. Worst(demodulated, envelopes).Select(Alone)], reached);

        StartingPoint Alone(int rotor) =>
            new([.. settled.Select((own, r) => r == rotor ? first[r] : own)], [rotor], OrderTuning.Phase.FirstVariance);
    }

    /// <summary>What each track leaves, [track][box].</summary>
    private static (double[][] Costs, RotorPhases Reached) Costs(PhaseSolution before, EnvelopeSet envelopes, double[][][] tracks, int box)
    {
        DemodulatedSegment from = before.Demodulated;
        RotorPhases phases = from.Phases;
        double[][] costs = new double[tracks.Length][];
        for (int t = 0; t < tracks.Length; t++)
        {
            phases = phases.MovedTo(tracks[t]);
            using var moved = DemodulatedSegment.Of(from.Segment, from.Lines, phases, from.Workspace);
            using var residual = Residual.Of(moved, envelopes);
            costs[t] = residual.Boxes(before.Noise.Variance, box);
        }

        return (costs, phases);
    }

    /// <summary>The phases followed from the beginning and from the end.</summary>
    private static double[][][] Followed(PhaseSolution before, EnvelopeSet envelopes, double[] weights)
    {
        return [Follow(backward: false), Follow(backward: true)];

        double[][] Follow(bool backward) =>
            Sum(
                before.Demodulated.Phases.Correction,
                PhaseFilter.Follow(before.Demodulated, envelopes, weights, before.ProcessNoise, backward)
            );
    }

    /// <summary>The rotors whose lines leave the largest share of their power.</summary>
    private static int[] Worst(DemodulatedSegment demodulated, EnvelopeSet envelopes)
    {
        using var residual = Residual.Of(demodulated, envelopes);
        double[] left = new double[demodulated.Rotors],
            all = new double[demodulated.Rotors];
        for (int line = 0; line < demodulated.Lines.Count; line++)
        {
            int rotor = demodulated.Lines[line].Rotor;
            for (int i = 3 * line; i < 3 * line + 3; i++)
            {
                left[rotor] += Power(residual[i]);
                all[rotor] += Power(demodulated.Sums[i]);
            }
        }

        return
        [
            .. left.Zip(all, (l, a) => a > 0 ? l / a : 0)
                .Select((share, rotor) => (share, rotor))
                .OrderByDescending(u => u.share)
                .Select(u => u.rotor)
                .Take(Tuning.MostAlone),
        ];
    }

    private static double Power(Complex[] values)
    {
        double sum = 0;
        foreach (Complex v in values)
        {
            sum += v.Real * v.Real + v.Imaginary * v.Imaginary;
        }

        return sum;
    }

    private static double[][] Sum(double[][] angles, double[][] more) =>
        [.. angles.Zip(more, (a, b) => a.Zip(b, (x, y) => x + y).ToArray())];
}
