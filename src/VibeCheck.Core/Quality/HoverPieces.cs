using VibeCheck.Core.Flights;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether the pieces of one hover agree: same filter, same gain, same vibration of the rotors.</summary>
internal static class HoverPieces
{
    private const int Pieces = 4,
        LeastWindows = 8;

    // Stricter than between flights: within one flight only the sensor changes the ratio of acceleration to rates, and undamaged simulated
    // flights stay within 0.6 dB.
    private const double WithinFactor = 0.6;

    // Pieces of undamaged simulated flights stay within 1.9 dB of each other, including gusts and resonances.
    private const double WidenDb = 3.5,
        WithholdDb = 8;

    // A line counts as detected when it exceeds its floor by this factor, in power.
    private const double DetectedOverFloor = 5,
        LeastPower = 1e-12;

    // A drift of the gain: change from the first piece to the last, and the largest deviation of lines and floor from it, as a share of it.
    // Undamaged pieces differ by up to 1.9 dB, but not all lines and the floor alike.
    private const double DriftDb = 1.5,
        AlikeShare = 0.35;
    private const int LeastLinesOfDrift = 4;
    private const double LowestFloorHz = 12,
        TopOfFloor = 0.45;

    internal static IEnumerable<QualityIssue> Of(ImuTrack imu, FlightAnalysis analysis)
    {
        if (analysis.ShortTimeOrders is not { } orders || orders.Windows.Count < LeastWindows)
        {
            yield break;
        }

        ShortTimeOrders.Window[][] pieces = Split(orders.Windows);
        NoiseFloor[][]? floors = Floors(imu, pieces);
        QualityIssue?[] found =
        [
            floors is null ? null : Filter(imu, floors),
            Gain(orders, pieces),
            Level(orders, pieces),
            floors is null ? null : Drift(imu, orders, pieces, floors),
        ];
        if (found.OfType<QualityIssue>().FirstOrDefault() is { } issue)
        {
            yield return issue;
        }
    }

    private static ShortTimeOrders.Window[][] Split(IReadOnlyList<ShortTimeOrders.Window> windows) =>
        [
            .. Enumerable
                .Range(0, Pieces)
                .Select(i => windows.Take((i + 1) * windows.Count / Pieces).Skip(i * windows.Count / Pieces).ToArray()),
        ];

    /// <summary>The noise floor of each axis in each piece; null where a piece is too short for one.</summary>
    private static NoiseFloor[][]? Floors(ImuTrack imu, ShortTimeOrders.Window[][] pieces)
    {
        ImuTrack acceleration = imu with { RateXRadps = null, RateYRadps = null, RateZRadps = null };
        var options = new SpectrumOptions();
        IReadOnlyList<ContiguousSegment>[] runs =
        [
            .. pieces.Select(p => ContiguousSegment.Within(imu, [.. p.Select(w => new TimeInterval(w.FromS, w.ToS))])),
        ];
        if (runs.Any(r => r.Count == 0) || runs.Select(r => Spectra.WindowLength(r, imu.RateHz, options)).Min() is not int length)
        {
            return null;
        }

        WelchPlan plan = Spectra.Plan(imu.RateHz, length, options);
        return
        [
            .. runs.Select(r =>
                Spectra.Averages(acceleration, r, plan, _ => []).Select(a => NoiseFloor.Of(a.Spectrum, 0.49 * imu.RateHz)).ToArray()
            ),
        ];
    }

    /// <summary>The noise floor of each piece relative to that of the first.</summary>
    private static QualityIssue? Filter(ImuTrack imu, NoiseFloor[][] floors)
    {
        FloorBend? worst = floors
            .Skip(1)
            .Select(f => FloorBend.Of((from, to) => Change(floors[0], f, from * imu.RateHz, to * imu.RateHz)))
            .FirstOrDefault(b => b is { Bends: true });
        return worst is { } bend ? Withheld(new FloorChanges(bend.TopDb, bend.MiddleDb)) : null;
    }

    private static IEnumerable<double> Change(NoiseFloor[] first, NoiseFloor[] other, double fromHz, double toHz) =>
        first.Zip(other, (a, b) => b.Above(a, fromHz, toHz)).OfType<double>();

    private static QualityIssue? Gain(ShortTimeOrders orders, ShortTimeOrders.Window[][] pieces)
    {
        RatesChange[] changes = [.. pieces.Skip(1).Select(p => RatesAgreement.Of(orders, pieces[0], orders, p)).OfType<RatesChange>()];
        if (changes.Length == 0)
        {
            return null;
        }

        RatesChange most = changes.MaxBy(c => Math.Abs(c.Db));
        return RatesAgreement.Judge(most, c => new SensorGainChanges(c.Db, c.Lines), WithinFactor);
    }

    private static QualityIssue? Level(ShortTimeOrders orders, ShortTimeOrders.Window[][] pieces)
    {
        double[] powers = Powers(orders, pieces, null);
        double db = SpreadDb(powers);
        if (db < WidenDb || IsOneRotor(orders, pieces, powers))
        {
            return null;
        }

        var cause = new PiecesDisagree(Math.Sqrt(powers.Min()), Math.Sqrt(powers.Max()));
        return db >= WithholdDb
            ? Withheld(cause)
            : new()
            {
                Cause = cause,
                Track = "imu",
                Effect = QualityEffect.Widened,
                Affects = Answers.Vibration,
                AddedDb = db / 2,
            };
    }

