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
/// <param name="UnbalanceGmm">Unbalance that would make it on a rigid aircraft, g·mm; null when not known.</param>
/// <param name="SwapWith">A calm motor whose propeller can be swapped with this one's; null when there is none.</param>
/// <param name="Plan">Swaps for all motors that stand out, this one among them.</param>
/// <param name="TiltFirst">Whether the yaw trim points to the tilt of its mount too.</param>
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
/// <param name="Order">Its blade pass, cycles a revolution.</param>
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
/// <param name="DampingRatio">Share of critical damping.</param>
public sealed record ResonanceSeen(string Channel, double Hz, Interval? HzCi95, double DampingRatio);

/// <summary>An order of a motor lies close to a resonance of the airframe.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Order">The order.</param>
/// <param name="Resonance">The resonance.</param>
/// <param name="Margin">How far the order lies from it, share of its frequency.</param>
public sealed record OrderNearResonance(string Motor, int Order, ResonanceSeen Resonance, double Margin) : Reason;

/// <summary>The size of an order depends on speed as a resonance under its line makes it.</summary>
/// <param name="Resonance">The resonance.</param>
public sealed record OrderSizeTellsResonance(HiddenResonance Resonance) : Reason;

/// <summary>The floor of the spectrum rises towards an order's lines from both sides: a resonance lies under them.</summary>
/// <param name="Order">The order.</param>
/// <param name="Hz">Its mean frequency, Hz.</param>
/// <param name="RiseDb">How far it rises, mean of both sides, dB.</param>
public sealed record FloorRisesToOrder(int Order, double Hz, double RiseDb) : Reason;

/// <summary>A low, well-damped resonance lies below the rotors.</summary>
/// <param name="Resonance">The resonance.</param>
/// <param name="SlowestRotorHz">Speed of the slowest rotor, Hz.</param>
public sealed record DampedResonanceBelowRotors(ResonanceSeen Resonance, double SlowestRotorHz) : Reason;

/// <summary>The floor of the spectrum rises to a low hump and falls steeply above it, as behind a soft mount.</summary>
/// <param name="Hz">The hump, Hz.</param>
/// <param name="RiseDb">How far it stands above the floor below it, dB.</param>
/// <param name="FallDb">How far the floor lies lower at 1.8 times its frequency, dB.</param>
/// <param name="SlowestRotorHz">Speed of the slowest rotor, Hz.</param>
public sealed record FallsAboveMount(double Hz, double RiseDb, double FallDb, double SlowestRotorHz) : Reason;

/// <summary>Vibration at half orders of the rotor speed.</summary>
/// <param name="Motor">The motor whose lines they are; null where it is not known or they are of several.</param>
/// <param name="Lines">The lines, strongest first.</param>
public sealed record HalfOrdersStandOut(string? Motor, IReadOnlyList<LockedLine> Lines) : Reason;

/// <summary>A line follows a rotor at another multiple than whole or half ones.</summary>
/// <param name="Motor">The motor; null where it is not known.</param>
/// <param name="Lines">The lines, strongest first.</param>
public sealed record LineLockedToRotor(string? Motor, IReadOnlyList<LockedLine> Lines) : Reason;

/// <summary>A line that is no whole or half multiple of a rotor's speed.</summary>
/// <param name="Lines">The lines, strongest first.</param>
public sealed record LineOfNoRotor(IReadOnlyList<SteadyLine> Lines) : Reason;

/// <summary>Most of the vibration is noise over a wide band.</summary>
/// <param name="Mps2">Its size, m/s² rms.</param>
/// <param name="Share">Its share of the mean square of all vibration.</param>
public sealed record BroadbandDominates(Estimate Mps2, double Share) : Reason;

/// <summary>The vibration contains short, hard knocks.</summary>
/// <param name="Count">How many.</param>
/// <param name="PerMinute">How many a minute.</param>
/// <param name="FirstS">When the first was, s.</param>
/// <param name="PeakMps2">The largest, m/s².</param>
/// <param name="AllMps2">All of them, m/s² rms.</param>
public sealed record KnocksStandOut(int Count, double PerMinute, double? FirstS, double PeakMps2, Estimate AllMps2) : Reason;

