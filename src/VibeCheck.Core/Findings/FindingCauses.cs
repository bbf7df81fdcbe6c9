using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Findings;

/// <summary>Order 1 of a motor stands out from that of the others.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Mps2">Its order 1, m/s² rms.</param>
/// <param name="Ci95">Its 95 % interval, m/s².</param>
/// <param name="OthersMps2">Median of the other motors, m/s² rms.</param>
/// <param name="VelocityMmps">The same vibration as velocity, mm/s rms; null without the speed.</param>
/// <param name="UnbalanceGmm">Unbalance that would cause it on a rigid aircraft, g·mm; null when not known.</param>
/// <param name="SwapWith">A calm motor whose propeller can be swapped with this one's; null when there is none.</param>
/// <param name="Plan">Swaps for all motors that stand out, including this one.</param>
/// <param name="TiltFirst">Whether the yaw trim also indicates that its mount is tilted.</param>
public sealed record OrderOneStandsOut(
    string Motor,
    double Mps2,
    Interval Ci95,
    double OthersMps2,
    double? VelocityMmps,
    double? UnbalanceGmm,
    string? SwapWith,
    IReadOnlyList<PropellerSwap> Plan,
    bool TiltFirst
) : Reason;

/// <summary>Blade pass of a motor stands out from that of the others.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Order">Its blade pass, cycles per revolution.</param>
/// <param name="Mps2">Size of that order, m/s² rms.</param>
/// <param name="Ci95">Its 95 % interval, m/s².</param>
/// <param name="OthersMps2">Median of the other motors, m/s² rms.</param>
/// <param name="VelocityMmps">The same vibration as velocity, mm/s rms; null without the speed.</param>
public sealed record BladePassStandsOut(string Motor, int Order, double Mps2, Interval Ci95, double OthersMps2, double? VelocityMmps)
    : Reason;

/// <summary>A resonance of the airframe.</summary>
/// <param name="Channel">Channel that shows it.</param>
/// <param name="Hz">Natural frequency, Hz.</param>
/// <param name="HzCi95">Its 95 % interval, Hz; null when not known.</param>
/// <param name="DampingRatio">Damping as a share of critical damping.</param>
public sealed record ResonanceSeen(string Channel, double Hz, Interval? HzCi95, double DampingRatio);

/// <summary>An order of a motor lies close to a resonance of the airframe.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Order">The order.</param>
/// <param name="Resonance">The resonance.</param>
/// <param name="Margin">Distance of the order from it, as a share of its frequency.</param>
public sealed record OrderNearResonance(string Motor, int Order, ResonanceSeen Resonance, double Margin) : Reason;

/// <summary>The size of an order depends on speed as if a resonance were at the frequency of its line.</summary>
/// <param name="Resonance">The resonance.</param>
public sealed record OrderSizeTellsResonance(HiddenResonance Resonance) : Reason;

/// <summary>The floor of the spectrum rises towards an order's lines from both sides: a resonance is at their frequency.</summary>
/// <param name="Order">The order.</param>
/// <param name="Hz">Its mean frequency, Hz.</param>
/// <param name="RiseDb">Height of the rise, mean of both sides, dB.</param>
public sealed record FloorRisesToOrder(int Order, double Hz, double RiseDb) : Reason;

/// <summary>A low, well-damped resonance is below the rotor speeds.</summary>
/// <param name="Resonance">The resonance.</param>
/// <param name="SlowestRotorHz">Speed of the slowest rotor, Hz.</param>
public sealed record DampedResonanceBelowRotors(ResonanceSeen Resonance, double SlowestRotorHz) : Reason;

/// <summary>The floor of the spectrum rises to a low hump and falls steeply above it, as behind a soft mount.</summary>
/// <param name="Hz">Frequency of the hump, Hz.</param>
/// <param name="RiseDb">Its height above the floor below it, dB.</param>
/// <param name="FallDb">Decrease of the floor at 1.8 times its frequency, dB.</param>
/// <param name="SlowestRotorHz">Speed of the slowest rotor, Hz.</param>
public sealed record FallsAboveMount(double Hz, double RiseDb, double FallDb, double SlowestRotorHz) : Reason;

/// <summary>Vibration at half orders of the rotor speed.</summary>
/// <param name="Motor">The motor to which the lines belong; null where it is not known or they belong to several.</param>
/// <param name="Lines">The lines, strongest first.</param>
public sealed record HalfOrdersStandOut(string? Motor, IReadOnlyList<LockedLine> Lines) : Reason;

/// <summary>A line follows a rotor at a multiple other than whole or half ones.</summary>
/// <param name="Motor">The motor; null where it is not known.</param>
/// <param name="Lines">The lines, strongest first.</param>
public sealed record LineLockedToRotor(string? Motor, IReadOnlyList<LockedLine> Lines) : Reason;

/// <summary>A line that is not a whole or half multiple of a rotor's speed.</summary>
/// <param name="Lines">The lines, strongest first.</param>
public sealed record LineOfNoRotor(IReadOnlyList<SteadyLine> Lines) : Reason;

/// <summary>Most of the vibration is noise over a wide band.</summary>
/// <param name="Mps2">Its size, m/s² rms.</param>
/// <param name="Share">Its share of the mean square of all vibration.</param>
public sealed record BroadbandDominates(Estimate Mps2, double Share) : Reason;

