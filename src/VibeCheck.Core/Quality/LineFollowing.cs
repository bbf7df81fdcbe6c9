using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether the rotor lines of the vibration follow the reported speeds: at ratio 1,
/// and with a phase that the fit can follow.</summary>
/// <remarks>A wrong clock, telemetry of another flight, and samples that were lost and given new stamps all leave the fit of the orders
/// without error messages but with too small a result. They show in the spectra: the lines lie beside the reported speeds, or the fit
/// holds less power than the bins around the lines do.</remarks>
internal sealed class LineFollowing
{
    // Windows long enough to part a line from the floor, short against the wander of speeds: common practice.
    private const double WindowS = 2,
        LeastWindowS = 0.4;
    private const int MostWindows = 120,
        LeastWindows = 4;

    private const double LeastRpm = 300;

    // Of half the sample rate; above it the logger's own filter weakens lines.
    private const double TopShare = 0.9;

    // Ratios from 0.8 to 1.25 in steps of a quarter percent.
    private const double RatioStep = 0.0025;
    private const int RatioSteps = 90;

    // Reported speeds and clocks agree to parts in a thousand on real recorders; half a percent is met with cheap oscillators.
    private const double MostOff = 0.008,
        MostOffForHeat = 0.02;

    // The score of a ratio must rise so many deviations (1.4826 MAD over all ratios) above the median to count as seen.
    private const double SeenDeviations = 5,
        SurelySeenDeviations = 8;

    // Band around a line that holds its power when speeds wander within a window: relative, and in bins.
    private const double NearShare = 0.01;
    private const double NearBins = 2.5;

    // A line of a rotor at other than a whole multiple lies so far from one at least; reported speeds are off by less. The level beside it
    // is that of so many bins on each side.
    private const double LeastApartShare = 0.012;
    private const int BesideBins = 8;

    // Shares of the power near the lines that the fit holds; chosen on simulated flights.
    private const double BrokenShare = 0.65,
        PoorShare = 0.85;

    // More power than the spectrum has: orders of close rotors that cancel each other. Undamaged simulated flights: 0.92 to 1.15; between gaps,
    // rotors that turn within some rpm of each other reach 1.4 to 2, and the interval is widened by as much.
    private const double MostShare = 1.2,
        WrongShare = 2;
    private const double NotFollowingShare = 0.12;

    // Power of each window by bin: all axes together, and each.
    private readonly List<double[]> _powers = [];
    private readonly List<double[][]> _axisPowers = [];
    private readonly List<double[]> _speedsHz = [];
    private readonly double _binHz;
    private readonly int[] _orders;

    private LineFollowing(
        ImuTrack imu,
        IReadOnlyList<Series> rpm,
        IReadOnlyList<ContiguousSegment> runs,
        int[] orders,
        IReadOnlyList<Line> others,
        int length
    )
    {
        (_orders, _binHz) = (orders, imu.RateHz / length);
        int step = Math.Max(length / 2, (int)(runs.Sum(r => (long)r.SampleCount) / MostWindows));
        var fft = new RealFft(length);
        double[] window = Window.Hann.Values(length);
        double scale = 2 / (length * window.Sum(w => w * w));
        foreach (ContiguousSegment run in runs)
        {
            ContiguousSegment block = imu.Blocks.First(b =>
                run.FirstSample >= b.FirstSample && run.FirstSample < b.FirstSample + b.SampleCount
            );
            for (int first = run.FirstSample; first + length <= run.FirstSample + run.SampleCount; first += step)
            {
                double fromS = block.TimeOf(first),
                    toS = block.TimeOf(first + length - 1);
                double[] hz = [.. rpm.Select(r => MeanHz(r, fromS, toS)).Where(f => f > LeastRpm / 60)];
                double[][] axes = [.. imu.Acceleration.Select(axis => Power(axis.AsSpan(first, length), fft, window, scale))];
                if (hz.Length > 0 && axes.All(axis => double.IsFinite(axis[1])))
                {
                    ReplaceLines([.. others.Select(o => o.Rpm is null ? o.Multiple : o.Multiple * MeanHz(o.Rpm, fromS, toS))], axes, hz);
                    _speedsHz.Add(hz);
                    _axisPowers.Add(axes);
                    _powers.Add([.. axes[0].Select((power, k) => power + axes[1][k] + axes[2][k])]);
                }
            }
        }
    }

