using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Check which flights are given as before and which as after.</summary>
public sealed record CheckStageOrder : Reason;

/// <summary>Log ESC telemetry on every flight.</summary>
/// <param name="GroupIsKnown">Whether the rotors are known as a group without it.</param>
public sealed record LogTelemetry(bool GroupIsKnown) : Reason;

/// <summary>Log rotor speeds, without which the rotors' share of the vibration is not known.</summary>
public sealed record LogRotorSpeeds : Reason;

/// <summary>Log rotor speeds, so that the vibration is known motor by motor.</summary>
public sealed record LogRotorSpeedsByMotor : Reason;

/// <summary>Give the ambient temperature of each flight.</summary>
public sealed record GiveAmbient : Reason;

/// <summary>Fly longer, so that temperatures are known.</summary>
public sealed record FlyLongerForTemperatures : Reason;

/// <summary>Log the temperatures of motors and ESCs.</summary>
public sealed record LogTemperatures : Reason;

/// <summary>Fly both states under the same conditions.</summary>
public sealed record FlyBothAlike : Reason;

/// <summary>Fly longer to settle smaller changes.</summary>
/// <param name="Quantity">The quantity whose change is to be settled.</param>
/// <param name="SmallestShown">Smallest change that the flights could have detected, dB or °C.</param>
/// <param name="Minutes">Minutes of steady hover to fly on each side.</param>
public sealed record FlyLonger(Quantity Quantity, double SmallestShown, double Minutes) : Reason;

/// <summary>Fly more flights to settle smaller changes.</summary>
/// <param name="Quantity">The quantity whose change is to be settled.</param>
/// <param name="SmallestShown">Smallest change that the flights could have detected, dB or °C.</param>
/// <param name="Flights">Flights on each side.</param>
public sealed record FlyMoreFlights(Quantity Quantity, double SmallestShown, int Flights) : Reason;

/// <summary>Inspect what got worse before the next flight.</summary>
/// <param name="Motors">The motors concerned; empty where there are too many to list.</param>
public sealed record LookAtWhatGotWorse(IReadOnlyList<string> Motors) : Reason;

/// <summary>Do the next check for a finding.</summary>
/// <param name="Finding">What was found.</param>
public sealed record FollowFinding(Reason Finding) : Reason;

/// <summary>Keep these flights as the new reference.</summary>
public sealed record KeepAsReference : Reason;
