namespace VibeCheck.Logs.Flights;

/// <summary>The files of one flight. Several files of one kind are parts of one record, in order of time.</summary>
/// <param name="Imu">Files with the IMU, or with everything; one or more.</param>
/// <param name="Esc">Files with the ESC telemetry; empty where the IMU files hold it or there is none.</param>
public sealed record FlightFiles(IReadOnlyList<string> Imu, IReadOnlyList<string> Esc);
