using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>First correction of the rotor angles: from window to window a rotor's phasors turn, by the order times the error of its
/// integrated angle.</summary>
internal static class WindowPhaseCorrection
{
    /// <summary>How far a reported speed's angle is thought to drift, before anything is seen: rad in one second, growing with the root of time.</summary>
    private const double DriftPerRootSecond = 1.0;

    /// <summary>A line whose own phase is expected to be off by more than this, rad, could be off by a whole turn: not used.</summary>
    private const double MostExpected = 1.3;

    /// <summary>A line that neighbours disturb more than this tells nothing of its own turn.</summary>
    private const double MostGain = 5;

    /// <summary>Corrects the angles of every rotor by what the windows show.</summary>
    /// <param name="fits">Windows of a second or two.</param>
    /// <param name="nodeNoise">Variance of a node's noise, [3 · line + axis].</param>
    internal static void Correct(WindowFits fits, double[] nodeNoise)
    {
        if (fits.Windows < 2)
        {
            return;
        }

        // Noise's share of a squared phasor fitted with Hann weights.
        double[] noise = Array.ConvertAll(nodeNoise, n => 1.5 * n / fits.Length);
        DemodulatedSegment tracked = fits.Tracked;
        for (int rotor = 0; rotor < tracked.Rotors; rotor++)
        {
            int[] lines = [.. Enumerable.Range(0, tracked.Lines.Count).Where(l => tracked.Lines[l].Rotor == rotor)];
            double[] angle = new double[fits.Windows];
            for (int w = 1; w < fits.Windows; w++)
            {
                angle[w] = angle[w - 1] + Turn(fits, noise, lines, w);
            }

            tracked.TurnBy(rotor, AtNodes(fits, angle));
        }
    }

    private static double Turn(WindowFits fits, double[] noise, int[] lines, int window)
    {
        double hopS = (fits.FirstNodes[window] - fits.FirstNodes[window - 1]) * fits.Tracked.Stretch.NodeS;
        double turn = 0, information = 1 / (DriftPerRootSecond * DriftPerRootSecond * hopS);
        foreach (int line in lines)
        {
            int turns = fits.Tracked.Lines[line].Turn;
            // A window whose equations could not be solved has no gain at all.
            bool parted = fits.Gain(line, window - 1) is > 0 and < MostGain && fits.Gain(line, window) is > 0 and < MostGain;
            if (!parted || Math.Abs(turns) / Math.Sqrt(information) > MostExpected)
            {
                continue;
            }

            (Complex cross, double variance) = Cross(fits, noise, line, window);
            double off = (cross * Complex.FromPolarCoordinates(1, -turns * turn)).Phase / turns;
            double weight = turns * turns / (variance + 0.01);
            turn += off * weight / (weight + information);
            information += weight;
        }

        return turn;
    }

    /// <summary>Product of two windows' phasors over the axes, and the variance of its phase.</summary>
    private static (Complex Cross, double Variance) Cross(WindowFits fits, double[] noise, int line, int window)
    {
        Complex cross = 0;
        double before = 0, after = 0, floor = 1e-30;
        ReadOnlySpan<Complex> a = fits.Phasors(line, window - 1), b = fits.Phasors(line, window);
        for (int axis = 0; axis < 3; axis++)
        {
            double n = noise[3 * line + axis] + 1e-30;
            cross += b[axis] * Complex.Conjugate(a[axis]) / n;
            before += Squared(a[axis]) / n;
            after += Squared(b[axis]) / n;
        }

        before = Math.Max(floor, before / fits.Gain(line, window - 1) - 3);
        after = Math.Max(floor, after / fits.Gain(line, window) - 3);
        return (cross, 0.5 * (1 / before + 1 / after) + 3 / (before * after));
    }

    private static double Squared(Complex c) => c.Real * c.Real + c.Imaginary * c.Imaginary;

    private static double[] AtNodes(WindowFits fits, double[] angle)
    {
        double[] nodes = new double[fits.Tracked.Stretch.Nodes];
        int w = 0;
        for (int b = 0; b < nodes.Length; b++)
        {
            while (w < fits.Windows - 2 && fits.Centre(w + 1) < b)
            {
                w++;
            }

            // Beyond the outer centres the last speed error is taken to go on.
            double share = (b - fits.Centre(w)) / (fits.Centre(w + 1) - fits.Centre(w));
            nodes[b] = angle[w] + share * (angle[w + 1] - angle[w]);
        }

        return nodes;
    }
}
