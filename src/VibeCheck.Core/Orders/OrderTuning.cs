namespace VibeCheck.Core.Orders;

/// <summary>Every constant of the order fit that was chosen rather than derived: what it is for, where it comes from, and on which
/// trials it was chosen.</summary>
/// <remarks>
/// "Simulated flights" without a seed: chosen on flights of the order campaign, not recorded which. Seed 57, on which
/// docs/methods/orders.md reports, was never used to choose one. Whoever changes a constant runs <c>campaigns orders --trials 200
/// --seed N</c> before and after, on a seed other than 57, and writes the seed here.
/// </remarks>
internal static class OrderTuning
{
    /// <summary>What is measured at all.</summary>
    internal static class Selection
    {
        /// <summary>Shortest segment used, s. Simulated flights, not recorded which.</summary>
        internal const double ShortestSegmentS = 1.5;

        /// <summary>Least share of the hover that speed readings must cover. Common practice: half.</summary>
        internal const double LeastCoverage = 0.5;

        /// <summary>Fewest readings of a speed. Simulated flights, not recorded which.</summary>
        internal const int LeastReadings = 4;

        /// <summary>Slower than this a rotor counts as standing, rpm. Well below the idle speed of multirotors (common
        /// practice).</summary>
        internal const double LeastRpm = 300;

        /// <summary>Highest true frequency of a line, in sample rates: beyond, any logger's filter has removed it (common
        /// practice).</summary>
        internal const double MostSampleRates = 1.5;

        /// <summary>Nearest that a line may come to zero or half the sample rate, Hz: nearer, its mirror image overlaps it. Derived
        /// from the distance over which lines are fitted together, <see cref="Envelopes.LinkHz"/>.</summary>
        internal const double NearestToFoldHz = 3;

        /// <summary>Most hover that orders are measured on, s: ten minutes of hover on four parts of 30 s reach the accuracy aimed at
        /// (seed 31, docs/methods/orders.md).</summary>
        internal const double LongestMeasuredS = 120;

        /// <summary>A hover is measured whole up to so many times that.</summary>
        internal const double MeasuredWhole = 1.1;

        /// <summary>Parts that a longer hover is measured on. Seed 31.</summary>
        internal const int Parts = 4;
    }

    /// <summary>Preparing samples and reported speeds.</summary>
    internal static class Preparation
    {
        /// <summary>Time between envelope samples that is aimed at, s: short against anything that a rotor's speed does.
        /// Simulated flights, not recorded which.</summary>
        internal const double EnvelopeSampleS = 0.032;

        /// <summary>Longest hole in the samples (NaN) that is bridged by a straight line, samples. Common practice.</summary>
        internal const int LongestBridge = 3;

        /// <summary>Pieces whose means are subtracted as slow motion, s: 4 Hz, below the slowest line measured. Simulated flights, not
        /// recorded which.</summary>
        internal const double DetrendS = 0.25;

        /// <summary>A reading further than this share off the median of five is a misreading: inertia holds a rotor. Simulated
        /// flights, not recorded which.</summary>
        internal const double SpikeShare = 0.2;

        /// <summary>Fewest readings from which the noise can be estimated. Simulated flights, not recorded which.</summary>
        internal const int LeastReadings = 10;

        /// <summary>Least process noise of the smoother, share of the readings' noise: keeps it from freezing. Simulated flights, not
        /// recorded which.</summary>
        internal const double LeastProcessNoise = 1e-4;

        /// <summary>Half of the time over which a speed is taken from the angle, s: what shakes faster is the angle's noise rather
        /// than the rotor. Simulated flights, not recorded which.</summary>
        internal const double HalfSpeedS = 0.064;
    }

    /// <summary>Fits in short windows: first noise, lag, first phase correction, merged lines.</summary>
    internal static class Windows
    {
        /// <summary>Lines nearer than this are fitted together in a window, Hz: wide enough that wandering lines do not cross unseen.
        /// Simulated flights, not recorded which.</summary>
        internal const double ReachHz = 12;

        /// <summary>Window of the first look at the noise, of the lag and of merged lines, s. Simulated flights, not recorded
        /// which.</summary>
        internal const double WindowS = 2;

        /// <summary>Diagonal loading of the normal matrix, whose diagonal is 1: keeps lines that cannot be separated from blowing up.
        /// Simulated flights, not recorded which.</summary>
        internal const double DiagonalLoading = 0.03;