    /// <summary>Looks at the hover of a flight.</summary>
    /// <param name="flight">The flight with its speeds.</param>
    /// <param name="airframe">Blades of the motors.</param>
    /// <param name="runs">The hover.</param>
    /// <param name="analysis">What was measured: the power that the fit holds.</param>
    internal static IEnumerable<QualityIssue> Of(
        Flight flight,
        Airframe airframe,
        IReadOnlyList<ContiguousSegment> runs,
        FlightAnalysis analysis
    )
    {
        Series[] rpm =
        [
            .. airframe.Motors.Select(m => flight.Track(m.Id)?.Rpm).Where(r => r is { Count: > 1 }).Select(r => Spikes.Without(r!)),
        ];
        int length = (int)System.Numerics.BitOperations.RoundUpToPowerOf2((uint)Math.Max(64, WindowS * flight.Imu.RateHz * 0.75));
        if (rpm.Length == 0 || analysis.RotorVibrationMps2.Value is null)
        {
            yield break;
        }

        double fastestHz = rpm.Max(r => r.MeanOver(analysis.Hover.Segments) ?? 0) / 60;
        int[] orders =
        [
            .. analysis
                .Motors.SelectMany(m => m.Orders)
                .Where(o => o.RmsMps2.IsKnown || o.GroupMps2 is { IsKnown: true })
                .Select(o => o.Order)
                .Distinct()
                .Where(k => k * fastestHz * 1.05 < TopShare * flight.Imu.RateHz / 2)
                .Order(),
        ];
        if (orders.Length == 0 || fastestHz < LeastRpm / 60)
        {
            yield break;
        }

        double fitted = Fitted(analysis, orders);
        Line[] turning = OtherLines(flight, analysis),
            steady = [.. analysis.Accounting?.SteadyLines.Select(l => new Line(null, l.Hz)) ?? []];
        LineFollowing lines = InWindows(flight.Imu, rpm, runs, orders, turning, length);
        if (lines._powers.Count < LeastWindows)
        {
            yield break;
        }

        Evidence evidence = lines.Weigh(fitted);
        if (evidence.SeenAtOne >= SeenDeviations && steady.Length > 0)
        {
            // Only where the rotors' own lines are seen: those of telemetry that belongs to another flight look steady too.
            Evidence without = InWindows(flight.Imu, rpm, runs, orders, [.. turning, .. steady], length).Weigh(fitted);

            // Less power beside the orders than the fit holds in them is no sign of a fault.
            evidence = evidence with
            {
                NearShare = Math.Min(Math.Max(1, evidence.NearShare), without.NearShare),
                WideShare = Math.Min(Math.Max(1, evidence.WideShare), without.WideShare),
            };
        }

        if (Judge(evidence, analysis.RotorVibrationMps2) is { } issue)
        {
            yield return issue;
        }
    }

    /// <summary>Windows of the usual length, or shorter ones where gaps leave no room for enough of them.</summary>
    private static LineFollowing InWindows(
        ImuTrack imu,
        IReadOnlyList<Series> rpm,
        IReadOnlyList<ContiguousSegment> runs,
        int[] orders,
        IReadOnlyList<Line> others,
        int length
    )
    {
        var lines = new LineFollowing(imu, rpm, runs, orders, others, length);
        while (lines._powers.Count < LeastWindows && length / 2 >= LeastWindowS * imu.RateHz)
        {
            length /= 2;
            lines = new LineFollowing(imu, rpm, runs, orders, others, length);
        }

        return lines;
    }

    /// <summary>A line beside the orders.</summary>
    /// <param name="Rpm">Speed of the rotor that it turns with; null for a steady one.</param>
    /// <param name="Multiple">Cycles a revolution, or Hz of a steady one.</param>
    private readonly record struct Line(Series? Rpm, double Multiple);

    /// <summary>Lines that turn with a rotor at other than whole multiples: a bearing or a loose arm makes them, and the fit of whole
    /// orders does not hold them.</summary>
    private static Line[] OtherLines(Flight flight, FlightAnalysis analysis) =>
        [
            .. (analysis.Accounting is { } account ? account.HalfOrders.Concat(account.LockedLines) : [])
                .Where(l => Math.Abs(l.Multiple - Math.Round(l.Multiple)) > LeastApartShare * l.Multiple)
                .Select(l => (l.MotorId is { } id ? flight.Track(id)?.Rpm : null, l.Multiple))
                .Where(l => l.Item1 is { Count: > 1 })
                .Select(l => new Line(l.Item1, l.Multiple)),
        ];

    /// <summary>Replaces each line by the level of the bins beside it, unless it lies too near to an order.</summary>
    private void ReplaceLines(double[] linesHz, double[][] axes, double[] speedsHz)
    {
        foreach (double hz in linesHz)
        {
            double reach = NearShare * hz / _binHz + NearBins,
                centre = hz / _binHz;
            int from = (int)Math.Ceiling(centre - reach),
                to = (int)(centre + reach);
            bool isFree = _orders.All(k => speedsHz.All(f => Math.Abs(k * f / _binHz - centre) > NearShare * k * f / _binHz + NearBins));
            if (isFree && from - BesideBins >= 1 && to + BesideBins < axes[0].Length)
            {
                foreach (double[] axis in axes)
                {
                    double beside = Median([.. axis[(from - BesideBins)..from], .. axis[(to + 1)..(to + 1 + BesideBins)]]);
                    axis.AsSpan(from, to - from + 1).Fill(beside);
                }
            }
        }
    }

