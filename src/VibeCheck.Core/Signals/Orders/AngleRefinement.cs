namespace VibeCheck.Core.Signals.Orders;

/// <summary>Brings the rotor angles of a stretch from what was reported to what the vibration shows.</summary>
/// <remarks>
/// Courses of all lines and angles of all rotors by turns (expectation maximisation). How well an angle is known decides how much a line
/// counts: at first only low orders hold together along it, and higher ones come in as it gets better, so that none is caught a turn off.
/// </remarks>
internal static class AngleRefinement
{
    /// <summary>How uncertain the angles count at first, rad²; then those of rotors that stay lost, whose only lines may be of high order.</summary>
    private static readonly double[] s_firstDoubts = [1, 0.05];

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

    /// <summary>Corrects the angles in place and leaves the sums done at the corrected ones.</summary>
    /// <param name="tracked">A stretch with its sums done.</param>
    /// <param name="noise">Noise at every line.</param>
    /// <param name="walk">How fast the reported angles are thought to go astray, rad² a second.</param>
    /// <returns>The courses that the lines go at those angles.</returns>
    internal static CourseFit Run(TrackedStretch tracked, LineNoise noise, double walk)
    {
        if (walk * tracked.Stretch.Seconds / 6 > MostStray)
        {
            foreach (double seconds in s_turnWindowsS)
            {
                WindowFits fits = JointFit.Of(tracked, seconds, Ridge, withGain: true);
                noise.Read(Residual.Of(fits));
                PhaseTurns.Correct(fits, noise.Nodes);
            }

            tracked.Sum();
            tracked.Restart();
        }

        CourseFit? course = null;
        foreach (double doubt in s_firstDoubts)
        {
            int[] lost = [.. Enumerable.Range(0, tracked.Rotors).Where(r => course is null || IsLost(tracked, r))];
            if (lost.Length == 0)
            {
                break;
            }

            foreach (int rotor in lost)
            {
                Array.Fill(tracked.Doubts[rotor], doubt);
            }

            course = Follow(tracked, noise, course);
        }

        // What no line tells of is taken as reported.
        foreach (int rotor in Enumerable.Range(0, tracked.Rotors).Where(r => IsLost(tracked, r)))
        {
            Array.Clear(tracked.Doubts[rotor]);
        }

        tracked.Sum();
        return course!;
    }

    private static CourseFit Follow(TrackedStretch tracked, LineNoise noise, CourseFit? course)
    {
        double before = double.PositiveInfinity;
        for (int pass = 0; pass < MostPasses; pass++)
        {
            course = CourseFit.Of(tracked, noise.Nodes, CourseBasis.NoTime, Rounds, course);
            Residual residual = Residual.Of(tracked, course.Courses);
            noise.Read(residual);
            double moved = PhaseTrack.Correct(tracked, residual, noise.Nodes), doubt = tracked.Doubts.Sum(d => d.Average());
            tracked.Follow();
            if (moved < Settled && doubt > (1 - Settled) * before)
            {
                break;
            }

            before = doubt;
        }

        return course!;
    }

    private static bool IsLost(TrackedStretch tracked, int rotor) => tracked.Doubts[rotor].Average() > LostDoubt;
}
