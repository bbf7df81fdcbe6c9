using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Faults of temperatures that only show when flights before are compared with flights after.</summary>
internal sealed class TemperaturePairQuality
{
    // Temperatures that were recorded twice never agree reading for reading, over so many of them.
    private const int LeastReadings = 50,
        LeastValues = 8;
    private const double LeastAgreeing = 0.99;

    // Motors and ESCs swapped: the changes as reported, less what is common to all, are this
    // great, and vanish when the columns are exchanged.
    private const double SwapC = 4,
        SwappedShare = 0.15,
        SwapLeftC = 2;

    // Motors renumbered: the same for an exchange among motors. Flights made alike leave 0.7 °C
    // (docs/methods/comparison.md), so twice that may stay.
    private const double RenumberC = 3,
        RenumberFewC = 4,
        RenumberLeftC = 1.4,
        RenumberShare = 0.4;

    // All rises scaled by one factor, motors and ESCs alike: cooling never changes by the same share in both.
    // Sound jobs whose motors and ESCs run 6 °C cooler reach 0.70 (logarithm 0.36).
    private const double ScaleLog = 0.45,
        ScaleAlikeLog = 0.12,
        ScaleSpreadLog = 0.1;

    // Time constants belong to the aircraft. On simulated jobs of short flights their median over all
    // units changed by 6 % at most; drifts, delays and smoothing
    // of the recorder moved it and the rises by about the same share (0.8 to 1.4 times). 42 % leaves nothing to compare.
    private const double TauLog = 0.1,
        MostTauLog = 0.35,
        TauDeviations = 3;
    private const int LeastTaus = 4;

    // Two flights carry it, and 95 % shall reach 1.4 times the share: 1.96 · 0.5 · √2.
    private const double TauDoubt = 0.5;

    // Steps finer than that are noise of the last digit.
    private const double LeastStepC = 0.02;

    // A step that changed by such a ratio, logarithm: from 1.1 to 5.
    private const double StepLog = 0.1,
        MostStepLog = 1.7,
        FollowLog = 0.3;
    private static readonly double[] UsualRatios =
    [
        .. from scale in (double[])[0.001, 0.01, 0.1, 1, 10, 100] from digit in (double[])[1, 2, 5] select scale * digit,
    ];

    // Beyond this a change must show elsewhere.
    private const double SupportedC = 25;

    private readonly string[] _ids;
    private readonly Unit[] _motors,
        _escs;
    private readonly double _loadLog;
    private readonly double[] _ownLoads,
        _tauLogs;

    /// <summary>One motor's or ESC's steady rises, °C; NaN where not known.</summary>
    private readonly record struct Unit(double BeforeC, double AfterC)
    {
        internal double ChangeC => AfterC - BeforeC;

        internal bool IsKnown => double.IsFinite(ChangeC);

        internal double LogRatio => BeforeC > 5 && AfterC > 0 ? Math.Log(AfterC / BeforeC) : double.NaN;
    }

    private TemperaturePairQuality(IReadOnlyList<FlightAnalysis> before, IReadOnlyList<FlightAnalysis> after)
    {
        _ids = [.. before[0].Airframe.Motors.Select(m => m.Id)];
        _motors =
        [
            .. _ids.Select(id => new Unit(Mean(before, id, m => m.MotorTemp.RiseSteadyC), Mean(after, id, m => m.MotorTemp.RiseSteadyC))),
        ];
        _escs = [.. _ids.Select(id => new Unit(Mean(before, id, m => m.EscTemp.RiseSteadyC), Mean(after, id, m => m.EscTemp.RiseSteadyC)))];
        _tauLogs =
        [
            .. _ids.SelectMany(id => new[] { TauChange(before, after, id, m => m.MotorTemp), TauChange(before, after, id, m => m.EscTemp) })
                .Where(double.IsFinite),
        ];
        _ownLoads = [.. _ids.Select(id => LoadLog(before, after, id))];
        double[] loads = [.. _ownLoads.Where(double.IsFinite)];
        _loadLog = loads.Length == 0 ? 0 : Robust.Median(loads);
    }

    /// <summary>What is wrong.</summary>
    internal static IReadOnlyList<QualityIssue> Of(
        IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> before,
        IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> after
    )
    {
        TemperaturePairQuality pair = new([.. before.Select(b => b.Analysis)], [.. after.Select(a => a.Analysis)]);
        List<QualityIssue> issues = [.. OneFlight(before, after), .. pair.Steps(before, after)];
        if (issues.Count == 0)
        {
            issues.AddRange(pair.Swapped());
        }

        if (issues.Count == 0)
        {
            issues.AddRange(pair.Renumbered());
            issues.AddRange(pair.Scaled());
            issues.AddRange(pair.TimeConstants());
        }

        if (issues.Count == 0)
        {
            issues.AddRange(pair.Unsupported());
        }

        return issues;
    }

