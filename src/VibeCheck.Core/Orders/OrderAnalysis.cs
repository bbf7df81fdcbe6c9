using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Orders;

/// <summary>Measures what every rotor does to the airframe: the size of each order of each motor, from acceleration and reported
/// speeds.</summary>
public static class OrderAnalysis
{
    /// <summary>Shortest stretch used, s.</summary>
    private const double LeastStretchS = 1.5;

    /// <summary>Least share of the hover that speed readings must cover.</summary>
    private const double LeastCoverage = 0.5;

    /// <summary>Slower than this a rotor counts as standing, rpm.</summary>
    private const double LeastRpm = 300;

    /// <summary>Lines that merge lie nearer than this, Hz.</summary>
    private const double NearHz = 1.5;

    /// <summary>Lines that go through fewer beats are not told apart.</summary>
    private const double LeastBeats = 0.9;

    /// <summary>A group that may be so much interference, share of its square, has no interval.</summary>
    private const double MostInterference = 0.8;

    // A group without an interval counts in full as uncertainty of the total up to this share of its power; beyond, the total has no interval.
    private const double MostUnbounded = 0.1;

    /// <summary>Windows of the first look at the noise, s.</summary>
    private const double FirstWindowS = 2;
    private const double FirstRidge = 0.03;

    /// <summary>Time between knots of a line's course in the last fit, s.</summary>
    private const double KnotS = 5;

    /// <summary>Rounds of expectation maximisation in each of the last two fits, the second with the noise that the first leaves.</summary>
    private const int Rounds = 4;

    /// <summary>A line whose neighbours raise its variance more than this is not told from them; one whose doubt is then larger than a share of its
    /// square, sooner.</summary>
    private const double MostGain = 10;
    private const double LeastGain = 2;
    private const double MostDoubt = 0.25;

    // By how much the deviation from noise falls short of the errors met on simulated hovers (the campaign's trials), and the share of a square
    // that goes astray in angles that are not quite followed, the more the higher the order, and the more the neighbours let it grow.
    private const double FallsShort = 1.4;
    private const double ModelShare = 0.0075;
    private const double ModelShareByOrder = 0.0025;

    /// <summary>Size of each order of each rotor over the hover, sqrt(sum over axes of mean(A²) / 2), m/s².</summary>
    /// <param name="imu">Acceleration, m/s², on even clock blocks. NaN samples are bridged (up to 3) or cut out.</param>
    /// <param name="rotors">Reported speeds. Readings that are 0, negative, NaN or spikes are left out.</param>
    /// <param name="hover">The time to measure over, on the IMU clock.</param>
    /// <param name="options">What to measure.</param>
    /// <returns>What can be reckoned; the rest is unknown with its reason.</returns>
    /// <exception cref="ArgumentNullException">An argument is null.</exception>
    /// <exception cref="ArgumentOutOfRangeException">An order below 1.</exception>
    public static OrderResult Measure(ImuTrack imu, IReadOnlyList<RotorSpeed> rotors, IReadOnlyList<TimeInterval> hover, OrderOptions options)
    {
        ArgumentNullException.ThrowIfNull(imu);
        ArgumentNullException.ThrowIfNull(rotors);
        ArgumentNullException.ThrowIfNull(hover);
        ArgumentNullException.ThrowIfNull(options);
        List<DetrendedSegment> stretches = imu.Count == 0 ? [] : DetrendedSegment.Cut(imu, MeasuredTime.Of(hover), LeastStretchS);
        string?[] why = new string?[rotors.Count];
        var clean = new Series?[rotors.Count];
        for (int r = 0; r < rotors.Count; r++)
        {
            why[r] = stretches.Count == 0
                ? "The hover holds no stretch of 1.5 s or more without a gap in the acceleration."
                : WhyNot(rotors[r].Rpm, stretches);
            clean[r] = why[r] is null ? SpeedSmoothing.Clean(rotors[r].Rpm) : null;
        }

        int[] turning = [.. Enumerable.Range(0, rotors.Count).Where(r => clean[r] is not null)];
        return new Run(rotors, options, why, turning, [.. turning.Select(r => clean[r]!)], stretches, MeasuredTime.LeftOut(hover)).Result();
    }

