using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Quality;

/// <summary>Readings that the column cannot have measured, such as fillers (0, 255, -1) and spikes, were left out.</summary>
/// <param name="Columns">The columns, such as "M1 motor_temp, M2 motor_temp".</param>
/// <param name="MostShare">Share of readings left out of the worst column, 0 to 1.</param>
public sealed record ReadingsDropped(string Columns, double MostShare) : Reason;

/// <summary>Complete reports were written repeatedly; the repeats were left out.</summary>
/// <param name="Motors">Whose.</param>
/// <param name="MostShare">Share of the worst motor's reports that are repeats, 0 to 1.</param>
/// <param name="LongestS">Longest time without a new report, s.</param>
public sealed record ReportsRepeated(string Motors, double MostShare, double LongestS) : Reason;

/// <summary>A speed does not change while the rotor turns: telemetry stopped updating.</summary>
/// <param name="Motors">Whose.</param>
/// <param name="LongestS">Longest duration, s.</param>
public sealed record SpeedsFrozen(string Motors, double LongestS) : Reason;

/// <summary>Several motors report identical speeds at every moment: columns were copied.</summary>
/// <param name="Motors">Whose.</param>
public sealed record SpeedsIdentical(string Motors) : Reason;

/// <summary>A rotor speed that is not possible in hover with those of the other motors.</summary>
/// <param name="Motors">Whose.</param>
/// <param name="RatioToOthers">Its mean divided by the median of the other motors.</param>
public sealed record SpeedOutOfProportion(string Motors, double RatioToOthers) : Reason;

/// <summary>Several temperature columns hold identical numbers: columns were copied.</summary>
/// <param name="Columns">Which.</param>
public sealed record TemperaturesIdentical(string Columns) : Reason;

/// <summary>A temperature stops changing while the unit must still warm up.</summary>
/// <param name="Columns">Which.</param>
/// <param name="FromS">When the first of them stops, s.</param>
public sealed record TemperaturesFrozen(string Columns, double FromS) : Reason;

/// <summary>A temperature stops at a ceiling that the unit would exceed.</summary>
/// <param name="Columns">Which.</param>
/// <param name="AtC">The ceiling of the first of them, °C.</param>
public sealed record TemperaturesCapped(string Columns, double AtC) : Reason;

/// <summary>A temperature stays constant under load, then rises at once: a floor hides the values before.</summary>
/// <param name="Columns">Which.</param>
/// <param name="AtC">The floor of the first of them, °C.</param>
public sealed record TemperaturesFloored(string Columns, double AtC) : Reason;

/// <summary>A temperature jumps by more than is possible between two readings.</summary>
/// <param name="Columns">Which.</param>
/// <param name="JumpC">The greatest jump, °C.</param>
public sealed record TemperatureJumps(string Columns, double JumpC) : Reason;

/// <summary>The temperatures of most motors and ESCs jump at one moment: another flight starts there, or a part of this one is
/// missing.</summary>
/// <param name="AtS">Time of the jump, s on the flight's clock.</param>
/// <param name="Columns">Number of columns that jump.</param>
/// <param name="JumpC">The greatest jump, °C.</param>
public sealed record FlightsJoined(double AtS, int Columns, double JumpC) : Reason;

/// <summary>Temperatures that no motor or ESC has in a flight: the unit is not °C.</summary>
/// <param name="Columns">Which.</param>
/// <param name="LeastC">Least reading, °C as read.</param>
/// <param name="MostC">Greatest reading, °C as read.</param>
public sealed record TemperaturesImplausible(string Columns, double LeastC, double MostC) : Reason;

/// <summary>An ambient temperature at which nobody flies.</summary>
/// <param name="AmbientC">As given or derived from the start, °C.</param>
public sealed record AmbientImplausible(double AmbientC) : Reason;

/// <summary>All units start at the same temperature, but not at the ambient temperature that was given.</summary>
/// <param name="AmbientC">As given, °C.</param>
/// <param name="StartC">Start temperature of the units, median, °C.</param>
public sealed record AmbientContradictsStart(double AmbientC, double StartC) : Reason;

