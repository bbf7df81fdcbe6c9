namespace VibeCheck.Core.Orders;

/// <summary>Angles that the passes settled on, and what they leave.</summary>
/// <param name="turned">What is added to the reported angles, rad, [rotor][node]; copied.</param>
/// <param name="doubts">Variance of each angle, rad²; copied.</param>
/// <param name="noise">Noise at each line and axis; copied.</param>
/// <param name="course">The courses of the lines; null before the first pass.</param>
/// <param name="misfit">Minus twice the log likelihood, but for a constant.</param>
/// <param name="walk">How fast the angles were found to walk, rad² a second.</param>
internal sealed class PhaseSolution(double[][] turned, double[][] doubts, double[] noise, EnvelopeFit? course, double misfit, double walk)
{
    internal double[][] Turned { get; } = [.. turned.Select(t => t.ToArray())];

    internal double[][] Doubts { get; } = [.. doubts.Select(d => d.ToArray())];

    internal double[] Noise { get; } = [.. noise];

    internal EnvelopeFit? Course { get; } = course;

    /// <summary>Minus twice the log likelihood, but for a constant.</summary>
    internal double Misfit { get; } = misfit;

    internal double Walk { get; } = walk;

    /// <summary>How much more the fit leaves where it leaves most than it does usually.</summary>
    internal double Roughness { get; init; }

    /// <summary>How many times what stands some hertz off stands right beside the lines.</summary>
    internal double Excess { get; init; }
}
