namespace VibeCheck.Core.Flights;

/// <summary>When a finding began, where the data shows that it was not there from the start of the hover.</summary>
/// <param name="Code">Code of the finding.</param>
/// <param name="Motor">Its motor; null for the aircraft as a whole.</param>
/// <param name="FromS">When it began, s on the IMU clock; with orders to within the 2 s of a window and the spacing of the windows.</param>
public sealed record FindingOnset(string Code, string? Motor, double FromS);