/// <summary>The vibration contains short, hard knocks.</summary>
/// <param name="Count">Number of knocks.</param>
/// <param name="PerMinute">Number of knocks per minute.</param>
/// <param name="FirstS">Time of the first knock, s.</param>
/// <param name="PeakMps2">The largest knock, m/s².</param>
/// <param name="AllMps2">All knocks together, m/s² rms.</param>
public sealed record KnocksStandOut(int Count, double PerMinute, double? FirstS, double PeakMps2, Estimate AllMps2) : Reason;

/// <summary>The motors of one spin turn faster than the others to hold the heading.</summary>
/// <param name="Faster">Spin of the faster motors.</param>
/// <param name="Split">Difference of the two groups, clockwise minus the other, as a share of the mean speed.</param>
/// <param name="Ci95">Its 95 % interval.</param>
public sealed record OneSpinTurnsFaster(Spin Faster, double Split, Interval Ci95) : Reason;

/// <summary>The centre of gravity is away from the hub.</summary>
/// <param name="ForwardM">Distance forward, m.</param>
/// <param name="ForwardCi95">Its 95 % interval, m.</param>
/// <param name="RightM">Distance to the right, m.</param>
/// <param name="RightCi95">Its 95 % interval, m.</param>
/// <param name="ArmM">Mean length of the arms, m.</param>
/// <param name="LeastM">Smallest distance at which a direction is named, m.</param>
public sealed record GravityOffHub(double ForwardM, Interval ForwardCi95, double RightM, Interval RightCi95, double ArmM, double LeastM)
    : Reason;

/// <summary>A motor or ESC is hotter than its load and the others explain.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Esc">Whether it is the ESC.</param>
/// <param name="RiseC">Its steady rise, °C.</param>
/// <param name="Ci95">Its 95 % interval, °C.</param>
/// <param name="ExpectedC">Rise explained by its load, °C.</param>
public sealed record HotterThanLoad(string Motor, bool Esc, double RiseC, Interval Ci95, double ExpectedC) : Reason;

/// <summary>The accelerometer reaches the limit of its range.</summary>
/// <param name="Clipped">Number of samples at the limit of the range.</param>
/// <param name="Samples">Number of all samples.</param>
public sealed record AccelerometerClips(int Clipped, int Samples) : Reason;

/// <summary>The log rate is too low for the rotor frequencies.</summary>
/// <param name="RateHz">Sample rate, Hz.</param>
/// <param name="NeededHz">Sample rate that shows blade pass, Hz; null without speeds.</param>
public sealed record RateTooLowForBladePass(double RateHz, double? NeededHz) : Reason;

/// <summary>Telemetry of a motor drops out in flight.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="DropOuts">Number of drop-outs.</param>
/// <param name="LostS">Total time lost, s.</param>
/// <param name="HoverS">Length of the hover, s.</param>
public sealed record TelemetryDropsOut(string Motor, int DropOuts, double LostS, double HoverS) : Reason;

/// <summary>Readings of a motor's telemetry could not be used.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Share">Share of the readings left out or missing, 0 to 1.</param>
/// <param name="Kind">What was wrong with them.</param>
/// <param name="LongestS">Longest time without a valid reading, s; null where that was not measured.</param>
public sealed record TelemetryUnusable(string Motor, double Share, TelemetryFault Kind, double? LongestS) : Reason;

/// <summary>The fault of readings.</summary>
public enum TelemetryFault
{
    /// <summary>Values that are impossible, such as zeros in flight.</summary>
    Fillers,

    /// <summary>The last reading is repeated.</summary>
    Frozen,
}

/// <summary>A motor carries more than trim and balance of the aircraft explain.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Share">Its load share; 1 is even.</param>
/// <param name="Ci95">Its 95 % interval.</param>
/// <param name="OthersShare">Median load share of the others.</param>
/// <param name="LogOdds">Natural logarithm of the odds for one motor alone against yaw trim and centre of gravity.</param>
public sealed record CarriesMore(string Motor, double Share, Interval Ci95, double OthersShare, double LogOdds) : Reason;

/// <summary>A motor draws more current than the others at the same speed.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Ratio">Its current divided by the third power of its speed, relative to the median of the others.</param>
/// <param name="Ci95">Its 95 % interval.</param>
/// <param name="CurrentA">Its mean current, A.</param>
/// <param name="Rpm">Its mean speed, rpm.</param>
public sealed record DrawsMore(string Motor, double Ratio, Interval Ci95, double CurrentA, double Rpm) : Reason;

/// <summary>A motor is at full command.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Share">Share of the hover, 0 to 1.</param>
/// <param name="Mean">Mean command, 0 to 1.</param>
public sealed record CommandAtEnd(string Motor, double Share, double Mean) : Reason;

/// <summary>The speed of a motor drops at a steady command.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Count">Number of drops.</param>
/// <param name="FirstS">Time of the first drop, s.</param>
/// <param name="Depth">Median depth, share of the speed.</param>
public sealed record SpeedFalls(string Motor, int Count, double FirstS, double Depth) : Reason;

/// <summary>The battery voltage falls under the load of the hover.</summary>
/// <param name="RestV">At rest, V.</param>
/// <param name="LoadV">Under load, V.</param>
/// <param name="Share">The loss, as a share.</param>
public sealed record BatterySags(double RestV, double LoadV, double Share) : Reason;

/// <summary>The floor of the spectrum dips at the orders of the rotors.</summary>
/// <param name="Dips">Order and depth, deepest first.</param>
public sealed record DipsFollowRotors(IReadOnlyList<RotorDip> Dips) : Reason;