    private static string? WhyNot(Series rpm, List<DetrendedSegment> stretches)
    {
        int turning = 0, standing = 0;
        double covered = 0, all = stretches.Sum(s => s.Seconds), sum = 0;
        foreach (DetrendedSegment s in stretches)
        {
            double last = double.NaN, end = s.StartS + s.Seconds;
            for (int i = Math.Max(0, rpm.FirstAtOrAfter(s.StartS) - 1); i < rpm.Count; i++)
            {
                double t = rpm.TimeS[i], v = rpm.Values[i];
                if (t > end)
                {
                    break;
                }

                if (double.IsFinite(v) && v >= LeastRpm)
                {
                    turning++;
                    sum += v;
                    covered += double.IsNaN(last) ? 0 : Math.Min(1, t - Math.Max(last, s.StartS));
                    last = t;
                }
                else if (double.IsFinite(v))
                {
                    standing++;
                    last = double.NaN;
                }
            }
        }

        if (turning == 0)
        {
            return standing > 0 ? "The motor stood still over the hover." : "There are no speed readings over the hover.";
        }

        return turning < 4 || covered < LeastCoverage * all
            ? string.Create(System.Globalization.CultureInfo.InvariantCulture, $"Speed readings cover only {100 * covered / all:0} % of the hover.")
            : null;
    }

