namespace VibeCheck.Core.Orders;

/// <summary>Phases to begin passes with.</summary>
/// <param name="Correction">What is added to the reported angles, rad, [rotor][sample].</param>
/// <param name="Rotors">Whose angles count as uncertain.</param>
/// <param name="Variance">How uncertain, rad².</param>
internal sealed record StartingPoint(double[][] Correction, int[] Rotors, double Variance);