/// <summary>One unit starts far from all others before the motors turn: its reading is wrong.</summary>
/// <param name="Column">Which.</param>
/// <param name="StartC">Its start temperature, °C.</param>
/// <param name="OthersC">Start temperature of the others, median, °C.</param>
public sealed record UnitStartsApart(string Column, double StartC, double OthersC) : Reason;

/// <summary>Temperatures are recorded in steps that are too coarse to give much information.</summary>
/// <param name="Columns">Which.</param>
/// <param name="StepC">The step, °C.</param>
public sealed record TemperatureStepsCoarse(string Columns, double StepC) : Reason;

/// <summary>Temperatures step when the motors start or stop: the current shifts the reading.</summary>
/// <param name="Columns">Which.</param>
/// <param name="StepC">The step, median of the columns, °C.</param>
public sealed record TemperaturesStepWithCurrent(string Columns, double StepC) : Reason;

/// <summary>A temperature does not follow the load in the way a heated unit does.</summary>
/// <param name="Columns">Which.</param>
/// <param name="MostResidualC">Root mean square departure from the fitted curve for the worst column, °C.</param>
public sealed record HeatingDoesNotFollowLoad(string Columns, double MostResidualC) : Reason;

/// <summary>The unit that was hottest on one side has no temperature on the other.</summary>
/// <param name="Motors">The units that are known only on one side and may be the hottest.</param>
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

/// <summary>The rises of all units changed by the same factor without a change of load: another unit or scale on one side.</summary>
/// <param name="Ratio">Rises after divided by rises before, median.</param>
public sealed record RisesScaledAlike(double Ratio) : Reason;

/// <summary>A change of temperature so large that something else must show it, but nothing does.</summary>
/// <param name="Columns">Which.</param>
/// <param name="ChangeC">The greatest change, °C.</param>
public sealed record TemperatureChangeUnsupported(string Columns, double ChangeC) : Reason;

/// <summary>The logs before and after are of one flight: the rotor speeds vary in the same way.</summary>
/// <param name="Likeness">Correlation of the variation of the speeds, up to 1.</param>
public sealed record FlightsAreOne(double Likeness) : Reason;

/// <summary>The higher orders of all motors, and their rises, changed without a pattern: the flights are of different aircraft.</summary>
/// <param name="Orders">Number of higher orders known before and after.</param>
/// <param name="SpreadDb">Standard deviation of their changes, dB.</param>
/// <param name="RiseSpreadC">Standard deviation of the changes of the rises beyond the load, of motors or ESCs, °C; null without
/// temperatures.</param>
public sealed record AircraftDiffers(int Orders, double SpreadDb, double? RiseSpreadC) : Reason;

/// <summary>Motors exchanged their orders and their shares of the speed: the speed columns are numbered differently on one side.</summary>
/// <param name="Motors">Which.</param>
public sealed record SpeedsRenumbered(string Motors) : Reason;

/// <summary>The steps of the temperatures have another size on the other side: one of the two was scaled.</summary>
/// <param name="BeforeC">Step before, °C as read.</param>
/// <param name="AfterC">Step after, °C as read.</param>
public sealed record TemperatureStepsDiffer(double BeforeC, double AfterC) : Reason;

/// <summary>Speeds are recorded in steps so coarse that the load, which scales with their third power, is uncertain.</summary>
/// <param name="StepRpm">The step, rpm.</param>
/// <param name="MeanRpm">Typical speed, rpm.</param>
public sealed record SpeedStepsCoarse(double StepRpm, double MeanRpm) : Reason;

/// <summary>All units seem to warm up faster or slower than on the other side. An aircraft does not do that: readings drift, or are delayed
/// or smoothed.</summary>
/// <param name="Ratio">Time constants after divided by those before, median.</param>
public sealed record TimeConstantsDiffer(double Ratio) : Reason;
