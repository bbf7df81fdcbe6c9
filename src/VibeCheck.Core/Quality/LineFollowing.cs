using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether the rotor lines of the vibration follow the reported speeds: at ratio 1, and with a phase that the fit can
/// follow.</summary>
/// <remarks>A wrong clock, telemetry of another flight, and lost samples whose stamps were made even all let the fit of the orders finish
/// without an error, but with too small a result. They show in the spectra: the lines are not at the reported speeds, or the fit holds less
/// power than the bins around the lines.</remarks>
internal static class LineFollowing
{
    private const double LeastRpm = 300;

    // Share of half the sample rate; above it the logger's own filter attenuates lines.
    private const double TopShare = 0.9;

    // Ratios from 0.8 to 1.25 in steps of a quarter percent.
    private const double RatioStep = 0.0025;
    private const int RatioSteps = 90;

    // Reported speeds and clocks agree within some parts per thousand on real recorders; half a percent occurs with cheap oscillators.
    private const double MostOff = 0.008,
        MostOffForHeat = 0.02;

    // A ratio counts as detected when its score is this many deviations (1.4826 MAD over all ratios) above the median.
    private const double SeenDeviations = 5,
        SurelySeenDeviations = 8;

    // A line of a rotor at a multiple that is not whole differs by at least this share from every whole one; the error of reported speeds
    // is smaller.
    private const double LeastApartShare = 0.012;

    // Shares of the power near the lines that the fit holds; chosen on simulated flights.
    private const double BrokenShare = 0.65,
        PoorShare = 0.85;

    // More power than the spectrum has: orders of close rotors that cancel each other. Undamaged simulated flights: 0.92 to 1.15. Between
    // gaps, rotors that turn within some rpm of each other reach 1.4 to 2, and the interval is widened by the same amount.
    private const double MostShare = 1.2,
        WrongShare = 2;
    private const double NotFollowingShare = 0.12;

    /// <summary>Checks the hover of a flight.</summary>
    /// <param name="flight">The flight with its speeds.</param>
    /// <param name="airframe">Blades of the motors.</param>
    /// <param name="runs">The hover.</param>
    /// <param name="analysis">The measured results, with the power that the fit holds.</param>
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
        if (rpm.Length == 0 || analysis.RotorVibrationMps2.Value is null)
        {
            yield break;
        }

        double fastestHz = rpm.Max(r => r.MeanOver(analysis.Hover.Segments) ?? 0) / 60;
        int[] orders = [.. analysis.MeasuredOrders.Where(k => k * fastestHz * 1.05 < TopShare * flight.Imu.RateHz / 2)];
        if (orders.Length == 0 || fastestHz < LeastRpm / 60)
        {
            yield break;
        }

        double fitted = Fitted(analysis, orders);
        OtherLine[] turning = OtherLines(flight, analysis),
            steady = [.. analysis.Accounting?.SteadyLines.Select(l => new OtherLine(null, l.Hz)) ?? []];
        if (LineSpectra.Of(flight.Imu, rpm, runs, orders, turning) is not { } lines)
        {
            yield break;
        }

        Evidence evidence = Weigh(lines, fitted);
        if (evidence.SeenAtOne >= SeenDeviations && steady.Length > 0)
        {
            // Only where the rotors' own lines are detected, because lines of telemetry from another flight look steady too.
            Evidence without = Weigh(LineSpectra.Of(flight.Imu, rpm, runs, orders, [.. turning, .. steady])!, fitted);

            evidence = evidence with { Near = evidence.Near.OrWithout(without.Near), Wide = evidence.Wide.OrWithout(without.Wide) };
        }

