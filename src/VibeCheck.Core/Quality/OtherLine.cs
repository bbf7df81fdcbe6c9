using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>A line beside the orders.</summary>
/// <param name="Rpm">Speed of the rotor that it turns with; null for a steady one.</param>
/// <param name="Multiple">Cycles a revolution, or Hz of a steady one.</param>
internal readonly record struct OtherLine(Series? Rpm, double Multiple);