        /// <summary>The same for merged lines, whose sum alone counts: only against rounding.</summary>
        internal const double MergedLoading = 1e-9;
    }

    /// <summary>Noise beside each line.</summary>
    internal static class Noise
    {
        /// <summary>Window of the periodograms, s. Simulated flights, not recorded which.</summary>
        internal const double WindowS = 8;

        /// <summary>Windows overlap so that a new one begins after the window's length over this. Simulated flights, not recorded
        /// which.</summary>
        internal const double WindowsPerLength = 1.5;

        /// <summary>Least variance, (m/s²)²: against division by zero in records without noise.</summary>
        internal const double Least = 1e-12;

        /// <summary>Distances beyond what an envelope follows, Hz. Simulated flights, not recorded which.</summary>
        internal static readonly double[] NearHz = [-0.625, -0.5, -0.375, 0.375, 0.5, 0.625];

        /// <summary>Distances beyond what a phase follows, Hz. Simulated flights, not recorded which. Taking them only where they show
        /// clearly more than the near ones doubled the worst errors.</summary>
        internal static readonly double[] FarHz = [-6, -5, -4, -3, 3, 4, 5, 6];
    }

    /// <summary>Search for the lag of the reported speeds.</summary>
    internal static class Lag
    {
        /// <summary>Earliest lag tried, s: smoothing over the reports may look like a lead.</summary>
        internal const double EarliestS = -0.12;

        /// <summary>Step of the coarse search, s; it reaches to 0.52 s. Simulated flights with lags of up to 150 ms, not recorded
        /// which.</summary>
        internal const double CoarseStepS = 0.04;

        /// <summary>Lags tried coarsely.</summary>
        internal const int CoarseSteps = 17;

        /// <summary>Step of the fine search, s.</summary>
        internal const double FineStepS = 0.01;

        /// <summary>Most time looked at in one segment, s: for speed.</summary>
        internal const double LongestS = 60;

        /// <summary>Highest order looked at: higher ones lose coherence at wrong lags and add only noise.</summary>
        internal const int HighestOrder = 6;

        /// <summary>Least gain in log-likelihood over the worst lag that counts as seen. Simulated flights, not recorded which.</summary>
        internal const double LeastEvidence = 20;
    }

    /// <summary>Correction of the phase from window to window, before envelopes are fitted.</summary>
    internal static class FirstCorrection
    {
        /// <summary>Phase variance, rad², above which the correction is made: where readings may let an angle stray further, lines of
        /// high order would begin a whole turn off. Simulated flights, not recorded which.</summary>
        internal const double StrayRad2 = 0.1;

        /// <summary>A random walk strays from its mean by this fraction (1 over it) of what it does from end to end: derived.</summary>
        internal const double StrayFromMean = 6;

        /// <summary>Windows, one pass each, s. Simulated flights, not recorded which.</summary>
        internal static readonly double[] WindowsS = [1, 2, 2];

        /// <summary>How far a reported speed's angle may drift, rad in one second, growing with the root of time. Simulated flights, not
        /// recorded which.</summary>
        internal const double DriftPerRootSecond = 1.0;

        /// <summary>A line whose own phase is expected to be off by more than this, rad, may be off by a whole turn and is not used.
        /// Simulated flights, not recorded which.</summary>
        internal const double MostExpectedRad = 1.3;

        /// <summary>A line whose variance neighbours inflate more than this gives no information on its own phase. Simulated flights, not
        /// recorded which.</summary>
        internal const double MostInflation = 5;

        /// <summary>Variance of a phase that noise does not explain, rad²: 0.1 rad. Simulated flights, not recorded which.</summary>
        internal const double ModelVarianceRad2 = 0.01;
    }

    /// <summary>Envelopes of the lines and their joint fit.</summary>
    internal static class Envelopes
    {
        /// <summary>Lines that come nearer than this at some time are fitted together, Hz. Simulated flights, not recorded
        /// which.</summary>
        internal const double LinkHz = 3;

        /// <summary>Distance below which linking stops, Hz.</summary>
        internal const double LeastLinkHz = 0.1;

        /// <summary>Most unknowns fitted together; where linking gives more, the distance is halved. For time and memory.</summary>
        internal const int MostUnknowns = 400;

        /// <summary>Taper of the weights at both ends, s: there half a triangle is missing. Simulated flights, not recorded
        /// which.</summary>
        internal const double TaperS = 0.5;

        /// <summary>Cells between two knots of speed where the rotor spends its time. Simulated flights, not recorded which.</summary>
        internal const int NearCells = 2;

