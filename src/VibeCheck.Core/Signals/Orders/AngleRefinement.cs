using System.Numerics;

namespace VibeCheck.Core.Signals.Orders;

/// <summary>Brings the rotor angles of a stretch from what was reported to what the vibration shows.</summary>
/// <remarks>
/// Courses of all lines and angles of all rotors by turns (expectation maximisation). How well an angle is known decides how much a line
/// counts: at first only low orders hold together along it, and higher ones come in as it gets better, so that none is caught a turn off.
/// Where two rotors meet, an angle may slip a turn all the same. What the fit leaves grows there; then the angles are followed anew, node by
/// node, from either end, and the best is joined of what was and both.
/// </remarks>
internal sealed class AngleRefinement
{
    /// <summary>How uncertain the angles count at first, rad²; then those of rotors that stay lost, whose only lines may be of high order.</summary>
    private static readonly double[] s_firstDoubts = [1, 0.05];

    /// <summary>How uncertain angles count that were followed anew, rad².</summary>
    private const double JoinedDoubt = 0.05;

    /// <summary>An angle more uncertain than this, rad², is lost.</summary>
    private const double LostDoubt = 0.3;

    /// <summary>Where reported speeds may let an angle stray by more than this, rad², the turn of the phasors from window to window is taken
    /// out first. A random walk strays from its mean by a sixth of what it does from end to end.</summary>
    private const double MostStray = 0.1;

    /// <summary>Windows of that first correction, s.</summary>
    private static readonly double[] s_turnWindowsS = [1, 2, 2];

    private const int MostPasses = 10;

    /// <summary>Passes end when angles move by less than this share of their own doubt, and that shrinks by no more.</summary>
    private const double Settled = 0.15;

    /// <summary>Rounds of expectation maximisation in each pass.</summary>
    private const int Rounds = 2;

    private const double Ridge = 0.03;

    /// <summary>Most times that angles are followed anew, and by what share the misfit must fall for it to count: by 4 % and more
    /// when a slip goes on trials, by up to 2 % where there was none.</summary>
    private const int MostRetraces = 4;
    private const double LeastFall = 0.03;

    /// <summary>A fit that leaves nowhere more than this times what it leaves usually has no slips.</summary>
    private const double Smooth = 1.7;

    /// <summary>Followed anew, angles may walk this much faster than before, when slips were part of the walk.</summary>
    private const double WalkGrowth = 2;

    /// <summary>How far the courses are trusted when angles are followed anew: fitted to slipped angles, they are not quite right.</summary>
    private static readonly double[] s_trust = [1, 0.2];

    private readonly TrackedStretch _tracked;
    private readonly LineNoise _noise;
    private State _now;

    private AngleRefinement(TrackedStretch tracked, LineNoise noise)
    {
        (_tracked, _noise) = (tracked, noise);
        _now = new State(tracked.Turned, tracked.Doubts, noise.Nodes, null, double.PositiveInfinity, double.PositiveInfinity);
    }

    /// <summary>Corrects the angles in place and leaves the sums done at the corrected ones.</summary>
    /// <param name="tracked">A stretch with its sums done.</param>
    /// <param name="noise">Noise at every line.</param>
    /// <param name="walk">How fast the reported angles are thought to go astray, rad² a second.</param>
    /// <returns>The courses that the lines go at those angles.</returns>
    internal static CourseFit Run(TrackedStretch tracked, LineNoise noise, double walk)
    {
        var refinement = new AngleRefinement(tracked, noise);
        if (walk * tracked.Stretch.Seconds / 6 > MostStray)
        {
            refinement.TurnWindows();
        }

        refinement.FollowAll();
        refinement.Retrace();
        // What no line tells of is taken as reported.
        foreach (int rotor in Enumerable.Range(0, tracked.Rotors).Where(refinement.IsLost))
        {
            Array.Clear(tracked.Doubts[rotor]);
        }

        tracked.Sum();
        return refinement._now.Course!;
    }

    private void TurnWindows()
    {
        foreach (double seconds in s_turnWindowsS)
        {
            WindowFits fits = JointFit.Of(_tracked, seconds, Ridge, withGain: true);
            _noise.Read(Residual.Of(fits));
            PhaseTurns.Correct(fits, _noise.Nodes);
        }

        _tracked.Sum();
    }

    private void FollowAll()
    {
        foreach (double doubt in s_firstDoubts)
        {
            int[] lost = [.. Enumerable.Range(0, _tracked.Rotors).Where(r => _now.Course is null || IsLost(r))];
            if (lost.Length == 0)
            {
                break;
            }

            _now = Follow(lost, doubt, _now.Course, double.PositiveInfinity);
        }
    }

