using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Quality;

/// <summary>Readings that the column cannot have measured, such as fillers (0, 255, -1) and spikes, were left out.</summary>
/// <param name="Columns">The columns, such as "M1 motor_temp, M2 motor_temp".</param>
/// <param name="MostShare">Share of readings left out of the worst column, 0 to 1.</param>
public sealed record ReadingsDropped(string Columns, double MostShare) : Reason;

/// <summary>Whole reports were written again and again; the repeats were left out.</summary>
/// <param name="Motors">Whose.</param>
/// <param name="MostShare">Share of the worst motor's reports that are repeats, 0 to 1.</param>
/// <param name="LongestS">Longest time without a new report, s.</param>
public sealed record ReportsRepeated(string Motors, double MostShare, double LongestS) : Reason;

/// <summary>A speed does not change while the rotor turns: telemetry hung.</summary>
/// <param name="Motors">Whose.</param>
/// <param name="LongestS">For how long, the longest, s.</param>
public sealed record SpeedsFrozen(string Motors, double LongestS) : Reason;

/// <summary>Several motors report one and the same speed at every moment: columns were copied.</summary>
/// <param name="Motors">Whose.</param>
public sealed record SpeedsIdentical(string Motors) : Reason;

/// <summary>A rotor speed that no hover allows beside those of the other motors.</summary>
/// <param name="Motors">Whose.</param>
/// <param name="RatioToOthers">Its mean over the median of the other motors.</param>
public sealed record SpeedOutOfProportion(string Motors, double RatioToOthers) : Reason;

/// <summary>Several temperature columns hold one and the same numbers: columns were copied.</summary>
/// <param name="Columns">Which.</param>
public sealed record TemperaturesIdentical(string Columns) : Reason;

/// <summary>A temperature stops changing while the unit must still warm up.</summary>
/// <param name="Columns">Which.</param>
/// <param name="FromS">When the first of them stops, s.</param>
public sealed record TemperaturesFrozen(string Columns, double FromS) : Reason;

/// <summary>A temperature stops at a ceiling that the unit would pass.</summary>
/// <param name="Columns">Which.</param>
/// <param name="AtC">The ceiling of the first of them, °C.</param>
public sealed record TemperaturesCapped(string Columns, double AtC) : Reason;

/// <summary>A temperature stays at one value under load, then rises at once: a floor hides what came before.</summary>
/// <param name="Columns">Which.</param>
/// <param name="AtC">The floor of the first of them, °C.</param>
public sealed record TemperaturesFloored(string Columns, double AtC) : Reason;

/// <summary>A temperature jumps by more than a unit can between two readings.</summary>
/// <param name="Columns">Which.</param>
/// <param name="JumpC">The greatest jump, °C.</param>
public sealed record TemperatureJumps(string Columns, double JumpC) : Reason;

/// <summary>The temperatures of most motors and ESCs jump at one moment: another flight goes on there, or a part of this one is missing.</summary>
/// <param name="AtS">When, s on the flight's clock.</param>
/// <param name="Columns">How many jump.</param>
/// <param name="JumpC">The greatest jump, °C.</param>
public sealed record FlightsJoined(double AtS, int Columns, double JumpC) : Reason;

/// <summary>Temperatures that no motor or ESC has in a flight: the unit is not °C.</summary>
/// <param name="Columns">Which.</param>
/// <param name="LeastC">Least reading, °C as read.</param>
/// <param name="MostC">Greatest reading, °C as read.</param>
public sealed record TemperaturesImplausible(string Columns, double LeastC, double MostC) : Reason;

/// <summary>An ambient temperature at which nobody flies.</summary>
/// <param name="AmbientC">As given or taken from the start, °C.</param>
public sealed record AmbientImplausible(double AmbientC) : Reason;

/// <summary>The units start at another temperature than the ambient that was given, all alike.</summary>
/// <param name="AmbientC">As given, °C.</param>
/// <param name="StartC">Where the units start, median, °C.</param>
public sealed record AmbientContradictsStart(double AmbientC, double StartC) : Reason;