        /// <summary>Cells between two knots elsewhere.</summary>
        internal const int FarCells = 5;

        /// <summary>Width of a cell, share of the mean speed: knots 0.8 % apart follow a resonance. Simulated flights, not recorded
        /// which.</summary>
        internal const double CellWidth = 0.004;

        /// <summary>Farther from its mean no rotor hovers, share of the mean: speeds beyond are those of a phase track that was lost, and
        /// must not add hundreds of knots. Common practice; changes nothing on the sample jobs.</summary>
        internal const double MostSpread = 0.3;

        /// <summary>A cell pair with less than this share of the samples is left wide. Simulated flights, not recorded which.</summary>
        internal const double FewSamples = 0.03;

        /// <summary>Speed, share, over which an envelope stays correlated. Simulated flights, not recorded which.</summary>
        internal const double CorrelationSpeed = 0.02;

        /// <summary>Time, s, over which an envelope stays correlated. Simulated flights, not recorded which.</summary>
        internal const double CorrelationS = 8;

        /// <summary>Added to the diagonal of the knots' correlation, against rounding.</summary>
        internal const double CorrelationLoading = 1e-3;

        /// <summary>Variance with speed to begin with, share of the line's square; expectation maximisation finds the rest.</summary>
        internal const double FirstVarianceWithSpeed = 0.05;

        /// <summary>Variance with time to begin with, share of the line's square.</summary>
        internal const double FirstVarianceWithTime = 0.01;

        /// <summary>Least variance, in units of the noise: against division by zero.</summary>
        internal const double LeastVariance = 1e-12;

        /// <summary>Diagonal loading of the constant, which only the data determine: against rounding.</summary>
        internal const double DiagonalLoading = 1e-9;

        /// <summary>Time between knots of time in the last fit, s. Simulated flights, not recorded which.</summary>
        internal const double KnotS = 5;

        /// <summary>Rounds of expectation maximisation in each of the last two fits. Simulated flights, not recorded which.</summary>
        internal const int LastRounds = 4;

        /// <summary>Rounds of expectation maximisation in each pass of the phase refinement. Simulated flights, not recorded
        /// which.</summary>
        internal const int PassRounds = 2;
    }

    /// <summary>Phase estimate: one Gauss-Newton step for all rotors and all times.</summary>
    internal static class Phase
    {
        /// <summary>Process noise tried, rad² a second, each ten times the last.</summary>
        internal static readonly double[] ProcessNoise = [0.0001, 0.001, 0.01, 0.1, 1, 10];

        /// <summary>By how much process noise is divided again and again where the matrix is not positive definite.</summary>
        internal const double StifferBy = 3;

        /// <summary>Share of a line's square that the model misses and that is not phase: a floor under the noise. Simulated flights, not
        /// recorded which.</summary>
        internal const double ModelShare = 0.003;

        /// <summary>Share of all lines' squares below which a line counts as empty: in a record without noise its phase would come from
        /// rounding.</summary>
        internal const double EmptyShare = 1e-5;

        /// <summary>Diagonal loading, share of the tie between neighbours: holds the level, which only the phasors determine.</summary>
        internal const double DiagonalLoading = 1e-6;

        /// <summary>Phase variance at first, rad²: low orders stay coherent, high ones do not. Lower (all orders at once) caught
        /// orders of 3 and above a part of a turn off: 0.09 and 0.19 dB in the median (docs/methods/orders.md).</summary>
        internal const double FirstVariance = 1;

        /// <summary>Phase variance of the second attempt, rad², for rotors that stay lost: their only lines may be of high
        /// order.</summary>
        internal const double SecondVariance = 0.05;

        /// <summary>A phase more uncertain than this, rad², is lost. Simulated flights, not recorded which.</summary>
        internal const double LostVariance = 0.3;

        /// <summary>Most passes of envelopes and phases by turns.</summary>
        internal const int MostPasses = 10;

        /// <summary>Passes end when phases move by less than this share of their uncertainty, and that shrinks by no more. Simulated
        /// flights, not recorded which.</summary>
        internal const double Settled = 0.15;

        /// <summary>Most process noise, in units of what the readings' own noise explains: up to five times on simulated flights.
        /// Without a limit the phases of a hover not much longer than a beat take up the beat.</summary>
        internal const double MostProcessNoise = 10;

        /// <summary>Most process noise in any case, rad² a second. Simulated flights, not recorded which.</summary>
        internal const double LeastLimit = 0.002;
    }