    /// <summary>Whether all orders of all rotors and the noise floor rise or fall by the same amount in dB from piece to piece.</summary>
    /// <remarks>Wind and wash change the floor but not the orders. Speeds change each order according to its number. A resonance changes
    /// some orders. Only the gain of the sensor changes all of them alike. The check needs no rates, which many logs lack.</remarks>
    private static QualityIssue? Drift(ImuTrack imu, ShortTimeOrders orders, ShortTimeOrders.Window[][] pieces, NoiseFloor[][] floors)
    {
        double[][] lines =
        [
            .. Enumerable
                .Range(0, orders.Lines.Count)
                .Where(line => pieces.All(p => IsHeard(orders, line, 0, p)))
                .Select(line => Array.ConvertAll(pieces, p => 10 * Math.Log10(Above(orders.Mean(line, 0, p))))),
        ];
        double[] floor = [.. Change(floors[0], floors[^1], LowestFloorHz, TopOfFloor * imu.RateHz)];
        if (lines.Length < LeastLinesOfDrift || floor.Length == 0)
        {
            return null;
        }

        double[] steps = [.. Enumerable.Range(1, Pieces - 1).Select(p => Robust.Median(lines.Select(l => l[p] - l[p - 1])))];
        double drift = Robust.Median(lines.Select(l => l[^1] - l[0])),
            scatter = Robust.Median(lines.Select(l => Math.Abs(l[^1] - l[0] - drift))),
            floorDrift = Robust.Median(floor);
        bool isOneGain =
            Math.Abs(drift) > DriftDb
            && steps.All(s => Math.Sign(s) == Math.Sign(drift))
            && scatter < AlikeShare * Math.Abs(drift)
            && Math.Abs(floorDrift - drift) < AlikeShare * Math.Abs(drift);
        return isOneGain
            ? new()
            {
                Cause = new VibrationGainDrifts(drift, floorDrift, lines.Length),
                Track = "imu",
                Effect = QualityEffect.Widened,
                Affects = Answers.Vibration,
                AddedDb = Math.Abs(drift),
            }
            : null;
    }

    /// <summary>Whether a single rotor changed its vibration, and only once: a damaged blade, a part that came loose.</summary>
    /// <remarks>All rotors are measured by the same sensor, so a fault of the sensor does not change only one of them. A speed that is
    /// reported wrongly from some moment on does, but then the rotor is not detected at all at that speed.</remarks>
    private static bool IsOneRotor(ShortTimeOrders orders, ShortTimeOrders.Window[][] pieces, double[] all)
    {
        string[] motors = [.. orders.Lines.Select(l => l.Motor).Distinct()];
        double[][] own = [.. motors.Select(m => Powers(orders, pieces, m))];
        int most = Enumerable.Range(0, motors.Length).MaxBy(m => own[m].Max() - own[m].Min());
        double[] rest = [.. all.Zip(own[most], (sum, one) => Math.Max(LeastPower, sum - one))];
        if (motors.Length < 2 || SpreadDb(rest) >= WidenDb)
        {
            return false;
        }

        // The change happened within the piece that lies between.
        bool once =
            Enumerable
                .Range(0, Pieces)
                .Any(at => SpreadDb(own[most][..at]) < WidenDb && SpreadDb(own[most][(at + 1)..]) < WidenDb && at > 0 && at < Pieces - 1)
            || Enumerable.Range(1, Pieces - 1).Any(at => SpreadDb(own[most][..at]) < WidenDb && SpreadDb(own[most][at..]) < WidenDb);
        ShortTimeOrders.Window[] calmest = pieces[Array.IndexOf(own[most], own[most].Min())];
        return once
            && Enumerable
                .Range(0, orders.Lines.Count)
                .Any(line => orders.Lines[line].Motor == motors[most] && IsHeard(orders, line, calmest));
    }

    private static bool IsHeard(ShortTimeOrders orders, int line, ShortTimeOrders.Window[] windows) =>
        Enumerable.Range(0, orders.Channels / 3).All(sensor => IsHeard(orders, line, 3 * sensor, windows));

    private static bool IsHeard(ShortTimeOrders orders, int line, int channel, ShortTimeOrders.Window[] windows) =>
        orders.Mean(line, channel, windows) is var (power, floor) && power > DetectedOverFloor * floor;

    /// <summary>Power of the lines of a motor, or of all, in each piece, (m/s²)².</summary>
    private static double[] Powers(ShortTimeOrders orders, ShortTimeOrders.Window[][] pieces, string? motor) =>
        [
            .. pieces.Select(p =>
                Math.Max(
                    LeastPower,
                    Enumerable
                        .Range(0, orders.Lines.Count)
                        .Where(line => motor is null || orders.Lines[line].Motor == motor)
                        .Sum(line => Above(orders.Mean(line, 0, p)))
                )
            ),
        ];

    private static double SpreadDb(double[] powers) => powers.Length == 0 ? 0 : 10 * Math.Log10(powers.Max() / powers.Min());

    private static double Above((double Power, double Floor) line) => Math.Max(0, line.Power - line.Floor);

    private static QualityIssue Withheld(Reason cause) =>
        new()
        {
            Cause = cause,
            Track = "imu",
            Effect = QualityEffect.Withheld,
            Affects = Answers.Vibration,
        };
}