    private static double Mean(IReadOnlyList<FlightAnalysis> side, string id, Func<MotorAnalysis, Estimate> of)
    {
        double[] known =
        [
            .. side.Select(f => f.Motors.FirstOrDefault(m => m.Id == id) is { } motor ? of(motor).Value : null).OfType<double>(),
        ];
        return known.Length == 0 ? double.NaN : known.Average();
    }

    /// <summary>Logarithm of the time constant after over that before; NaN where one is not known.</summary>
    private static double TauChange(
        IReadOnlyList<FlightAnalysis> before,
        IReadOnlyList<FlightAnalysis> after,
        string id,
        Func<MotorAnalysis, TemperatureRise> of
    )
    {
        double Tau(IReadOnlyList<FlightAnalysis> side)
        {
            double[] known =
            [
                .. side.Select(f =>
                        f.Motors.FirstOrDefault(m => m.Id == id) is { } motor && of(motor).RiseSteadyC.IsKnown
                            ? of(motor).OneBodyTauS
                            : null
                    )
                    .OfType<double>(),
            ];
            return known.Length == 0 ? double.NaN : known.Average();
        }

        return Math.Log(Tau(after) / Tau(before));
    }

    /// <summary>Logarithm of power after over power before: speed cubed, else current.</summary>
    private static double LoadLog(IReadOnlyList<FlightAnalysis> before, IReadOnlyList<FlightAnalysis> after, string id)
    {
        double rpm = Math.Log(Mean(after, id, m => m.RpmMean) / Mean(before, id, m => m.RpmMean));
        return double.IsFinite(rpm) ? 3 * rpm : Math.Log(Mean(after, id, m => m.CurrentA) / Mean(before, id, m => m.CurrentA));
    }

    private static IEnumerable<QualityIssue> OneFlight(
        IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> before,
        IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> after
    )
    {
        List<UnitTrack> units = [.. before.SelectMany(b => UnitTrack.Of(b.Flight.Motors))],
            others = [.. after.SelectMany(a => UnitTrack.Of(a.Flight.Motors))];
        UnitTrack[] copied =
        [
            .. units.Where(u => others.Any(o => o.Channel == u.Channel && SameReadings(u.TempC, o.TempC))).DistinctBy(u => u.Channel),
        ];

        // One column alone in whole degrees may agree over a short cold flight.
        return copied.Length < 2 ? [] : UnitTrack.Issues(copied, names => new TemperaturesOfOneFlight(names), QualityEffect.Withheld);
    }

    /// <summary>Steps of the readings whose ratio no two loggers have: they print degrees, or parts of them by 1, 2 and 5. Where the rises
    /// went with the step, the readings were multiplied, whatever the ratio.</summary>
    private IEnumerable<QualityIssue> Steps(
        IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> before,
        IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> after
    )
    {
        foreach (bool escs in (bool[])[false, true])
        {
            if (
                Step(before, escs) is double a
                && Step(after, escs) is double b
                && Math.Max(a, b) >= LeastStepC
                && (!UsualRatios.Any(r => Math.Abs(b / a / r - 1) < 0.02) || RisesFollow(Math.Log(b / a), escs ? _escs : _motors))
            )
            {
                yield return new()
                {
                    Cause = new TemperatureStepsDiffer(a, b),
                    Track = "telemetry",
                    Channel = escs ? "esc_temp" : "motor_temp",
                    Effect = QualityEffect.Withheld,
                    Affects = escs ? Answers.EscTemperatures : Answers.MotorTemperatures,
                };
            }
        }
    }

    /// <summary>Whether the rises changed as the steps did: by at least half as much, in logarithms, and by what no cooling does. A step
    /// that is ten times as coarse is another format, not another scale.</summary>
    private static bool RisesFollow(double stepLog, Unit[] units)
    {
        double[] ratios =
        [
            .. units.Select(u => u.BeforeC > 1 ? Math.Log(Math.Max(0.05, u.AfterC / u.BeforeC)) : double.NaN).Where(double.IsFinite),
        ];
        return ratios.Length > 0
            && Math.Abs(stepLog) is > StepLog and < MostStepLog
            && Robust.Median(ratios) * Math.Sign(stepLog) > Math.Max(FollowLog, Math.Abs(stepLog) / 2);
    }