    /// <summary>Repair of cycle slips.</summary>
    internal static class CycleSlips
    {
        /// <summary>Length of the boxes in which the residual is compared, s. Simulated flights, not recorded which.</summary>
        internal const double BoxS = 0.5;

        /// <summary>Fewest boxes that can be compared.</summary>
        internal const int LeastBoxes = 5;

        /// <summary>A fit whose worst box leaves no more than this times its median box has no slips. Simulated flights, seeds 21 and
        /// 33 among them.</summary>
        internal const double Smooth = 1.45;

        /// <summary>Most power right beside the lines, in units of that further off: 0.9 to 1.3 on simulated flights where phases are
        /// followed, 2 to 15 where one is lost.</summary>
        internal const double MostExcess = 1.5;

        /// <summary>Most rounds of multi-start.</summary>
        internal const int MostRounds = 8;

        /// <summary>Share by which the negative log-likelihood must fall for a start to count where the fit stays bad: by 4 % or more
        /// when a true slip is removed, by up to 2 % where there was none (simulated flights).</summary>
        internal const double LeastFall = 0.03;

        /// <summary>In a new start process noise may be this much larger than before, when slips were part of it.</summary>
        internal const double ProcessNoiseGrowth = 2;

        /// <summary>Phase variance of joined phases, rad². As unknown (1) they slip again.</summary>
        internal const double JoinedVariance = 0.05;

        /// <summary>Most rotors that are started again alone. For time.</summary>
        internal const int MostAlone = 4;

        /// <summary>How far the envelopes are trusted when phases are filtered again: fitted to slipped phases, they are not quite right.
        /// Simulated flights, seeds 21 and 33 among them.</summary>
        internal static readonly double[] Trust = [1, 0.2];

        /// <summary>Phase variance with which the filter begins, rad².</summary>
        internal const double FilterVariance = 0.05;

        /// <summary>Iterations of the filter at each envelope sample.</summary>
        internal const int FilterIterations = 2;

        /// <summary>Furthest that a phase moves in one iteration, rad.</summary>
        internal const double MostFilterStep = 1;

        /// <summary>Phase tracks agree that differ by less than this, whole turns aside, rad.</summary>
        internal const double MostApart = 0.6;

        /// <summary>Cost of going over to another track, in units of the negative log-likelihood: none is left for chance.</summary>
        internal const double TransitionCost = 20;
    }

    /// <summary>Intervals, and which sizes are not given.</summary>
    internal static class Levels
    {
        /// <summary>A line whose variance its neighbours inflate by more is not given. Seeds 5 and 11.</summary>
        internal const double MostInflation = 10;

        /// <summary>From this inflation on a line is not given either where its deviation is above <see cref="MostDeviation"/> of its
        /// square. Seeds 5 and 11.</summary>
        internal const double SomeInflation = 2;

        /// <summary>See <see cref="SomeInflation"/>.</summary>
        internal const double MostDeviation = 0.25;

        /// <summary>By how much the deviation from noise falls short of the errors found. Seeds 5 and 11.</summary>
        internal const double DeviationFactor = 1.4;

        /// <summary>Error from imperfect phase tracking, share of the square; grows with the order and with the inflation. Seeds 5 and
        /// 11.</summary>
        internal const double ModelShare = 0.0075;

        /// <summary>The same for each order.</summary>
        internal const double ModelShareByOrder = 0.0025;

        /// <summary>Lines of the same order nearer than this are named as a group, Hz. Simulated flights, not recorded which.</summary>
        internal const double GroupHz = 1.5;

        /// <summary>Lines that go through fewer beats in every segment are not separated. Simulated flights, not recorded
        /// which.</summary>
        internal const double LeastBeats = 0.9;

        /// <summary>A group that may be so much interference, share of its square, has no interval. Derived: the interval would reach to
        /// zero.</summary>
        internal const double MostInterference = 0.8;

        /// <summary>Most power of groups without an interval, share of the total's, that counts in
        /// full as uncertainty of the total; beyond, the total
        /// has no interval either. Simulated flights, not recorded which.</summary>
        internal const double MostUnbounded = 0.1;

        /// <summary>How well the turns of a segment are known at its ends, turns: half width of the 95 % interval. Common
        /// practice.</summary>
        internal const double TurnsHalf95 = 0.1;

        /// <summary>Least square given, share of its deviation: a size is not 0 because noise went the other way. Common
        /// practice.</summary>
        internal const double LeastSquare = 0.1;
    }
}
