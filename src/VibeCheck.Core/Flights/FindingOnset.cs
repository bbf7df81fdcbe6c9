namespace VibeCheck.Core.Flights;

/// <summary>The start of a finding, where the data shows that it was not present from the start of the hover.</summary>
/// <param name="Code">Code of the finding.</param>
/// <param name="Motor">Its motor; null for the aircraft as a whole.</param>
/// <param name="FromS">Its start, s on the IMU clock; for orders within the 2 s of a window and the spacing of the windows.</param>
public sealed record FindingOnset(string Code, string? Motor, double FromS);