/// <summary>One unit starts far from all others before the motors turn: its reading is off.</summary>
/// <param name="Column">Which.</param>
/// <param name="StartC">Where it starts, °C.</param>
/// <param name="OthersC">Where the others start, median, °C.</param>
public sealed record UnitStartsApart(string Column, double StartC, double OthersC) : Reason;

/// <summary>Temperatures are recorded in steps so coarse that they tell little.</summary>
/// <param name="Columns">Which.</param>
/// <param name="StepC">The step, °C.</param>
public sealed record TemperatureStepsCoarse(string Columns, double StepC) : Reason;

/// <summary>A temperature does not follow the load as a unit that heats up does.</summary>
/// <param name="Columns">Which.</param>
/// <param name="MostResidualC">Root mean square departure from the fitted course of the worst, °C.</param>
public sealed record HeatingDoesNotFollowLoad(string Columns, double MostResidualC) : Reason;

/// <summary>The unit that was hottest on one side has no temperature on the other.</summary>
/// <param name="Motors">The units that are known on one side only and may be the hottest.</param>
/// <param name="MissingAfter">Whether they are missing after the work; otherwise before.</param>
public sealed record HottestUnitMissing(string Motors, bool MissingAfter) : Reason;

/// <summary>Motors and ESCs exchanged their temperatures between the flights: columns were swapped on one side.</summary>
/// <param name="Motors">At which motors.</param>
public sealed record MotorAndEscSwapped(string Motors) : Reason;

/// <summary>Motors exchanged their temperatures between the flights: they were numbered differently.</summary>
/// <param name="Motors">Which.</param>
public sealed record MotorsRenumbered(string Motors) : Reason;

/// <summary>Temperatures are the same numbers before and after: they are of one flight.</summary>
/// <param name="Columns">Which.</param>
public sealed record TemperaturesOfOneFlight(string Columns) : Reason;

/// <summary>All units' rises changed by one and the same factor without a change of load: another unit or scale on one side.</summary>
/// <param name="Ratio">Rises after over rises before, median.</param>
public sealed record RisesScaledAlike(double Ratio) : Reason;

/// <summary>A change of temperature so great that something else must show it, and nothing does.</summary>
/// <param name="Columns">Which.</param>
/// <param name="ChangeC">The greatest change, °C.</param>
public sealed record TemperatureChangeUnsupported(string Columns, double ChangeC) : Reason;

/// <summary>The logs before and after are of one flight: the rotor speeds wander alike.</summary>
/// <param name="Likeness">Correlation of the wander of the speeds, up to 1.</param>
public sealed record FlightsAreOne(double Likeness) : Reason;

/// <summary>The higher orders of all motors, and their rises, changed without a pattern: the flights are of different aircraft.</summary>
/// <param name="Orders">Higher orders known before and after.</param>
/// <param name="SpreadDb">Standard deviation of their changes, dB.</param>
/// <param name="RiseSpreadC">Standard deviation of the changes of the rises beyond the load, of motors or ESCs, °C; null without
/// temperatures.</param>
public sealed record AircraftDiffers(int Orders, double SpreadDb, double? RiseSpreadC) : Reason;

/// <summary>Motors exchanged their orders and their shares of the speed: the speed columns are numbered differently on one side.</summary>
/// <param name="Motors">Which.</param>
public sealed record SpeedsRenumbered(string Motors) : Reason;

/// <summary>Temperatures come in steps of another size on the other side: one of the two was scaled.</summary>
/// <param name="BeforeC">Step before, °C as read.</param>
/// <param name="AfterC">Step after, °C as read.</param>
public sealed record TemperatureStepsDiffer(double BeforeC, double AfterC) : Reason;

/// <summary>Speeds come in steps so coarse that the load, which scales with their third power, is uncertain.</summary>
/// <param name="StepRpm">The step, rpm.</param>
/// <param name="MeanRpm">Typical speed, rpm.</param>
public sealed record SpeedStepsCoarse(double StepRpm, double MeanRpm) : Reason;

/// <summary>All units seem to warm up faster or slower than on the other side, which an aircraft
/// does not: readings drift, or are late or smoothed.</summary>
/// <param name="Ratio">Time constants after over those before, median.</param>
public sealed record TimeConstantsDiffer(double Ratio) : Reason;