        if (Judge(evidence, analysis.RotorVibrationMps2) is { } issue)
        {
            yield return issue;
        }
    }

    /// <summary>Lines that follow a rotor at multiples that are not whole: caused by a bearing or a loose arm. The fit of whole orders does
    /// not include them.</summary>
    private static OtherLine[] OtherLines(Flight flight, FlightAnalysis analysis) =>
        [
            .. (analysis.Accounting is { } account ? account.HalfOrders.Concat(account.LockedLines) : [])
                .Where(l => Math.Abs(l.Multiple - Math.Round(l.Multiple)) > LeastApartShare * l.Multiple)
                .Select(l => (l.MotorId is { } id ? flight.Track(id)?.Rpm : null, l.Multiple))
                .Where(l => l.Item1 is { Count: > 1 })
                .Select(l => new OtherLine(l.Item1, l.Multiple)),
        ];

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

    /// <summary>The evidence for the decision: ratio of the lines, how clearly they are detected at ratio 1, share followed.</summary>
    internal readonly record struct Evidence(double Ratio, double SeenAtOne, double SeenAtBest, FittedShare Near, FittedShare Wide);

    private static QualityIssue? Judge(Evidence e, Estimate rotors)
    {
        if (Math.Abs(Math.Log(e.Ratio)) > MostOff && e.SeenAtBest > SurelySeenDeviations && e.SeenAtBest > 1.3 * e.SeenAtOne)
        {
            // Either the clock of the IMU or the speeds are wrong. Heat scales with the third power of speed: 6 % of a rise at 2 %.
            bool heat = Math.Abs(Math.Log(e.Ratio)) > MostOffForHeat;
            return Withheld(new LinesOffSpeeds(e.Ratio), Answers.Vibration | Answers.MotorOrders | (heat ? Answers.Temperatures : 0));
        }

        if (e.SeenAtOne < SeenDeviations && e.Wide.Value < NotFollowingShare)
        {
            // Telemetry of another flight also has the temperatures of that flight.
            return Withheld(
                new LinesDoNotFollow(Math.Max(0, e.Wide.Value)),
                Answers.Vibration | Answers.MotorOrders | Answers.Temperatures
            );
        }

        // Where single lines are not detected, the wide band around them still holds their power.
        FittedShare least = FittedShare.Least(e.Near, e.Wide),
            share = e.SeenAtOne < SeenDeviations ? e.Wide : least;
        bool isTooMuch = least.Value > MostShare;
        if (!isTooMuch && share.Value >= PoorShare)
        {
            return null;
        }

        // What the interval of the fit already includes is no fault, nor what the noise of the spectrum leaves open: as strong rotor wash
        // does.
        (double low, double high) = rotors is { Value: > 0 and double value, Ci95: { } ci }
            ? (Math.Pow(ci.Low / value, 2), Math.Pow(ci.High / value, 2))
            : (1, 1);
        if (isTooMuch ? least.Value * low < 1 || least.Low <= MostShare : share.Value * high > 1 || share.High >= PoorShare)
        {
            return null;
        }

        // The missing or excess power is the size of the error; as the standard uncertainty of a one-sided error it counts in full.
        FittedShare found = isTooMuch ? least : share;
        double offDb = Math.Abs(10 * Math.Log10(Math.Max(0.01, found.Value)));
        Reason cause = isTooMuch ? new OrdersExceedSpectrum(found.Value) : new PhaseBroken(found.Value);
        return found.High < BrokenShare || found.Low > WrongShare
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

    private static QualityIssue Withheld(Reason cause, Answers affects) =>
        new()
        {
            Cause = cause,
            Track = "clock",
            Effect = QualityEffect.Withheld,
            Affects = affects,
        };

    private static Evidence Weigh(LineSpectra lines, double fitted)
    {
        double[] scores = [.. Enumerable.Range(-RatioSteps, 2 * RatioSteps + 1).Select(i => lines.Score(Math.Exp(i * RatioStep)))];
        double[] sorted = [.. scores.Order()];
        double median = sorted[sorted.Length / 2];
        double deviation = 1.4826 * Robust.UpperMedian([.. scores.Select(s => Math.Abs(s - median))]);
        int best = Array.IndexOf(scores, scores.Max());
        int margin = (int)Math.Round(MostOff / RatioStep);
        double atOne = scores.AsSpan(RatioSteps - margin, 2 * margin + 1).ToArray().Max();
        (LinePower near, LinePower wide) = lines.LinePowers();
        double seenAtOne = (atOne - median) / Math.Max(deviation, 1e-6);

        // Where no line is detected and no power exceeds the surrounding floor, nothing follows the speeds.
        return new(
            Math.Exp((best - RatioSteps) * RatioStep),
            seenAtOne,
            (scores[best] - median) / Math.Max(deviation, 1e-6),
            near.Share(fitted, without: 1),
            wide.Share(fitted, without: seenAtOne < SeenDeviations ? 0 : 1)
        );
    }
}
