using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Finds temperatures that one of two loggers multiplied by a factor: from the steps of the readings, and from rises that all
/// changed alike.</summary>
/// <param name="rises">Rises before and after.</param>
internal sealed class ScaledTemperatures(PairedRises rises)
{
    // All rises scaled by one factor, motors and ESCs alike: cooling never changes both by the same share. Sound jobs whose motors and ESCs
    // are 6 °C cooler reach 0.70 (logarithm 0.36).
    private const double ScaleLog = 0.45,
        ScaleAlikeLog = 0.12,
        ScaleSpreadLog = 0.1;

    // Finer steps are noise of the last digit.
    private const double LeastStepC = 0.02;

    // A step that changed by a ratio from 1.1 to 5, as logarithms.
    private const double StepLog = 0.1,
        MostStepLog = 1.7,
        FollowLog = 0.3;
    private static readonly double[] UsualRatios =
    [
        .. from scale in (double[])[0.001, 0.01, 0.1, 1, 10, 100] from digit in (double[])[1, 2, 5] select scale * digit,
    ];

    /// <summary>Steps of the readings whose ratio does not occur between two loggers: they print degrees, or parts of them by 1, 2 and 5.
    /// Where the rises changed with the step, the readings were multiplied, whatever the ratio.</summary>
    internal IEnumerable<QualityIssue> Steps(IReadOnlyList<Flight> before, IReadOnlyList<Flight> after)
    {
        foreach (bool escs in (bool[])[false, true])
        {
            if (
                Step(before, escs) is double a
                && Step(after, escs) is double b
                && Math.Max(a, b) >= LeastStepC
                && (!UsualRatios.Any(r => Math.Abs(b / a / r - 1) < 0.02) || RisesFollow(Math.Log(b / a), escs ? rises.Escs : rises.Motors))
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

    /// <summary>Whether the rises changed in the same way as the steps: by at least half as much, in logarithms, and by more than cooling
    /// can. A step that is ten times as coarse is another format, not another scale.</summary>
    private static bool RisesFollow(double stepLog, PairedRise[] units)
    {
        double[] ratios =
        [
            .. units.Select(u => u.BeforeC > 1 ? Math.Log(Math.Max(0.05, u.AfterC / u.BeforeC)) : double.NaN).Where(double.IsFinite),
        ];
        return ratios.Length > 0
            && Math.Abs(stepLog) is > StepLog and < MostStepLog
            && Robust.Median(ratios) * Math.Sign(stepLog) > Math.Max(FollowLog, Math.Abs(stepLog) / 2);
    }

    /// <summary>The common step of all units of a kind on a side; null where they differ or have none.</summary>
    private static double? Step(IReadOnlyList<Flight> side, bool escs) =>
        TemperatureSteps.Of([.. side.SelectMany(f => UnitTrack.Of(f.Motors)).Where(u => u.IsEsc == escs).Select(u => u.TempC.Values)]);

    /// <summary>Rises of motors and ESCs that all changed by one factor that the load does not explain.</summary>
    internal IEnumerable<QualityIssue> Rises()
    {
        double[] motors = [.. rises.Motors.Select(unit => unit.LogRatio).Where(double.IsFinite)],
            escs = [.. rises.Escs.Select(unit => unit.LogRatio).Where(double.IsFinite)];
        if (motors.Length < 3 || escs.Length < 3)
        {
            return [];
        }

        double motor = Robust.Median(motors),
            esc = Robust.Median(escs),
            mean = (motor + esc) / 2;
        bool alike =
            Math.Abs(motor - esc) < ScaleAlikeLog && Math.Max(PairedRises.Scatter(motors), PairedRises.Scatter(escs)) < ScaleSpreadLog;
        bool unexplained = Math.Abs(mean - rises.LoadLog) > Math.Abs(mean) / 2;
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
}
