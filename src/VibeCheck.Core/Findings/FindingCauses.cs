using VibeCheck.Core.Airframes;
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
/// <param name="TiltFirst">Whether the yaw trim points to the tilt of its mount too.</param>
public sealed record OrderOneStandsOut(
    string Motor,
    double Mps2,
    Interval Ci95,
    double OthersMps2,
    double? VelocityMmps,
    double? UnbalanceGmm,
    string? SwapWith,
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

/// <summary>A low, well-damped resonance lies below the rotors.</summary>
/// <param name="Resonance">The resonance.</param>
/// <param name="SlowestRotorHz">Speed of the slowest rotor, Hz.</param>
public sealed record DampedResonanceBelowRotors(ResonanceSeen Resonance, double SlowestRotorHz) : Reason;

/// <summary>Vibration at odd halves of the rotor speed.</summary>
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

/// <summary>Short hard knocks stand in the vibration.</summary>
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