    /// <summary>Courses and angles by turns until they settle.</summary>
    /// <param name="rotors">Whose angles count as uncertain to begin with.</param>
    /// <param name="doubt">How uncertain, rad².</param>
    /// <param name="course">A fit to begin with.</param>
    /// <param name="mostWalk">Fastest walk that is thought possible, rad² a second.</param>
    private State Follow(int[] rotors, double doubt, CourseFit? course, double mostWalk)
    {
        foreach (int rotor in rotors)
        {
            Array.Fill(_tracked.Doubts[rotor], doubt);
        }

        double before = double.PositiveInfinity, misfit = 0, walk = 0, roughness = 0;
        for (int pass = 0; pass < MostPasses; pass++)
        {
            course = CourseFit.Of(_tracked, _noise.Nodes, CourseBasis.NoTime, Rounds, course);
            Residual residual = Residual.Of(_tracked, course.Courses());
            _noise.Read(residual);
            misfit = residual.Misfit(_noise.Nodes);
            roughness = residual.Roughness(_noise.Nodes, _tracked.Stretch.NodeS);
            (double moved, walk) = PhaseTrack.Correct(_tracked, residual, _noise.Nodes, mostWalk);
            double now = _tracked.Doubts.Sum(d => d.Average());
            _tracked.Follow();
            if (moved < Settled && now > (1 - Settled) * before)
            {
                break;
            }

            before = now;
        }

        return new State(_tracked.Turned, _tracked.Doubts, _noise.Nodes, course, misfit, walk) { Roughness = roughness };
    }

    /// <summary>Follows the angles anew from both ends, and takes what fits better of that and of what was, as long as that helps.</summary>
    private void Retrace()
    {
        for (int round = 0; round < MostRetraces && _now.Roughness > Smooth; round++)
        {
            State before = _now;
            if (!Candidates(before).Any(angles => Improves(angles, before)))
            {
                Restore(before);
                break;
            }
        }
    }

    /// <summary>Angles to begin anew with: the best joined of those there are and those followed from either end; then these as they are.</summary>
    private IEnumerable<double[][]> Candidates(State before)
    {
        Complex[][] courses = before.Course!.Courses();
        double[] weights = PhaseTrack.Weights(courses, before.Noise);
        double[][][] tracks = [before.Turned, .. s_trust.SelectMany(trust => Followed(before, courses, Array.ConvertAll(weights, w => trust * w)))];
        tracks = [.. tracks.Where(t => Array.TrueForAll(t, angle => double.IsFinite(angle[0]) && double.IsFinite(angle[^1])))];
        int box = Residual.Box(_tracked.Stretch.NodeS);
        double[][] misfits = [.. tracks.Select(track =>
        {
            _tracked.TurnTo(track);
            return Residual.Of(_tracked, courses).Boxes(before.Noise, box);
        })];
        double[][]? joined = misfits[0].Length == 0 ? null : AngleSplice.Best(tracks, misfits, box);
        return joined is null ? [] : [joined, .. tracks.Skip(1)];
    }

    private IEnumerable<double[][]> Followed(State before, Complex[][] courses, double[] weights)
    {
        var filter = new AngleFilter(_tracked, courses, weights);
        return [Plus(before.Turned, filter.Follow(before.Walk, backward: false)), Plus(before.Turned, filter.Follow(before.Walk, backward: true))];
    }

    private bool Improves(double[][] angles, State before)
    {
        _tracked.TurnTo(angles);
        _tracked.Follow();
        State after = Follow([.. Enumerable.Range(0, _tracked.Rotors)], JoinedDoubt, before.Course, WalkGrowth * before.Walk);
        if (!(after.Misfit < before.Misfit - LeastFall * Math.Abs(before.Misfit)))
        {
            return false;
        }

        _now = after;
        return true;
    }

    private static double[][] Plus(double[][] angles, double[][] more) => [.. angles.Zip(more, (a, b) => a.Zip(b, (x, y) => x + y).ToArray())];

    private void Restore(State state)
    {
        _tracked.TurnTo(state.Turned);
        _tracked.Follow();
        for (int rotor = 0; rotor < _tracked.Rotors; rotor++)
        {
            state.Doubts[rotor].CopyTo(_tracked.Doubts[rotor], 0);
        }

        state.Noise.CopyTo(_noise.Nodes, 0);
    }

    private bool IsLost(int rotor) => _tracked.Doubts[rotor].Average() > LostDoubt;

    /// <summary>Angles that the passes settled on, and what they leave.</summary>
    private sealed class State(double[][] turned, double[][] doubts, double[] noise, CourseFit? course, double misfit, double walk)
    {
        internal double[][] Turned { get; } = [.. turned.Select(t => t.ToArray())];

        internal double[][] Doubts { get; } = [.. doubts.Select(d => d.ToArray())];

        internal double[] Noise { get; } = [.. noise];

        internal CourseFit? Course { get; } = course;

        /// <summary>Minus twice the log likelihood, but for a constant.</summary>
        internal double Misfit { get; } = misfit;

        internal double Walk { get; } = walk;

        internal double Roughness { get; init; }
    }
}
