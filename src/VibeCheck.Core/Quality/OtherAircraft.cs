using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether the flights after are of another aircraft than those before, with the same number of rotors and the same hover speed;
/// or whether its motors are numbered differently.</summary>
/// <remarks>Work on mounts changes order 1 of some motors. The higher orders come from blades, bearings and frame, and the rises from
/// windings and their cooling. Both are individual to a motor, and most of them remain. New propellers change the higher orders but not the
/// rises at equal load; a different air flow changes the rises but not the orders. Another aircraft changes both, motor by motor, without a
/// pattern.</remarks>
internal sealed class OtherAircraft(IReadOnlyList<FlightAnalysis> before, IReadOnlyList<FlightAnalysis> after)
{
    private const int LeastOrders = 4,
        OrdersAlone = 8,
        LeastRises = 3;

    // Standard deviations from motor to motor, from the median. Similar flights reach 0.8 dB and 2 °C, those with reworked mounts 1.4 dB
    // and 1.6 °C; simulated aircraft of one kind differ by 2.4 to 11 dB and 1 to 9 °C (docs/log-damage.md).
    private const double OrdersDb = 3,
        FewerOrdersDb = 2.2,
        OrdersAloneDb = 6,
        RisesC = 2;

    // Exchanged speed columns also exchange the motors' shares of the mean speed; exchanged propellers do not.
    private const double LeastShareLog = 0.004,
        ShareFit = 0.5;

    private readonly RotorSignatures _rotors = new(before, after);
    private readonly string[] _ids = [.. before[0].Airframe.Motors.Select(m => m.Id)];

    /// <summary>The faults.</summary>
    /// <param name="temperaturesExplain">Whether the temperatures already show that motors or columns are exchanged.</param>
    internal IEnumerable<QualityIssue> Find(bool temperaturesExplain)
    {
        if (temperaturesExplain)
        {
            // Where motors are numbered differently, their orders are exchanged in the same way as their temperatures.
            return _rotors.Renumbered(leastOrders: 1) is null ? Another() : [];
        }

        return _rotors.Renumbered(leastOrders: 2) is not { } order ? Another()
            : SpeedsFollow(order) ? Renumbered(order)
            : [];
    }

    private QualityIssue[] Another()
    {
        if (_rotors.SpreadDb is not double ordersDb)
        {
            return [];
        }

        double? motorsC = RiseSpreadC(m => m.MotorTemp.RiseSteadyC),
            escsC = RiseSpreadC(m => m.EscTemp.RiseSteadyC);
        double[] known = [.. new[] { motorsC, escsC }.OfType<double>()];
        int count = _rotors.ChangesDb.Count;
        bool another =
            known.Length == 0
                ? count >= OrdersAlone && ordersDb > OrdersAloneDb
                : count >= LeastOrders
                    && (
                        (ordersDb > OrdersDb && known.Max() > RisesC)
                        || (ordersDb > FewerOrdersDb && known.Length == 2 && known.Min() > RisesC)
                    );
        return another
            ?
            [
                new()
                {
                    Cause = new AircraftDiffers(count, ordersDb, known.Length == 0 ? null : known.Max()),
                    Track = "imu",
                    Effect = QualityEffect.Withheld,
                    Affects = Answers.All,
                },
            ]
            : [];
    }

    /// <summary>Whether the shares of the mean speed were exchanged together with the orders.</summary>
    private bool SpeedsFollow(int[] order)
    {
        double[] one = ShareLogs(before),
            two = ShareLogs(after);
        int[] moved = [.. Enumerable.Range(0, order.Length).Where(i => order[i] != i)];
        double asReported = Rms(moved.Select(i => two[i] - one[i])),
            exchanged = Rms(moved.Select(i => two[order[i]] - one[i]));
        return asReported > LeastShareLog && exchanged < ShareFit * asReported;
    }

    private IEnumerable<QualityIssue> Renumbered(int[] order)
    {
        string[] moved = [.. Enumerable.Range(0, order.Length).Where(i => order[i] != i).Select(i => _ids[i])];
        SpeedsRenumbered cause = new(string.Join(", ", moved));
        return moved.Select(id => new QualityIssue
        {
            Cause = cause,
            Track = "telemetry",
            Channel = id + " rpm",
            Motor = id,
            Effect = QualityEffect.Withheld,
            Affects = Answers.MotorOrders | Answers.Speeds,
        });
    }

    /// <summary>Logarithm of each motor's speed divided by the mean of all.</summary>
    private double[] ShareLogs(IReadOnlyList<FlightAnalysis> side)
    {
        double[] rpm = [.. _ids.Select(id => Mean(side, id, m => m.RpmMean) ?? double.NaN)];
        double mean = rpm.Average();
        return Array.ConvertAll(rpm, r => Math.Log(r / mean));
    }

    /// <summary>Spread over the motors of the changes of the rises, beyond what the load explains, °C; null where few are known.</summary>
    private double? RiseSpreadC(Func<MotorAnalysis, Estimate> of)
    {
        double[] changes = [.. _ids.Select(id => RiseChangeC(id, of)).OfType<double>()];
        return changes.Length < LeastRises ? null : Robust.MedianAndMad(changes).ScaledMad;
    }

    private double? RiseChangeC(string id, Func<MotorAnalysis, Estimate> of) =>
        Mean(before, id, of) is double one && Mean(after, id, of) is double two ? two - one * LoadRatio(id) : null;

    /// <summary>Power after divided by power before, from the third power of speed; 1 where that is not known.</summary>
    private double LoadRatio(string id) =>
        Mean(before, id, m => m.RpmMean) is double one && Mean(after, id, m => m.RpmMean) is double two ? Math.Pow(two / one, 3) : 1;

    private static double? Mean(IReadOnlyList<FlightAnalysis> side, string id, Func<MotorAnalysis, Estimate> of)
    {
        double[] known = [.. side.SelectMany(f => f.Motors).Where(m => m.Id == id).Select(m => of(m).Value).OfType<double>()];
        return known.Length == 0 ? null : known.Average();
    }

    private static double Rms(IEnumerable<double> values) => Math.Sqrt(values.Average(v => v * v));
}