    /// <summary>The one step of all units of a kind on a side; null where they differ or have none.</summary>
    private static double? Step(IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> side, bool escs) =>
        TemperatureSteps.Of([
            .. side.SelectMany(f => UnitTrack.Of(f.Flight.Motors)).Where(u => u.IsEsc == escs).Select(u => u.TempC.Values),
        ]);

    private static bool SameReadings(Series a, Series b)
    {
        int n = Math.Min(a.Count, b.Count),
            same = 0;
        if (n < LeastReadings || n < 0.5 * Math.Max(a.Count, b.Count) || a.Values.AsSpan(0, n).ToArray().Distinct().Count() < LeastValues)
        {
            return false;
        }

        for (int i = 0; i < n; i++)
        {
            same += a.Values[i] == b.Values[i] ? 1 : 0;
        }

        return same >= LeastAgreeing * n;
    }

    private IEnumerable<QualityIssue> Swapped()
    {
        int[] known = [.. Enumerable.Range(0, _ids.Length).Where(i => _motors[i].IsKnown && _escs[i].IsKnown)];
        if (known.Length < 2)
        {
            return [];
        }

        double asReported = Scatter([.. known.SelectMany(i => new[] { _motors[i].ChangeC, _escs[i].ChangeC })]);
        double exchanged = Scatter([
            .. known.SelectMany(i => new[] { _escs[i].AfterC - _motors[i].BeforeC, _motors[i].AfterC - _escs[i].BeforeC }),
        ]);
        int[] swapped =
            asReported > SwapC && exchanged * exchanged < SwappedShare * asReported * asReported ? known
            : known.Length >= 3 ? [.. known.Where(i => SwappedAlone(i, known))]
            : [];
        return swapped.Length == 0 ? [] : Withheld(new MotorAndEscSwapped(Names(swapped)), swapped, Answers.Temperatures);
    }

    private bool SwappedAlone(int at, int[] known)
    {
        int[] others = [.. known.Where(i => i != at)];
        double motorShift = Robust.Median(others.Select(i => _motors[i].ChangeC)),
            escShift = Robust.Median(others.Select(i => _escs[i].ChangeC));
        double motor = _motors[at].ChangeC - motorShift,
            esc = _escs[at].ChangeC - escShift;
        return Math.Min(Math.Abs(motor), Math.Abs(esc)) > SwapC
            && Math.Sign(motor) != Math.Sign(esc)
            && Math.Abs(_escs[at].AfterC - motorShift - _motors[at].BeforeC) < SwapLeftC
            && Math.Abs(_motors[at].AfterC - escShift - _escs[at].BeforeC) < SwapLeftC;
    }

    private IEnumerable<QualityIssue> Renumbered()
    {
        int[]? motors = BestOrder(_motors),
            escs = BestOrder(_escs);
        if (motors is null && escs is null)
        {
            return [];
        }

        // Both kinds in the same new order: the motors' numbers; one kind alone: the columns of that kind.
        bool both = motors is not null && escs is not null && motors.SequenceEqual(escs);
        return (
            both
                ? [(motors, Answers.TemperaturesByMotor | Answers.MotorOrders)]
                : new[] { (motors, Answers.MotorTemperaturesByMotor), (escs, Answers.EscTemperaturesByMotor) }
        )
            .Where(o => o.Item1 is not null)
            .SelectMany(o =>
            {
                int[] moved = [.. Enumerable.Range(0, _ids.Length).Where(i => o.Item1![i] != i)];
                return Withheld(new MotorsRenumbered(Names(moved)), moved, o.Item2);
            });
    }

    /// <summary>The order of the motors after in which the changes vanish; null where they are
    /// small as they stand, or no order makes them so.</summary>
    private static int[]? BestOrder(Unit[] units)
    {
        int n = units.Length;
        if (n < 3 || units.Any(u => !u.IsKnown))
        {
            return null;
        }

        double asReported = Scatter([.. units.Select(u => u.ChangeC)]);
        if (asReported < (n > 4 ? RenumberC : RenumberFewC))
        {
            return null;
        }

        int[]? best = null;
        double least = Math.Min(RenumberLeftC, RenumberShare * asReported);
        foreach (int[] order in Renumberings.Of(n))
        {
            double left = Scatter([.. units.Select((u, i) => units[order[i]].AfterC - u.BeforeC)]);
            (least, best) = left < least ? (left, order) : (least, best);
        }

        return best;
    }

