using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Some logs do not say when they were flown.</summary>
public sealed record DatesUnknown : Reason;

/// <summary>According to the clocks of the logs, the flights before were flown before those after.</summary>
public sealed record DatesInOrder : Reason;

/// <summary>According to the clocks of the logs, a flight given as before was flown after one given as after.</summary>
public sealed record DatesReversed : Reason;

/// <summary>No hover was found in some flights.</summary>
/// <param name="Flights">Which.</param>
public sealed record NoHoverInFlights(IReadOnlyList<string> Flights) : Reason;

/// <summary>The shortest hover is short.</summary>
/// <param name="ShortestS">Its length, s.</param>
public sealed record HoverIsShort(double ShortestS) : Reason;

/// <summary>The hover is long enough on both sides.</summary>
public sealed record HoverLongEnough : Reason;

/// <summary>Operating points differ by more than can be corrected for.</summary>
/// <param name="Share">By how much, share.</param>
public sealed record OperatingPointsApart(double Share) : Reason;

/// <summary>The rotor speeds found from the vibration are equal within its accuracy.</summary>
public sealed record GroupSpeedsAlike : Reason;

/// <summary>No rotor speed or command is known in all flights.</summary>
public sealed record OperatingPointUnknown : Reason;

/// <summary>The hover was matched on commands, and nothing was corrected.</summary>
public sealed record CommandsNotCorrected : Reason;

/// <summary>Speeds differ, and changes are corrected for the difference.</summary>
/// <param name="Share">By how much they differ, share.</param>
public sealed record SpeedsCorrected(double Share) : Reason;

/// <summary>Speeds are equal within a tolerance; the remaining difference is corrected for.</summary>
/// <param name="Within">The tolerance, as a share.</param>
public sealed record SpeedsAlike(double Within) : Reason;

/// <summary>The rotor speeds in hover found from the vibration differ by too much to compare.</summary>
/// <param name="BeforeRpm">Before, rpm.</param>
/// <param name="AfterRpm">After, rpm.</param>
/// <param name="Share">Difference, as a share.</param>
public sealed record GroupSpeedsApart(double BeforeRpm, double AfterRpm, double Share) : Reason;

/// <summary>The rotor speeds in hover differ by too much to compare.</summary>
/// <param name="BeforeRpm">Before, rpm.</param>
/// <param name="AfterRpm">After, rpm.</param>
/// <param name="Share">Difference, as a share.</param>
public sealed record HoverSpeedsApart(double BeforeRpm, double AfterRpm, double Share) : Reason;

/// <summary>The motor commands in hover differ by too much to compare.</summary>
/// <param name="Before">Before, 0 to 1.</param>
/// <param name="After">After, 0 to 1.</param>
public sealed record HoverCommandsApart(double Before, double After) : Reason;

/// <summary>No flight has ESC telemetry.</summary>
/// <param name="GroupIsKnown">Whether the rotors are measured together without it.</param>
public sealed record NoTelemetry(bool GroupIsKnown) : Reason;

/// <summary>Some flights have no ESC telemetry.</summary>
/// <param name="Flights">Which.</param>
/// <param name="GroupIsKnown">Whether the rotors are compared together without it.</param>
public sealed record SomeWithoutTelemetry(IReadOnlyList<string> Flights, bool GroupIsKnown) : Reason;

/// <summary>All flights of one side lack ESC telemetry, so neither orders nor temperatures can be compared.</summary>
/// <param name="Flights">Flights without.</param>
public sealed record TelemetryOnOneSide(IReadOnlyList<string> Flights) : Reason;

/// <summary>Both sides have the same telemetry.</summary>
public sealed record TelemetryAlike : Reason;

/// <summary>Only the telemetry that both sides have is compared.</summary>
public sealed record TelemetryPartlyShared : Reason;

/// <summary>Speeds that the logs lack were found from lines in the vibration.</summary>
/// <param name="Flights">Flights with the motors whose speeds were found.</param>
public sealed record SpeedsFoundInFlights(IReadOnlyList<SpeedsFound> Flights) : Reason;

/// <summary>Motors of a flight whose speeds were found.</summary>
/// <param name="Flight">The flight.</param>
/// <param name="Motors">The motors.</param>
public sealed record SpeedsFound(string Flight, IReadOnlyList<string> Motors);

/// <summary>The logs have different motors and may be from different aircraft.</summary>
/// <param name="Before">Motors of the flights before, each set once.</param>
/// <param name="After">Motors of the flights after, each set once.</param>
public sealed record MotorsDiffer(IReadOnlyList<IReadOnlyList<string>> Before, IReadOnlyList<IReadOnlyList<string>> After) : Reason;

/// <summary>A motor is missing from a log.</summary>
public sealed record MotorMissingFromLog : Reason;

/// <summary>No temperatures are logged, so the ambient temperature is not needed.</summary>
public sealed record AmbientNotNeeded : Reason;

/// <summary>The ambient temperature is not known for some flights.</summary>
/// <param name="Flights">Which.</param>
public sealed record AmbientMissing(IReadOnlyList<string> Flights) : Reason;

/// <summary>The ambient temperature was taken from the cold start of some flights.</summary>
/// <param name="Flights">Which.</param>
public sealed record AmbientFromColdStarts(IReadOnlyList<string> Flights) : Reason;

/// <summary>Temperatures are compared as rises above ambient.</summary>
public sealed record AmbientTakenOut : Reason;

/// <summary>The sample rates are the same.</summary>
public sealed record RatesAlike : Reason;

/// <summary>The sample rates differ; the range that all loggers have in common is compared.</summary>
public sealed record RatesDiffer : Reason;

/// <summary>Gravity is not in the logs, so the axes are assumed to be the same.</summary>
public sealed record AxesTakenAlike : Reason;

/// <summary>The IMU had the same orientation.</summary>
public sealed record AxesAlike : Reason;

/// <summary>The IMU seems to have been turned.</summary>
public sealed record ImuTurned : Reason;

/// <summary>Battery voltage in hover is the same.</summary>
public sealed record BatteryAlike : Reason;

/// <summary>The battery or its charge is different.</summary>
public sealed record BatteryDiffers : Reason;

/// <summary>There is no survey between the flights.</summary>
public sealed record ComparedWithoutSurvey : Reason;

/// <summary>No gauge reading was taken after the work.</summary>
public sealed record TiltsAfterUnknown : Reason;

/// <summary>No gauge reading was taken before the work.</summary>
public sealed record TiltsBeforeUnknown : Reason;

/// <summary>Tilts are known before and after.</summary>
public sealed record TiltsKnown : Reason;