    /// <summary>One measurement on its way.</summary>
    private sealed class Run(
        IReadOnlyList<RotorSpeed> rotors, OrderOptions options, string?[] why, int[] turning, Series[] speeds, List<DetrendedSegment> stretches, double leftOut)
    {
        private const string NoBeat = "Lines that could not be told apart beat against each other so slowly that the flight does not tell how much of it is chance.";
        private const string NoLines = "None of the orders asked for can be measured at this sample rate.";

        private readonly List<Line> _lines = [];
        private readonly Dictionary<(int Rotor, int Order), string> _whyNoLine = [];

        // Rotors with a line or more, and their speeds: the rest tells nothing, and nothing is told of it.
        private readonly List<int> _heard = [];
        private readonly List<Series> _speeds = [];
        private double? _lagS;

        internal OrderResult Result()
        {
            if (turning.Length == 0)
            {
                return Nothing();
            }

            double rateHz = 1 / stretches[0].PeriodS;
            for (int i = 0; i < turning.Length; i++)
            {
                FindLines(turning[i], speeds[i], rateHz);
            }

            List<DemodulatedSegment> tracked = _lines.Count == 0 ? [] : Track();
            return Collect(tracked, _lines.Count == 0 ? [] : Levels(tracked), rateHz);
        }

        private void FindLines(int rotor, Series rpm, double rateHz)
        {
            double hz = MeanRpm(rpm) / 60;
            int before = _lines.Count;
            foreach (int order in options.For(rotors[rotor].Blades))
            {
                var line = Line.Of(_heard.Count, order, hz, rateHz);
                if (WhyNoLine(line, hz, rateHz) is string reason)
                {
                    _whyNoLine[(rotor, order)] = reason;
                }
                else
                {
                    _lines.Add(line);
                }
            }

            if (_lines.Count > before)
            {
                _heard.Add(rotor);
                _speeds.Add(rpm);
            }
        }

        private double MeanRpm(Series rpm) => rpm.MeanOver([.. stretches.Select(s => new TimeInterval(s.StartS, s.StartS + s.Seconds))]) ?? rpm.Values.Average();

        private static string? WhyNoLine(Line line, double rotorHz, double rateHz)
        {
            double at = line.ApparentHz(rotorHz);
            return line.Hz > 1.5 * rateHz ? "Its frequency is more than one and a half times the sample rate."
                : at < 3 || at > rateHz / 2 - 3 ? "It folds onto zero or half the sample rate, where size and phase can't be told apart."
                : null;
        }

        private List<DemodulatedSegment> Track()
        {
            var memory = new Workspace();
            RotorAngle[] angles = [.. _speeds.Select(s => new RotorAngle(s))];
            List<DemodulatedSegment> tracked = [.. stretches.Select(s => new DemodulatedSegment(s, _lines, angles, memory))];
            _lagS = SpeedLag.Find(tracked, angles);
            if (_lagS is { } lag)
            {
                angles = [.. _speeds.Select(s => new RotorAngle(s.Shifted(-lag)))];
                tracked.ForEach(t => t.Begin(angles));
            }

            return tracked;
        }

        /// <summary>Refines the angles and reads every line's size, over all stretches by their time.</summary>
        private LineLevel[] Levels(List<DemodulatedSegment> tracked)
        {
            double seconds = tracked.Sum(t => t.Stretch.Seconds);
            double[] shares = [.. tracked.Select(t => t.Stretch.Seconds / seconds)];
            double walk = _heard.Max(r => SpeedSmoothing.AngleWalk(rotors[r].Rpm));
            var own = new LineLevel[tracked.Count][];
            tracked.ForEach(t => t.IsAlone = tracked.Count < Environment.ProcessorCount);
            Parallel.For(0, tracked.Count, s => own[s] = Levels(tracked[s], walk));
            return [.. Enumerable.Range(0, _lines.Count).Select(l => LineLevel.Over([.. own.Select(levels => levels[l])], shares, leftOut))];
        }

        private static LineLevel[] Levels(DemodulatedSegment tracked, double walk)
        {
            var noise = new LineNoise(tracked);
            noise.Read(Residual.Of(JointFit.Of(tracked, FirstWindowS, FirstRidge)));
            EnvelopeFit course = PhaseRefinement.Run(tracked, noise, walk);
            course = EnvelopeFit.Of(tracked, noise.Nodes, KnotS, Rounds, course);
            noise.Read(Residual.Of(tracked, course.Courses()));
            LineLevel[] levels = EnvelopeLevels.Of(EnvelopeFit.Of(tracked, noise.Nodes, KnotS, Rounds, course));
            tracked.GiveBackResidual();
            return levels;
        }

        private OrderResult Collect(List<DemodulatedSegment> tracked, LineLevel[] levels, double rateHz)
        {
            double square = 0, variance = 0, unbounded = 0;
            var motors = new List<RotorOrders>();
            for (int r = 0; r < rotors.Count; r++)
            {
                int own = _heard.IndexOf(r);
                var orders = new List<OrderLevel>();
                foreach (int order in options.For(rotors[r].Blades))
                {
                    int line = _lines.FindIndex(l => l.Rotor == own && l.Order == order);
                    if (line < 0)
                    {
                        orders.Add(Unknown(order, why[r] ?? _whyNoLine[(r, order)]));
                        continue;
                    }

                    LineLevel level = levels[line];
                    double deviation = Widened(level, order, level.Gain), inTotal = Widened(level, order, gain: 1);
                    if (level.Gain > MostGain || BeatsTooFew(tracked, line) || (level.Gain > LeastGain && deviation > MostDoubt * level.Square))
                    {
                        OrderLevel merged = Merged(tracked, line, rateHz);
                        orders.Add(merged);
                        // Each member brings its even share, so that the group counts once.
                        int members = Math.Max(1, merged.Group.Count);
                        double of = merged.GroupMps2?.Value ?? 0, most = merged.GroupMps2?.Ci95?.High ?? of;
                        square += of * of / members;
                        variance += Math.Pow((most * most - of * of) / 1.96, 2) / members;
                        unbounded += merged.GroupMps2 is { Value: not null, Ci95: null } ? of * of / members : 0;
                        continue;
                    }

                    square += level.Square;
                    // What one line takes from its neighbour by mistake, the total keeps.
                    variance += inTotal * inTotal;
                    orders.Add(new OrderLevel
                    {
                        Order = order,
                        RmsMps2 = Root(level.Square, deviation),
                        PerAxisMps2 = [.. level.PerAxis.Select(p => Math.Sqrt(Math.Max(0, p)))],
                        Separable = true,
                        FoldedFromHz = _lines[line].Hz > rateHz / 2 ? _lines[line].Hz : null,
                    });
                }

                motors.Add(new RotorOrders
                {
                    MotorId = rotors[r].MotorId,
                    Orders = orders,
                    RpmMean = own < 0 ? Estimate.Unknown(why[r] ?? NoLines) : Rpm(tracked, own),
                    SpeedLagS = own < 0 ? null : _lagS,
                });
            }

            return new OrderResult
            {
                Motors = motors,
                RotorVibrationMps2 = _lines.Count == 0 ? Estimate.Unknown(NoLines)
                    : unbounded <= MostUnbounded * square ? Root(square, Math.Sqrt(variance + unbounded * unbounded))
                    : Estimate.WithoutInterval(Math.Sqrt(square), NoBeat),
                SecondsUsed = stretches.Sum(s => s.Seconds),
            };
        }

        /// <summary>Whether the same order of another rotor and a line go through less than a beat together in every stretch: one line whose size and
        /// phase change would look the same.</summary>
        private bool BeatsTooFew(List<DemodulatedSegment> tracked, int line) => Near(line).Any(other =>
            other != line && tracked.TrueForAll(t => t.Beats(line, other) < LeastBeats));

        /// <summary>Lines of the same order next to a line, with it: those that it would be given as a group with.</summary>
        private int[] Near(int line) => [.. Enumerable.Range(0, _lines.Count).Where(l =>
            _lines[l].Order == _lines[line].Order && Math.Abs(_lines[l].Hz - _lines[line].Hz) < NearHz)];

        /// <summary>Standard deviation of a line's square: what noise explains, as far as it falls short on trials, and what is no matter of noise.</summary>
        private static double Widened(LineLevel level, int order, double gain)
        {
            double model = gain * (ModelShare + ModelShareByOrder * order) * Math.Max(0, level.Square);
            return Math.Sqrt(FallsShort * FallsShort * level.Deviation * level.Deviation + model * model);
        }

        /// <summary>A line that could not be parted from others: the size of all of them together, from windows too short to part them.</summary>
        private OrderLevel Merged(List<DemodulatedSegment> tracked, int line, double rateHz)
        {
            int[] near = Near(line);
            OrderLevel level = Unknown(_lines[line].Order, near.Length > 1
                ? "It could not be told from its neighbours, which turn at nearly the same speed."
                : "Its speed could not be followed closely enough.") with
            {
                FoldedFromHz = _lines[line].Hz > rateHz / 2 ? _lines[line].Hz : null,
            };
            double square = near.Length < 2 ? 0 : MergedLines.Square(tracked, near), unknown = near.Length < 2 ? 0 : Interference(tracked, near);
            return near.Length < 2 ? level : level with
            {
                Separable = false,
                Group = [.. near.Select(l => rotors[_heard[_lines[l].Rotor]].MotorId)],
                GroupMps2 = square <= 0 ? Estimate.Unknown("The group does not stand out of the noise.")
                    : unknown > MostInterference ? Estimate.WithoutInterval(Math.Sqrt(square), NoBeat)
                    : Estimate.Of(Math.Sqrt(square), new Interval(Math.Sqrt(square / (1 + unknown)), Math.Sqrt(square / (1 - unknown)))),
            };
        }

        /// <summary>Share of a group's square that may be interference: the mean of cos over N beats of two equal lines is at most 1/(πN), in windows that
        /// fade at their ends twice that; each further line adds as much.</summary>
        private static double Interference(List<DemodulatedSegment> tracked, int[] group)
        {
            double beats = group.SelectMany(a => group.Where(b => b < a).Select(b => tracked.Sum(t => t.Beats(a, b)))).Min();
            return 2 * (group.Length - 1) / (Math.PI * Math.Max(1e-3, beats));
        }

        private static Estimate Rpm(List<DemodulatedSegment> tracked, int rotor)
        {
            double turns = tracked.Sum(t => (t.Angle(rotor, t.Stretch.Nodes - 1) - t.Angle(rotor, 0)) / Math.Tau), seconds = tracked.Sum(t => t.Stretch.Seconds);
            return Estimate.Around(60 * turns / seconds, 60 * 0.1 * tracked.Count / seconds);
        }

        private static OrderLevel Unknown(int order, string reason) => new() { Order = order, RmsMps2 = Estimate.Unknown(reason), Separable = true };

        private OrderResult Nothing() => new()
        {
            Motors = [.. rotors.Select((rotor, r) => new RotorOrders
            {
                MotorId = rotor.MotorId,
                Orders = [.. options.For(rotor.Blades).Select(o => Unknown(o, why[r]!))],
                RpmMean = Estimate.Unknown(why[r]!),
            })],
            RotorVibrationMps2 = Estimate.Unknown(why.FirstOrDefault(w => w is not null) ?? "No rotor was given."),
            SecondsUsed = stretches.Sum(s => s.Seconds),
        };

        private static Estimate Root(double square, double deviation)
        {
            double low = Math.Sqrt(Math.Max(0, square - 1.96 * deviation)), high = Math.Sqrt(Math.Max(0, square) + 1.96 * deviation);
            // Never below what chance alone would leave: a size is not 0, nor its logarithm infinite, because noise went the other way.
            double value = Math.Sqrt(Math.Max(square, 0.1 * deviation));
            return Estimate.Of(value, new Interval(Math.Min(low, value), Math.Max(high, value)));
        }
    }
}
