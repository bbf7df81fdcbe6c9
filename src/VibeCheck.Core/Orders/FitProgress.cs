namespace VibeCheck.Core.Orders;

/// <summary>What the order fit did since its last report. Reports come from several threads; add them up.</summary>
/// <param name="Windows">Windows fitted.</param>
/// <param name="Passes">Passes of the phase refinement over a whole segment.</param>
public readonly record struct FitProgress(int Windows, int Passes);
