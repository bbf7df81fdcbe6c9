namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>Every constant of the search for rotor speeds that was chosen rather than derived: what it is for, where it comes from,
/// and on which trials it was chosen.</summary>
/// <remarks>
/// "Seed 1" is <c>campaigns speeds --seed 1</c>; docs/methods/rotor-speeds.md reports on seed 3, on which nothing was chosen. "Simulated
/// flights": chosen on flights of that campaign, not recorded which.
/// </remarks>
internal static class SpeedSearchTuning
{
    /// <summary>Most vibration that is searched, s: more makes no line clearer that two minutes leave unclear. Simulated
    /// flights.</summary>
    internal const double LongestS = 120;

    /// <summary>Shortest segment searched, s. As for the orders.</summary>
    internal const double ShortestSegmentS = OrderTuning.Selection.ShortestSegmentS;

    /// <summary>A command whose mean is not above this gives no information on the speed, 0 to 1. Common practice.</summary>
    internal const double LeastCommand = 0.01;

    /// <summary>A logged speed whose mean is not above this is a stopped rotor, rpm. As for the orders.</summary>
    internal const double LeastRpm = OrderTuning.Selection.LeastRpm;

    /// <summary>Rate above which samples are thinned, in highest frequencies searched: half the new rate stays so far above. Simulated
    /// flights.</summary>
    internal const double ThinningMargin = 1.3;

    /// <summary>Finding the band of the first order.</summary>
    internal static class Band
    {
        /// <summary>Window of the rough spectra, s. Simulated flights.</summary>
        internal const double WindowS = 1;

        /// <summary>Slowest rotor looked for, Hz: large rotors turn at some 20 Hz (common practice).</summary>
        internal const double LowestHz = 12;

        /// <summary>Fastest rotor looked for, Hz: small rotors turn at some 400 Hz (common practice).</summary>
        internal const double HighestHz = 420;

        /// <summary>Step of the frequencies tried, share. Simulated flights.</summary>
        internal const double StepShare = 0.001;

        /// <summary>Highest frequency used, share of the sample rate: the logger's filter takes what is above.</summary>
        internal const double HighestShareOfRate = 0.45;

        /// <summary>A line counts as seen from this mean logarithm of power over noise on. Simulated flights.</summary>
        internal const double SeenLevel = 0.9;

        /// <summary>A single order counts for no more than this, so that several are needed. Simulated flights.</summary>
        internal const double MostLevel = 3;

        /// <summary>Weight of order 1 and of the blade pass, which are the strongest. Simulated flights.</summary>
        internal const double StrongOrderWeight = 1.5;

        /// <summary>Least score ahead of the best at another speed. Simulated flights.</summary>
        internal const double LeastLead = 1.2;

        /// <summary>Speeds further apart than this, natural logarithm, are others.</summary>
        internal const double OtherSpeed = 0.3;
    }

    /// <summary>Windows and grid of the search.</summary>
    internal static class Grid
    {
        /// <summary>Revolutions in a window. Simulated flights.</summary>
        internal const double TurnsPerWindow = 260;

        /// <summary>Shortest window, s.</summary>
        internal const double ShortestWindowS = 1;

        /// <summary>Longest window to begin with, s.</summary>
        internal const double LongestWindowS = 5;

        /// <summary>Lowest speed searched, share of the clearest rotor's: all rotors of a hover lie within the two.</summary>
        internal const double LowShare = 0.8;

        /// <summary>Highest speed searched, share of the clearest rotor's.</summary>
        internal const double HighShare = 1.25;

        /// <summary>Columns in a bin of order 1: a quarter of the width of order 4. Derived.</summary>
        internal const int ColumnsPerBin = 16;

        /// <summary>Highest frequency of an order that is used, share of the sample rate.</summary>
        internal const double HighestShareOfRate = 0.48;

        /// <summary>By how much orders may be higher than the rotor frequency suggests when they are chosen.</summary>
        internal const double OrderMargin = 1.05;

