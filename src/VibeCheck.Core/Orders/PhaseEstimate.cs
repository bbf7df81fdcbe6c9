namespace VibeCheck.Core.Orders;

/// <summary>How rotor angles must be corrected, and how well they are then known.</summary>
/// <param name="Step">What to add to each rotor's angle, rad, [rotor][sample]; empty when the equations could not be solved.</param>
/// <param name="Variance">Variance of each angle, rad², [rotor][sample]; empty with it.</param>
/// <param name="ProcessNoise">How fast the reported angles go astray, rad² a second.</param>
/// <param name="Moved">Root mean square of the step, in units of its standard uncertainty.</param>
internal sealed record PhaseEstimate(double[][] Step, double[][] Variance, double ProcessNoise, double Moved)
{
    /// <summary>Whether the equations could be solved.</summary>
    internal bool IsSolved => Step.Length > 0;
}