    /// <summary>Power that the fit holds in these orders, (m/s²)²; lines of a group count once.</summary>
    private static double Fitted(FlightAnalysis analysis, int[] orders)
    {
        double power = 0;
        var groups = new HashSet<string>();
        foreach (OrderLevel order in analysis.Motors.SelectMany(m => m.Orders).Where(o => orders.Contains(o.Order)))
        {
            double? size =
                order.Separable ? order.RmsMps2.Value
                : groups.Add(FormattableString.Invariant($"{order.Order} {string.Join(' ', order.Group)}")) ? order.GroupMps2?.Value
                : null;
            power += size * size ?? 0;
        }

        return power;
    }

    /// <summary>Evidence that decides: ratio of the lines, how clearly they are seen at ratio 1, share followed.</summary>
    internal readonly record struct Evidence(double Ratio, double SeenAtOne, double SeenAtBest, double NearShare, double WideShare);

    private static QualityIssue? Judge(Evidence e, Statistics.Estimate rotors)
    {
        if (Math.Abs(Math.Log(e.Ratio)) > MostOff && e.SeenAtBest > SurelySeenDeviations && e.SeenAtBest > 1.3 * e.SeenAtOne)
        {
            // Either the clock of the IMU is wrong or the speeds are, and heat scales with their third power: 6 % of a rise at 2 %.
            bool heat = Math.Abs(Math.Log(e.Ratio)) > MostOffForHeat;
            return Withheld(new LinesOffSpeeds(e.Ratio), Answers.Vibration | Answers.MotorOrders | (heat ? Answers.Temperatures : 0));
        }

        if (e.SeenAtOne < SeenDeviations && e.WideShare < NotFollowingShare)
        {
            // Telemetry of another flight has the temperatures of another flight.
            return Withheld(new LinesDoNotFollow(Math.Max(0, e.WideShare)), Answers.Vibration | Answers.MotorOrders | Answers.Temperatures);
        }

        // Where the lines are not seen one by one, the wide band around them still holds their power.
        double share = e.SeenAtOne < SeenDeviations ? e.WideShare : Math.Min(e.NearShare, e.WideShare);
        double most = Math.Min(e.NearShare, e.WideShare);
        if (share >= PoorShare && most <= MostShare)
        {
            return null;
        }

        // What the interval of the fit holds anyway, as among strong noise, is no fault.
        (double low, double high) = rotors is { Value: > 0 and double value, Ci95: { } ci }
            ? (Math.Pow(ci.Low / value, 2), Math.Pow(ci.High / value, 2))
            : (1, 1);
        if ((most > MostShare && most * low < 1) || (most <= MostShare && share * high > 1))
        {
            return null;
        }

        // What is missing, or too much, is the error's size; as a standard uncertainty of a one-sided error it counts in full.
        double found = most > MostShare ? most : share,
            offDb = Math.Abs(10 * Math.Log10(Math.Max(0.01, found)));
        Statistics.Reason cause = found > 1 ? new OrdersExceedSpectrum(found) : new PhaseBroken(found);
        return found < BrokenShare || found > WrongShare
            ? Withheld(cause, Answers.Vibration)
            : new()
            {
                Cause = cause,
                Track = "clock",
                Effect = QualityEffect.Widened,
                Affects = Answers.Vibration,
                AddedDb = offDb,
            };
    }

    private static QualityIssue Withheld(Statistics.Reason cause, Answers affects) =>
        new()
        {
            Cause = cause,
            Track = "clock",
            Effect = QualityEffect.Withheld,
            Affects = affects,
        };

    private Evidence Weigh(double fitted)
    {
        double[] scores = [.. Enumerable.Range(-RatioSteps, 2 * RatioSteps + 1).Select(i => Score(Math.Exp(i * RatioStep)))];
        double[] sorted = [.. scores.Order()];
        double median = sorted[sorted.Length / 2];
        double deviation = 1.4826 * Median([.. scores.Select(s => Math.Abs(s - median))]);
        int best = Array.IndexOf(scores, scores.Max());
        int margin = (int)Math.Round(MostOff / RatioStep);
        double atOne = scores.AsSpan(RatioSteps - margin, 2 * margin + 1).ToArray().Max();
        (double near, double wide) = LinePower();
        double seenAtOne = (atOne - median) / Math.Max(deviation, 1e-6);

        // Where no line is seen and no power stands above the floor around, nothing follows the speeds.
        return new(
            Math.Exp((best - RatioSteps) * RatioStep),
            seenAtOne,
            (scores[best] - median) / Math.Max(deviation, 1e-6),
            near > 0 ? fitted / near : 1,
            wide > 0 ? fitted / wide
                : seenAtOne < SeenDeviations ? 0
                : 1
        );
    }

