namespace VibeCheck.Logs.Clocks;

/// <summary>Samples that the recorder lost in a row.</summary>
/// <param name="AfterRow">The row before them, from 0.</param>
/// <param name="Missing">How many are missing; one or more.</param>
internal readonly record struct SampleLoss(int AfterRow, int Missing);
