using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>Angles to begin passes with.</summary>
/// <param name="Angles">What is added to the reported ones, [rotor][node].</param>
/// <param name="Rotors">Whose angles count as uncertain.</param>
/// <param name="Doubt">How uncertain, rad².</param>
internal sealed record StartingPoint(double[][] Angles, int[] Rotors, double Doubt);

/// <summary>Where the passes that refine angles may begin anew when they have settled badly.</summary>
/// <remarks>
/// Where two rotors meet, the correction of all nodes at once, being linear, may leave an angle a turn behind. Followed node by node from either end
/// it need not be (<see cref="PhaseFilter"/>), and the best of what was and both is joined (<see cref="PhasePathSearch"/>). A rotor that is lost altogether has
/// spoilt the courses that such a following rests on; it begins anew by itself.
/// </remarks>
internal sealed class MultiStart
{
    /// <summary>How uncertain angles count that were followed anew, rad².</summary>
    private const double JoinedDoubt = 0.05;

    /// <summary>Most rotors that are tried anew alone.</summary>
    private const int MostAlone = 4;

    /// <summary>How far the courses are trusted when angles are followed anew: fitted to slipped angles, they are not quite right.</summary>
    private static readonly double[] s_trust = [1, 0.2];

    private readonly DemodulatedSegment _tracked;
    private readonly double[][] _first;

    /// <param name="tracked">The stretch before any pass: its angles are those that a rotor begins anew with.</param>
    internal MultiStart(DemodulatedSegment tracked)
    {
        _tracked = tracked;
        _first = [.. tracked.Turned.Select(t => t.ToArray())];
    }

    /// <summary>Where to begin anew: at the best joined of the angles there are and those followed from either end; at these as they are; at a rotor's
    /// angle as it was at first, for the rotors that are explained worst.</summary>
    internal IEnumerable<StartingPoint> Of(PhaseSolution before)
    {
        int[] all = [.. Enumerable.Range(0, _tracked.Rotors)];
        Complex[][] courses = before.Course!.Courses();
        int[] worst = [.. Unexplained(Residual.Of(_tracked, courses)).Select((share, rotor) => (share, rotor)).OrderByDescending(u => u.share).Select(u => u.rotor)];
        double[] weights = PhaseEstimator.Weights(courses, before.Noise);
        double[][][] tracks = [before.Turned, .. s_trust.SelectMany(trust => Followed(before, courses, Array.ConvertAll(weights, w => trust * w)))];
        tracks = [.. tracks.Where(t => Array.TrueForAll(t, angle => double.IsFinite(angle[0]) && double.IsFinite(angle[^1])))];
        int box = Residual.Box(_tracked.Stretch.NodeS);
        double[][] misfits = [.. tracks.Select(track =>
        {
            _tracked.TurnTo(track);
            return Residual.Of(_tracked, courses).Boxes(before.Noise, box);
        })];
        double[][]? joined = misfits[0].Length == 0 ? null : PhasePathSearch.Best(tracks, misfits, box);
        IEnumerable<double[][]> angles = joined is null ? tracks.Skip(1) : [joined, .. tracks.Skip(1)];
        return [.. angles.Select(a => new StartingPoint(a, all, JoinedDoubt)), .. worst.Take(MostAlone).Select(r => Alone(before, r))];
    }

    private StartingPoint Alone(PhaseSolution before, int rotor) =>
        new([.. before.Turned.Select((turned, r) => r == rotor ? _first[r] : turned)], [rotor], PhaseRefinement.FirstDoubt);

    private IEnumerable<double[][]> Followed(PhaseSolution before, Complex[][] courses, double[] weights)
    {
        var filter = new PhaseFilter(_tracked, courses, weights);
        return [Plus(before.Turned, filter.Follow(before.Walk, backward: false)), Plus(before.Turned, filter.Follow(before.Walk, backward: true))];
    }

    /// <summary>For each rotor the share of its lines' power that the fit leaves.</summary>
    private double[] Unexplained(Residual residual)
    {
        double[] left = new double[_tracked.Rotors], all = new double[_tracked.Rotors];
        for (int line = 0; line < _tracked.Lines.Count; line++)
        {
            int rotor = _tracked.Lines[line].Rotor;
            for (int i = 3 * line; i < 3 * line + 3; i++)
            {
                left[rotor] += Power(residual.Nodes[i]);
                all[rotor] += Power(_tracked.Sums[i]);
            }
        }

        return [.. left.Zip(all, (l, a) => a > 0 ? l / a : 0)];
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

    private static double[][] Plus(double[][] angles, double[][] more) => [.. angles.Zip(more, (a, b) => a.Zip(b, (x, y) => x + y).ToArray())];
}
