using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>How a change was judged.</summary>
public enum Significance
{
    /// <summary>Significantly different from zero and large enough to matter.</summary>
    Clear,

    /// <summary>Significant, but too small to matter.</summary>
    TooSmall,

    /// <summary>Not significant among all tests made together.</summary>
    NotClearAmongAll,

    /// <summary>Not significantly different from zero.</summary>
    NotSignificant,
}

/// <summary>A change and how it was judged.</summary>
/// <param name="Change">Change, in dB or °C.</param>
/// <param name="Ci95">Its 95 % interval.</param>
/// <param name="InDb">Whether it is in dB; otherwise in °C.</param>
/// <param name="Matters">Smallest change that matters.</param>
/// <param name="SmallestShown">Smallest change that the flights could have detected.</param>
/// <param name="Significance">How it was judged.</param>
public sealed record ChangeJudged(double Change, Interval Ci95, bool InDb, double Matters, double SmallestShown, Significance Significance)
    : Reason;

/// <summary>According to the clocks of the logs, the flights before were flown after those after.</summary>
public sealed record StagesMayBeSwapped : Reason;

/// <summary>Neither rotor orders nor temperatures are known on both sides.</summary>
public sealed record NothingToJudge : Reason;

/// <summary>The vibration of the rotors changed.</summary>
/// <param name="ByGroup">Whether the rotors were measured together, without their own speeds.</param>
/// <param name="BeforeMps2">Before, m/s².</param>
/// <param name="AfterMps2">After, m/s².</param>
/// <param name="ChangeDb">Change, dB.</param>
/// <param name="Ci95Db">Its 95 % interval, dB.</param>
public sealed record RotorVibrationChanged(bool ByGroup, double BeforeMps2, double AfterMps2, double ChangeDb, Interval Ci95Db) : Reason;

/// <summary>The hottest motor or ESC settles cooler or hotter.</summary>
/// <param name="Esc">Whether it is the ESC.</param>
/// <param name="BeforeC">Rise before, °C.</param>
/// <param name="AfterC">Rise after, °C.</param>
/// <param name="ChangeC">Change, °C.</param>
/// <param name="Ci95C">Its 95 % interval, °C.</param>
/// <param name="HottestBefore">The hottest unit before.</param>
/// <param name="HottestAfter">The hottest unit after.</param>
public sealed record HottestUnitChanged(
    bool Esc,
    double BeforeC,
    double AfterC,
    double ChangeC,
    Interval Ci95C,
    string? HottestBefore,
    string? HottestAfter
) : Reason;

/// <summary>A quantity shows no clear change.</summary>
/// <param name="Quantity">Which.</param>
/// <param name="Cause">How its change was judged.</param>
public sealed record NoClearChangeOf(Quantity Quantity, Reason Cause) : Reason;

/// <summary>Orders of motors that changed.</summary>
/// <param name="Fell">Whether they fell; otherwise they rose.</param>
/// <param name="Orders">Which, most important first.</param>
public sealed record OrdersChanged(bool Fell, IReadOnlyList<ChangedOrder> Orders) : Reason;

/// <summary>An order of a motor that changed.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Order">The order.</param>
/// <param name="ChangeDb">Change, dB.</param>
/// <param name="Ci95Db">Its 95 % interval, dB.</param>
public sealed record ChangedOrder(string Motor, int Order, double ChangeDb, Interval Ci95Db);

/// <summary>Motors or ESCs that settle cooler or hotter.</summary>
/// <param name="Cooler">Whether they settle cooler; otherwise hotter.</param>
/// <param name="Esc">Whether they are ESCs.</param>
/// <param name="ByLoad">Whether only their load changed.</param>
/// <param name="Units">Which, largest change first.</param>
public sealed record UnitsChanged(bool Cooler, bool Esc, bool ByLoad, IReadOnlyList<ChangedUnit> Units) : Reason;

/// <summary>A motor or ESC whose rise changed.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="ChangeC">Change, °C.</param>
/// <param name="Ci95C">Its 95 % interval, °C.</param>
/// <param name="AtEqualLoadC">Change at equal load, °C; null when not known.</param>
public sealed record ChangedUnit(string Motor, double ChangeC, Interval Ci95C, double? AtEqualLoadC);

/// <summary>Broadband levels of acceleration show no clear change.</summary>
public sealed record LevelsUnchanged : Reason;

/// <summary>Broadband levels of acceleration changed.</summary>
/// <param name="Levels">Which.</param>
public sealed record LevelsChanged(IReadOnlyList<ChangedLevel> Levels) : Reason;

/// <summary>A broadband level that changed.</summary>
/// <param name="Channel">The channel.</param>
/// <param name="ChangeDb">Change, dB.</param>
/// <param name="Ci95Db">Its 95 % interval, dB; null when not known.</param>
public sealed record ChangedLevel(string Channel, double ChangeDb, Interval? Ci95Db);

/// <summary>Over the motors, order 1 changed with the tilt that was removed.</summary>
/// <param name="DbPerDeg">Change for each additional degree of tilt, dB.</param>
/// <param name="Ci95">Its 95 % interval.</param>
public sealed record OrderOneFollowsTilt(double DbPerDeg, Interval Ci95) : Reason;

/// <summary>The speed split before and after, and what the survey predicts.</summary>
/// <param name="ByCommands">Whether it is calculated from commands, because speeds are missing.</param>
/// <param name="Before">Before, share of the mean speed.</param>
/// <param name="After">After.</param>
/// <param name="PredictedBefore">Prediction from the tilts as found; null without them.</param>
/// <param name="PredictedAfter">Prediction from the tilts as left; null without them.</param>
/// <param name="Explained">Whether the tilts explain the change; null where nothing is predicted.</param>
public sealed record SplitChanged(
    bool ByCommands,
    double Before,
    double After,
    double? PredictedBefore,
    double? PredictedAfter,
    bool? Explained
) : Reason;
