using System.Numerics;
using Tuning = VibeCheck.Core.Orders.OrderTuning.FirstCorrection;

namespace VibeCheck.Core.Orders;

/// <summary>First correction of the rotor angles: from window to window a rotor's phasors turn, by the order times the error of its
/// integrated angle.</summary>
internal static class WindowPhaseCorrection
{
    /// <summary>What the windows show of the errors of all rotors' angles, rad to add, [rotor][sample]; null where there are fewer
    /// than two windows.</summary>
    /// <param name="fits">Windows of a second or two.</param>
    /// <param name="sampleNoise">Noise at every line.</param>
    internal static double[][]? Of(WindowFits fits, NoiseEstimate sampleNoise)
    {
        if (fits.Windows < 2)
        {
            return null;
        }

        // Noise's share of a squared phasor fitted with Hann weights.
        double[] noise = Array.ConvertAll(sampleNoise.Variance, n => 1.5 * n / fits.Plan.Length);
        DemodulatedSegment demodulated = fits.Demodulated;
        double[][] corrections = new double[demodulated.Rotors][];
        for (int rotor = 0; rotor < corrections.Length; rotor++)
        {
            int[] lines = [.. Enumerable.Range(0, demodulated.Lines.Count).Where(l => demodulated.Lines[l].Rotor == rotor)];
            double[] angle = new double[fits.Windows];
            for (int w = 1; w < fits.Windows; w++)
            {
                angle[w] = angle[w - 1] + Turn(fits, noise, lines, w);
            }

            corrections[rotor] = AtSamples(fits, angle);
        }

        return corrections;
    }

    private static double Turn(WindowFits fits, double[] noise, int[] lines, int window)
    {
        double hopS = (fits.Plan.First[window] - fits.Plan.First[window - 1]) * fits.Demodulated.Segment.EnvelopeS;
        double turn = 0,
            information = 1 / (Tuning.DriftPerRootSecond * Tuning.DriftPerRootSecond * hopS);
        foreach (int line in lines)
        {
            int order = fits.Demodulated.Lines[line].SignedOrder;
            // A window whose equations could not be solved has no inflation at all.
            bool parted =
                fits.VarianceInflation(line, window - 1) is > 0 and < Tuning.MostInflation
                && fits.VarianceInflation(line, window) is > 0 and < Tuning.MostInflation;
            if (!parted || Math.Abs(order) / Math.Sqrt(information) > Tuning.MostExpectedRad)
            {
                continue;
            }

            (Complex cross, double variance) = Cross(fits, noise, line, window);
            double off = (cross * Complex.FromPolarCoordinates(1, -order * turn)).Phase / order;
            double weight = order * order / (variance + Tuning.ModelVarianceRad2);
            turn += off * weight / (weight + information);
            information += weight;
        }

        return turn;
    }

    /// <summary>Product of two windows' phasors over the axes, and the variance of its phase.</summary>
    private static (Complex Cross, double Variance) Cross(WindowFits fits, double[] noise, int line, int window)
    {
        Complex cross = 0;
        double before = 0,
            after = 0,
            floor = 1e-30;
        ReadOnlySpan<Complex> a = fits.Phasors(line, window - 1),
            b = fits.Phasors(line, window);
        for (int axis = 0; axis < 3; axis++)
        {
            double n = noise[3 * line + axis] + 1e-30;
            cross += b[axis] * Complex.Conjugate(a[axis]) / n;
            before += Squared(a[axis]) / n;
            after += Squared(b[axis]) / n;
        }

        before = Math.Max(floor, before / fits.VarianceInflation(line, window - 1) - 3);
        after = Math.Max(floor, after / fits.VarianceInflation(line, window) - 3);
        return (cross, 0.5 * (1 / before + 1 / after) + 3 / (before * after));
    }

    private static double Squared(Complex c) => c.Real * c.Real + c.Imaginary * c.Imaginary;

    private static double[] AtSamples(WindowFits fits, double[] angle)
    {
        double[] samples = new double[fits.Demodulated.Segment.EnvelopeCount];
        int w = 0;
        for (int b = 0; b < samples.Length; b++)
        {
            while (w < fits.Windows - 2 && fits.Plan.Centre(w + 1) < b)
            {
                w++;
            }

            // Beyond the outer centres the last speed error is taken to go on.
            double share = (b - fits.Plan.Centre(w)) / (fits.Plan.Centre(w + 1) - fits.Plan.Centre(w));
            samples[b] = angle[w] + share * (angle[w + 1] - angle[w]);
        }

        return samples;
    }
}
