namespace VibeCheck.Core.Orders;

/// <summary>Brings the rotor angles of a stretch from what was reported to what the vibration shows.</summary>
/// <remarks>
/// Courses of all lines and angles of all rotors by turns (expectation maximisation). How well an angle is known decides how much a line
/// counts: at first only low orders hold together along it, and higher ones come in as it gets better, so that none is caught a turn off.
/// Where two rotors meet, an angle may slip a turn all the same. What the fit leaves grows there; then the passes begin anew
/// (<see cref="MultiStart"/>), and stay with what fits better.
/// </remarks>
internal sealed class PhaseRefinement
{
    /// <summary>How uncertain angles count at first, rad²: low orders hold together along them, high ones do not.</summary>
    internal const double FirstDoubt = 1;

    /// <summary>At first; then for rotors that stay lost, whose only lines may be of high order.</summary>
    private static readonly double[] s_firstDoubts = [FirstDoubt, 0.05];

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

    /// <summary>Most times that angles begin anew, and by what share the misfit must fall for it to count where the fit stays bad: by 4 % and more
    /// when a slip goes on trials, by up to 2 % where there was none.</summary>
    private const int MostRestarts = 8;
    private const double LeastFall = 0.03;

    /// <summary>A fit that leaves nowhere more than this times what it leaves usually has no slips.</summary>
    private const double Smooth = 1.45;

    /// <summary>Angles that are followed leave about as much right beside their lines as further off: on trials up to 1.3 times; lost ones 2 to 15 times.</summary>
    private const double MostExcess = 1.5;

    /// <summary>Reported angles go astray at most so many times as fast as their readings show (on trials up to five times), and this much, rad² a second,
    /// in any case. Without a limit the angles of a hover not much longer than a beat take up the beat.</summary>
    private const double FarWalk = 10;
    private const double LeastFarWalk = 0.002;

    /// <summary>Followed anew, angles may walk this much faster than before, when slips were part of the walk.</summary>
    private const double WalkGrowth = 2;

    private readonly DemodulatedSegment _tracked;
    private readonly LineNoise _noise;
    private PhaseSolution _now;

    private PhaseRefinement(DemodulatedSegment tracked, LineNoise noise)
    {
        (_tracked, _noise) = (tracked, noise);
        _now = new PhaseSolution(tracked.Turned, tracked.Doubts, noise.Nodes, null, double.PositiveInfinity, double.PositiveInfinity);
    }

    /// <summary>Corrects the angles in place and leaves the sums done at the corrected ones.</summary>
    /// <param name="tracked">A stretch with its sums done.</param>
    /// <param name="noise">Noise at every line.</param>
    /// <param name="walk">How fast the reported angles are thought to go astray, rad² a second.</param>
    /// <returns>The courses that the lines go at those angles.</returns>
    internal static EnvelopeFit Run(DemodulatedSegment tracked, LineNoise noise, double walk)
    {
        var refinement = new PhaseRefinement(tracked, noise);
        if (walk * tracked.Stretch.Seconds / 6 > MostStray)
        {
            refinement.TurnWindows();
        }

        var restarts = new MultiStart(tracked);
        refinement.FollowAll(FarWalk * walk + LeastFarWalk);
        refinement.BeginAnew(restarts);
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
            WindowPhaseCorrection.Correct(fits, _noise.Nodes);
        }

        _tracked.Sum();
    }

    private void FollowAll(double mostWalk)
    {
        foreach (double doubt in s_firstDoubts)
        {
            int[] lost = [.. Enumerable.Range(0, _tracked.Rotors).Where(r => _now.Course is null || IsLost(r))];
            if (lost.Length == 0)
            {
                break;
            }

            _now = Follow(lost, doubt, _now.Course, mostWalk);
        }
    }

    /// <summary>Courses and angles by turns until they settle.</summary>
    /// <param name="rotors">Whose angles count as uncertain to begin with.</param>
    /// <param name="doubt">How uncertain, rad².</param>
    /// <param name="course">A fit to begin with.</param>
    /// <param name="mostWalk">Fastest walk that is thought possible, rad² a second.</param>
    private PhaseSolution Follow(int[] rotors, double doubt, EnvelopeFit? course, double mostWalk)
    {
        foreach (int rotor in rotors)
        {
            Array.Fill(_tracked.Doubts[rotor], doubt);
        }

        double before = double.PositiveInfinity, misfit = 0, walk = 0, roughness = 0;
        for (int pass = 0; pass < MostPasses; pass++)
        {
            course = EnvelopeFit.Of(_tracked, _noise.Nodes, LinearSplineBasis.NoTime, Rounds, course);
            Residual residual = Residual.Of(_tracked, course.Courses());
            _noise.Read(residual);
            misfit = residual.Misfit(_noise.Nodes);
            roughness = residual.Roughness(_noise.Nodes, _tracked.Stretch.NodeS);
            (double moved, walk) = PhaseEstimator.Correct(_tracked, residual, _noise.Nodes, mostWalk);
            double now = _tracked.Doubts.Sum(d => d.Average());
            _tracked.Follow();
            if (moved < Settled && now > (1 - Settled) * before)
            {
                break;
            }

            before = now;
        }

        return new PhaseSolution(_tracked.Turned, _tracked.Doubts, _noise.Nodes, course, misfit, walk) { Roughness = roughness, Excess = _noise.Excess };
    }

    /// <summary>Begins anew wherever the fit may be mended, as long as that helps.</summary>
    private void BeginAnew(MultiStart restarts)
    {
        for (int round = 0; round < MostRestarts && IsBad(_now); round++)
        {
            PhaseSolution before = _now;
            if (!restarts.Of(before).Any(start => Improves(start, before)))
            {
                Restore(before, before.Turned);
                break;
            }
        }
    }

    private static bool IsBad(PhaseSolution state) => state.Roughness > Smooth || state.Excess > MostExcess;

    private bool Improves(StartingPoint start, PhaseSolution before)
    {
        Restore(before, start.Angles);
        PhaseSolution after = Follow(start.Rotors, start.Doubt, before.Course, WalkGrowth * before.Walk);
        if (!(after.Misfit < before.Misfit - (IsBad(after) ? LeastFall * Math.Abs(before.Misfit) : 0)))
        {
            return false;
        }

        _now = after;
        return true;
    }

    private void Restore(PhaseSolution state, double[][] angles)
    {
        _tracked.TurnTo(angles);
        _tracked.Follow();
        for (int rotor = 0; rotor < _tracked.Rotors; rotor++)
        {
            state.Doubts[rotor].CopyTo(_tracked.Doubts[rotor], 0);
        }

        state.Noise.CopyTo(_noise.Nodes, 0);
    }

    private bool IsLost(int rotor) => _tracked.Doubts[rotor].Average() > LostDoubt;
}