        /// <summary>Fewest windows that longer windows must leave. Simulated flights.</summary>
        internal const int LeastWindows = 8;

        /// <summary>Least gain that pays for windows of twice the length: steady lines gain a natural logarithm of 2 at each order;
        /// this share of it. Simulated flights.</summary>
        internal const double LeastGain = 0.4 * 0.69314718055994531;

        /// <summary>Spacing of the points of the noise floor, Hz. Simulated flights.</summary>
        internal const double FloorStepHz = 4;

        /// <summary>Half width of the running median that is the noise floor, Hz: lines are too narrow to move it. Simulated
        /// flights.</summary>
        internal const double FloorHalfHz = 24;
    }

    /// <summary>How commands become speeds.</summary>
    internal static class Actuator
    {
        /// <summary>Response taken before the search for a better one: speed scales with command to this power.</summary>
        internal const double UsualPower = 0.75;

        /// <summary>Time constant taken before the search for a better one, s.</summary>
        internal const double UsualLagS = 0.05;

        /// <summary>Vibration on which the response is sought, s. For time.</summary>
        internal const double SearchS = 20;

        /// <summary>Powers tried.</summary>
        internal static readonly double[] Powers = [0.5, 0.75, 1];

        /// <summary>Added to the best power in the second round.</summary>
        internal static readonly double[] FinerPowers = [-0.12, 0, 0.12];

        /// <summary>Time constants tried, s.</summary>
        internal static readonly double[] LagsS = [0.01, 0.03, 0.06, 0.1];

        /// <summary>Largest change in a second of the drift common to all rotors, share: an emptying battery. Simulated
        /// flights.</summary>
        internal const double MostDriftPerS = 0.0012;

        /// <summary>Its largest change across a gap, share.</summary>
        internal const double MostDriftAcrossGap = 0.06;

        /// <summary>Windows on each side that the drift is smoothed over. Simulated flights.</summary>
        internal const int DriftWindows = 5;
    }

    /// <summary>Lines of rotors.</summary>
    internal static class Lines
    {
        /// <summary>Least height of a peak that is looked at, for each order. Simulated flights.</summary>
        internal const double LeastHeightPerOrder = 0.15;

        /// <summary>An order counts as seen from this mean logarithm of power over noise on. Seed 1.</summary>
        internal const double SeenLevel = 0.8;

        /// <summary>Least prominence, share of the height. Seed 1.</summary>
        internal const double LeastProminence = 0.1;

        /// <summary>Orders at which a rotor must be seen. Seed 1.</summary>
        internal const int LeastOrders = 2;
    }

    /// <summary>Which motor makes which line.</summary>
    internal static class Naming
    {
        /// <summary>How far a motor's own shape may move a line, in windows⁻¹. Simulated flights.</summary>
        internal const double Reach = 0.4;

        /// <summary>How far from its place other motors' shapes may show a line, in windows⁻¹. Simulated flights.</summary>
        internal const double OthersReach = 0.07;

        /// <summary>Lines nearer than this are the same line, in windows⁻¹. Simulated flights.</summary>
        internal const double SameLine = 0.1;

        /// <summary>Least lead over the next best assignment, standard deviations. Seed 1, compared with others in
        /// docs/methods/rotor-speeds.md.</summary>
        internal const double LeastLead = 3;

        /// <summary>Least lead over the other motors of the same line, standard deviations. Seed 1.</summary>
        internal const double LeastOwnership = 2;

        /// <summary>Half width of the 95 % interval of a line's mean frequency, in windows⁻¹. Seed 1.</summary>
        internal const double AloneHalf95 = 0.25;

        /// <summary>The same for motors that share a line. Seed 1.</summary>
        internal const double SharedHalf95 = 0.35;

        /// <summary>Furthest that a known speed may lie from its line, in windows⁻¹. Seed 1.</summary>
        internal const double KnownReach = 0.6;
    }
}