    private IEnumerable<QualityIssue> Scaled()
    {
        double[] motors = [.. _motors.Select(unit => unit.LogRatio).Where(double.IsFinite)],
            escs = [.. _escs.Select(unit => unit.LogRatio).Where(double.IsFinite)];
        if (motors.Length < 3 || escs.Length < 3)
        {
            return [];
        }

        double motor = Robust.Median(motors),
            esc = Robust.Median(escs),
            mean = (motor + esc) / 2;
        bool alike = Math.Abs(motor - esc) < ScaleAlikeLog && Math.Max(Scatter(motors), Scatter(escs)) < ScaleSpreadLog;
        bool unexplained = Math.Abs(mean - _loadLog) > Math.Abs(mean) / 2;
        return Math.Abs(mean) > ScaleLog && alike && unexplained
            ?
            [
                new()
                {
                    Cause = new RisesScaledAlike(Math.Exp(mean)),
                    Track = "telemetry",
                    Effect = QualityEffect.Withheld,
                    Affects = Answers.Temperatures,
                },
            ]
            : [];
    }

    private IEnumerable<QualityIssue> TimeConstants()
    {
        if (_tauLogs.Length < LeastTaus)
        {
            return [];
        }

        (double change, double scatter) = Robust.MedianAndMad(_tauLogs);
        if (Math.Abs(change) < Math.Max(TauLog, TauDeviations * scatter / Math.Sqrt(_tauLogs.Length)))
        {
            return [];
        }

        bool wrong = Math.Abs(change) > MostTauLog;
        double riseC = Robust.Median(
            _motors.Concat(_escs).Where(u => u.IsKnown).SelectMany(u => new[] { Math.Abs(u.BeforeC), Math.Abs(u.AfterC) })
        );
        return
        [
            new()
            {
                Cause = new TimeConstantsDiffer(Math.Exp(change)),
                Track = "telemetry",
                Effect = wrong ? QualityEffect.Withheld : QualityEffect.Widened,
                Affects = Answers.Temperatures,
                AddedC = wrong ? 0 : TauDoubt * Math.Abs(change) * riseC,
            },
        ];
    }

    private IEnumerable<QualityIssue> Unsupported() =>
        [
            .. Unsupported(_motors, _escs, " motor_temp", Answers.MotorTemperatures),
            .. Unsupported(_escs, _motors, " esc_temp", Answers.EscTemperatures),
        ];

    private IEnumerable<QualityIssue> Unsupported(Unit[] units, Unit[] otherKind, string column, Answers answers)
    {
        int[] great =
        [
            .. Enumerable
                .Range(0, units.Length)
                .Where(i => units[i].IsKnown && Math.Abs(units[i].ChangeC) > SupportedC && !IsSupported(i, units, otherKind)),
        ];
        return great.Length == 0
            ? []
            : Withheld(
                new TemperatureChangeUnsupported(
                    string.Join(", ", great.Select(i => _ids[i] + column)),
                    units[great.MaxBy(i => Math.Abs(units[i].ChangeC))].ChangeC
                ),
                great,
                answers
            );
    }

    /// <summary>Whether the load explains a third of the change, or the other unit of the motor
    /// went a fifth of it the same way; where that is not
    /// known, whether the other motors went a third of it.</summary>
    private bool IsSupported(int at, Unit[] units, Unit[] otherKind)
    {
        double change = units[at].ChangeC,
            byLoad = double.IsFinite(_ownLoads[at]) ? units[at].BeforeC * (Math.Exp(_ownLoads[at]) - 1) : 0;
        if (byLoad / change > 1 / 3.0)
        {
            return true;
        }

        if (otherKind[at].IsKnown)
        {
            return otherKind[at].ChangeC / change > 0.2;
        }

        double[] others = [.. units.Where((u, i) => i != at && u.IsKnown).Select(u => u.ChangeC)];
        return others.Length > 0 && Robust.Median(others) / change > 1 / 3.0;
    }

    private IEnumerable<QualityIssue> Withheld(Reason cause, int[] motors, Answers answers) =>
        motors.Select(i => new QualityIssue
        {
            Cause = cause,
            Track = "telemetry",
            Motor = _ids[i],
            Effect = QualityEffect.Withheld,
            Affects = answers,
        });

    private string Names(IEnumerable<int> motors) => string.Join(", ", motors.Select(i => _ids[i]));

    /// <summary>Root mean square about the median.</summary>
    private static double Scatter(double[] values)
    {
        double middle = Robust.Median(values);
        return Math.Sqrt(values.Average(v => (v - middle) * (v - middle)));
    }
}