/// <summary>The motors of one spin turn faster than the others to hold the heading.</summary>
/// <param name="Faster">Spin of the faster motors.</param>
/// <param name="Split">Difference of the two groups, share of the mean speed, clockwise ones first.</param>
/// <param name="Ci95">Its 95 % interval.</param>
public sealed record OneSpinTurnsFaster(Spin Faster, double Split, Interval Ci95) : Reason;

/// <summary>The centre of gravity lies off the hub.</summary>
/// <param name="ForwardM">How far forward, m.</param>
/// <param name="ForwardCi95">Its 95 % interval, m.</param>
/// <param name="RightM">How far to the right, m.</param>
/// <param name="RightCi95">Its 95 % interval, m.</param>
/// <param name="ArmM">Mean length of the arms, m.</param>
/// <param name="LeastM">What is large enough to name a direction, m.</param>
public sealed record GravityOffHub(double ForwardM, Interval ForwardCi95, double RightM, Interval RightCi95, double ArmM, double LeastM)
    : Reason;

/// <summary>A motor or ESC gets hotter than its load and the others explain.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Esc">Whether it is its ESC.</param>
/// <param name="RiseC">Its steady rise, °C.</param>
/// <param name="Ci95">Its 95 % interval, °C.</param>
/// <param name="ExpectedC">Rise that its load explains, °C.</param>
public sealed record HotterThanLoad(string Motor, bool Esc, double RiseC, Interval Ci95, double ExpectedC) : Reason;

/// <summary>The accelerometer reaches the end of its range.</summary>
/// <param name="Clipped">Samples at the end of the range.</param>
/// <param name="Samples">All samples.</param>
public sealed record AccelerometerClips(int Clipped, int Samples) : Reason;

/// <summary>The log is too slow for what the rotors do.</summary>
/// <param name="RateHz">Sample rate, Hz.</param>
/// <param name="NeededHz">Sample rate that shows blade pass, Hz; null without speeds.</param>
public sealed record RateTooLowForBladePass(double RateHz, double? NeededHz) : Reason;

/// <summary>Telemetry of a motor drops out in flight.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="DropOuts">How often.</param>
/// <param name="LostS">For how long in all, s.</param>
/// <param name="HoverS">Length of the hover, s.</param>
public sealed record TelemetryDropsOut(string Motor, int DropOuts, double LostS, double HoverS) : Reason;

/// <summary>Readings of a motor's telemetry could not be used.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Share">Share of the readings left out or missing, 0 to 1.</param>
/// <param name="Kind">What was wrong with them.</param>
/// <param name="LongestS">Longest time without a reading that counts, s; null where that was not measured.</param>
public sealed record TelemetryUnusable(string Motor, double Share, TelemetryFault Kind, double? LongestS) : Reason;

/// <summary>What is wrong with readings.</summary>
public enum TelemetryFault
{
    /// <summary>Values that cannot be, such as zeros in flight.</summary>
    Fillers,

    /// <summary>The last reading again and again.</summary>
    Frozen,
}

/// <summary>A motor carries more than trim and balance of the aircraft explain.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Share">Its load share; 1 is even.</param>
/// <param name="Ci95">Its 95 % interval.</param>
/// <param name="OthersShare">Median of the others.</param>
/// <param name="LogOdds">Natural logarithm of how much likelier one motor alone is than yaw trim and centre of gravity.</param>
public sealed record CarriesMore(string Motor, double Share, Interval Ci95, double OthersShare, double LogOdds) : Reason;

/// <summary>A motor draws more current than the others do at the same speed.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Ratio">Its current over the third power of its speed, over the median of the others.</param>
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
/// <param name="Count">How often.</param>
/// <param name="FirstS">When first, s.</param>
/// <param name="Depth">Median depth, share of the speed.</param>
public sealed record SpeedFalls(string Motor, int Count, double FirstS, double Depth) : Reason;

/// <summary>The battery's voltage falls under the load of the hover.</summary>
/// <param name="RestV">At rest, V.</param>
/// <param name="LoadV">Under load, V.</param>
/// <param name="Share">What is lost, share.</param>
public sealed record BatterySags(double RestV, double LoadV, double Share) : Reason;

/// <summary>The floor of the spectrum dips at the orders of the rotors.</summary>
/// <param name="Dips">Order and depth, deepest first.</param>
public sealed record DipsFollowRotors(IReadOnlyList<RotorDip> Dips) : Reason;