    /// <summary>How far the bins at the rotors' frequencies times a ratio stand above the floor
    /// around: mean of ln(1 + power / floor).</summary>
    private double Score(double ratio)
    {
        double sum = 0;
        int n = 0;
        for (int w = 0; w < _powers.Count; w++)
        {
            double[] power = _powers[w];
            foreach (int order in _orders)
            {
                double floor = Floor(w, order);
                foreach (double hz in _speedsHz[w])
                {
                    int bin = (int)Math.Round(ratio * order * hz / _binHz);
                    if (bin < 2 || bin + 1 >= power.Length)
                    {
                        continue;
                    }

                    sum += Math.Log(1 + Math.Max(power[bin - 1], Math.Max(power[bin], power[bin + 1])) / floor);
                    n++;
                }
            }
        }

        return n == 0 ? 0 : sum / n;
    }

    private readonly Dictionary<(int Window, int Order), double> _floors = [];

    /// <summary>Median power of the bins from 0.75 to 1.33 of an order's frequencies in a window.</summary>
    private double Floor(int window, int order)
    {
        if (!_floors.TryGetValue((window, order), out double floor))
        {
            (int from, int to) = FloorBins(window, order);
            floor = to > from + 4 ? Math.Max(Median(_powers[window][from..to]), 1e-18) : double.PositiveInfinity;
            _floors.Add((window, order), floor);
        }

        return floor;
    }

    /// <summary>Mean power of noise a bin around an order: of each axis the median over ln 2,
    /// as two squared normal numbers have it (chi-square,
    /// 2 degrees of freedom). By axis, for one may be much noisier than the others.</summary>
    private double MeanFloor(int window, int order)
    {
        (int from, int to) = FloorBins(window, order);
        return to > from + 4 ? _axisPowers[window].Sum(axis => Median(axis[from..to])) / Math.Log(2) : double.PositiveInfinity;
    }

    private (int From, int To) FloorBins(int window, int order)
    {
        double[] hz = _speedsHz[window];
        return (
            Math.Max(1, (int)(0.75 * order * hz.Min() / _binHz)),
            Math.Min(_powers[window].Length - 1, (int)Math.Ceiling(1.33 * order * hz.Max() / _binHz))
        );
    }

    /// <summary>Power above the floor near the lines, and in the wide band around them, mean over the windows, (m/s²)².</summary>
    private (double Near, double Wide) LinePower()
    {
        double near = 0,
            wide = 0;
        for (int w = 0; w < _powers.Count; w++)
        {
            double[] power = _powers[w],
                hz = _speedsHz[w];
            var isNear = new bool[power.Length];
            var isWide = new bool[power.Length];
            foreach (int order in _orders)
            {
                double floor = MeanFloor(w, order);
                foreach (double f in hz)
                {
                    double centre = order * f / _binHz;
                    near += Above(power, isNear, floor, centre - NearShare * centre - NearBins, centre + NearShare * centre + NearBins);
                    wide += Above(power, isWide, floor, 0.85 * centre, 1.18 * centre);
                }
            }
        }

        return (near / _powers.Count, wide / _powers.Count);
    }

    private static double Above(double[] power, bool[] taken, double floor, double from, double to)
    {
        double sum = 0;
        for (int k = Math.Max(1, (int)Math.Ceiling(from)); k <= Math.Min(power.Length - 1, (int)to); k++)
        {
            if (!taken[k])
            {
                taken[k] = true;
                sum += double.IsFinite(floor) ? power[k] - floor : 0;
            }
        }

        return sum;
    }

    private static double MeanHz(Series rpm, double fromS, double toS)
    {
        double sum = 0;
        for (int i = 0; i < 9; i++)
        {
            sum += rpm.At(fromS + (toS - fromS) * (i + 1) / 10);
        }

        return sum / 9 / 60;
    }

    /// <summary>Mean square of one axis in each bin, (m/s²)².</summary>
    private static double[] Power(ReadOnlySpan<double> samples, RealFft fft, double[] window, double scale)
    {
        double mean = System.Numerics.Tensors.TensorPrimitives.Sum(samples) / samples.Length;
        for (int i = 0; i < samples.Length; i++)
        {
            fft.Samples[i] = (samples[i] - mean) * window[i];
        }

        fft.Transform();
        double[] power = new double[fft.Bins];
        for (int k = 0; k < power.Length; k++)
        {
            power[k] = scale * (fft.Re[k] * fft.Re[k] + fft.Im[k] * fft.Im[k]);
        }

        return power;
    }

    private static double Median(double[] values)
    {
        Array.Sort(values);
        return values[values.Length / 2];
    }
}
