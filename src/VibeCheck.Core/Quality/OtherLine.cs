using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>A line that is not an order.</summary>
/// <param name="Rpm">Speed of the rotor that it follows; null for a steady line.</param>
/// <param name="Multiple">Cycles per revolution, or Hz for a steady line.</param>
internal readonly record struct OtherLine(Series? Rpm, double Multiple);
