using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Checks the temperatures of one flight against its ambient temperature and its load.</summary>
public static class TemperatureQuality
{
    // Aircraft and batteries are flown from -30 to 50 °C. A start above this range is another unit (70 °F is 21 °C) or a heat-soaked
    // aircraft, not the ambient temperature.
    private const double LeastAmbientC = -30,
        MostAmbientC = 50;

    // Cold units agree within two steps of whole degrees and the differences of sensors. Those of a heat-soaked aircraft do not: motors
    // stay warm longer than ESCs.
    private const double AgreeWithinC = 3;

    // Least difference between motors and ESCs, as a share of the heat left from an earlier flight. Rises differ by a third and more.
    private const double LeftOverSpread = 0.25;

    // A person's thermometer and the air at the aircraft differ by up to the first value. More is counted as uncertainty (either may be
    // right), and much more as a wrong number.
    private const double UsualOffC = 3,
        MostOffC = 8;

    // A single unit this far from all others before take-off has a wrong reading: cold units have one temperature.
    private const double ApartC = 8;
    private const int LeastUnits = 4;

    // A first-order unit leaves only rounding and noise. Slow departures above both of these limits show that the reading is not that of
    // such a unit.
    private const double SlowResidualC = 0.8,
        SlowResidualShare = 0.04;
    private const double WrongResidualC = 2,
        WrongResidualShare = 0.12;

    private const double CoarseStepC = 2;

    // Steps of up to this share of the speed change the load by less than its scatter.
    private const double CoarseSpeedShare = 0.015;

    /// <summary>The faults, after the fits.</summary>
    /// <param name="flight">The flight, repaired.</param>
    /// <param name="analysis">Its analysis.</param>
    public static IReadOnlyList<QualityIssue> Of(Flight flight, FlightAnalysis analysis)
    {
        ArgumentNullException.ThrowIfNull(flight);
        ArgumentNullException.ThrowIfNull(analysis);
        List<UnitTrack> units = UnitTrack.Of(flight.Motors);
        if (units.Count == 0)
        {
            return [];
        }

        List<QualityIssue> issues =
        [
            .. Residuals(units, analysis),
            .. CoarseSteps(units),
            .. CoarseSpeeds(flight, analysis),
            .. TemperaturesFollowingCurrent.Of(flight, units),
        ];
        if (analysis.AmbientC is double ambientC)
        {
            issues.AddRange(
                AmbientIsPlausible(ambientC)
                    ? Starts(flight, units, ambientC, Rises(units, analysis))
                    : [OfAmbient(new AmbientImplausible(ambientC), QualityEffect.Withheld)]
            );
        }

        return issues;
    }

    private static bool AmbientIsPlausible(double ambientC) => ambientC is >= LeastAmbientC and <= MostAmbientC;

    private static QualityIssue OfAmbient(Reason cause, QualityEffect effect, double addedC = 0) =>
        new()
        {
            Cause = cause,
            Track = "ambient",
            Effect = effect,
            Affects = Answers.Temperatures,
            AddedC = addedC,
        };

    private static double[] Rises(List<UnitTrack> units, FlightAnalysis analysis) =>
        [.. units.Select(u => RiseOf(u, analysis)?.RiseSteadyC.Value).OfType<double>()];

    private static IEnumerable<QualityIssue> Starts(Flight flight, List<UnitTrack> units, double ambientC, double[] risesC)
    {
        bool turning = Ambient.TurnsAtStart(flight.Motors);
        (UnitTrack Unit, double C)[] starts =
        [
            .. units
                .Select(u => (u, Ambient.FirstReading(u.TempC, flight.Motors)))
                .Where(s => s.Item2 is not null)
                .Select(s => (s.u, s.Item2!.Value)),
        ];
        if (starts.Length < LeastUnits)
        {
            yield break;
        }

        double[] cold = [.. starts.Select(s => s.C)];
        if (!turning && starts.FirstOrDefault(s => IsApart(s.C, cold)) is { Unit: { } apart } found)
        {
            double others = Robust.Median(starts.Where(s => s.Unit != apart).Select(s => s.C));
            foreach (
                QualityIssue issue in UnitTrack.Issues([apart], name => new UnitStartsApart(name, found.C, others), QualityEffect.Withheld)
            )
            {
                yield return issue;
            }

            cold = [.. starts.Where(s => s.Unit != apart).Select(s => s.C)];
        }

        // Units warmer than ambient are common (an earlier flight) unless all agree, or differ by little relative to how warm they are:
        // heat left over differs between motor and ESC as the rises do. No unit can be colder than the air for long.
        double off = Robust.Median(cold) - ambientC;
        bool agree = !turning && cold.Max() - cold.Min() <= Math.Max(AgreeWithinC, LeftOverSpread * off);
        if (off < -UsualOffC || (agree && off > UsualOffC))
        {
            bool wrong = Math.Abs(off) > MostOffC;

            // Three quarters as standard uncertainty: the 95 % interval extends half beyond, because some heat of an earlier flight may
            // hide a part.
            yield return OfAmbient(
                new AmbientContradictsStart(ambientC, ambientC + off),
                wrong ? QualityEffect.Withheld : QualityEffect.Widened,
                wrong || risesC.Length == 0 ? 0 : 0.75 * MostErrorC(risesC, ambientC, ambientC + off)
            );
        }
    }

    /// <summary>Largest error of a rise where ambient and start disagree, °C: either may be the true temperature, or the readings are wrong
    /// by the factor between the two, and then the rise is too.</summary>
    private static double MostErrorC(double[] risesC, double ambientC, double startC)
    {
        double off = startC - ambientC,
            typicalC = Math.Max(0, Robust.Median(risesC)),
            least = Math.Max(1, Math.Min(Math.Abs(ambientC), Math.Abs(startC)));
        double eitherC = Math.Abs(off) + typicalC * Math.Min(1, Math.Abs(off) / least);

        // Warm units may have flown before. None is colder than the air, so there the factor is the more likely cause, and the hottest unit
        // has the largest error.
        return off < 0 && startC > 1 ? Math.Max(eitherC, (risesC.Max() - off) * (ambientC / startC) - risesC.Max()) : eitherC;
    }

    private static bool IsApart(double startC, double[] all)
    {
        List<double> others = [.. all];
        others.Remove(startC);
        return others.Max() - others.Min() <= AgreeWithinC && Math.Abs(startC - Robust.Median(others)) > ApartC;
    }

    private static IEnumerable<QualityIssue> Residuals(List<UnitTrack> units, FlightAnalysis analysis)
    {
        var poor = units
            .Select(u => (Unit: u, Rise: RiseOf(u, analysis)))
            .Where(u =>
                u.Rise is { RiseSteadyC.IsKnown: true, SlowResidualC: > SlowResidualC } r
                && r.SlowResidualC > SlowResidualShare * Math.Abs(r.RiseSteadyC.Value!.Value)
            )
            .ToLookup(u =>
                u.Rise!.SlowResidualC > Math.Max(WrongResidualC, WrongResidualShare * Math.Abs(u.Rise.RiseSteadyC.Value!.Value))
            );
        foreach (var wrong in poor)
        {
            foreach (var kind in wrong.GroupBy(u => u.Unit.IsEsc))
            {
                // The slow part moves the end of the fitted curve about as much as its middle; twice that is used.
                double most = kind.Max(u => u.Rise!.SlowResidualC);
                foreach (
                    QualityIssue issue in UnitTrack.Issues(
                        [.. kind.Select(u => u.Unit)],
                        names => new HeatingDoesNotFollowLoad(names, most),
                        wrong.Key ? QualityEffect.Withheld : QualityEffect.Widened,
                        wrong.Key ? 0 : 2 * most
                    )
                )
                {
                    yield return issue;
                }
            }
        }
    }

    private static IEnumerable<QualityIssue> CoarseSteps(List<UnitTrack> units)
    {
        UnitTrack[] coarse = [.. units.Where(u => TemperatureFit.Resolution(u.TempC.Values) >= CoarseStepC)];
        double step = coarse.Length == 0 ? 0 : coarse.Max(u => TemperatureFit.Resolution(u.TempC.Values));

        // The fit includes rounding to the nearest step. A coarse scale may truncate instead, which reads half a step lower. Two values that
        // are equally likely and half a step apart have a standard deviation of a quarter of a step.
        return coarse.Length == 0
            ? []
            : UnitTrack.Issues(coarse, names => new TemperatureStepsCoarse(names, step), QualityEffect.Widened, step / 4);
    }

    /// <summary>Speeds in coarse steps, where they are used for the load, which scales with their third power.</summary>
    private static IEnumerable<QualityIssue> CoarseSpeeds(Flight flight, FlightAnalysis analysis)
    {
        foreach (MotorTrack track in flight.Motors.Where(m => m.CurrentA is not { Count: > 0 } && m.Rpm is { Count: > 20 }))
        {
            double mean = track.Rpm!.MeanOver(analysis.Hover.Segments) ?? 0,
                step = Resolution(track.Rpm.Values);
            MotorAnalysis? motor = analysis.Motors.FirstOrDefault(m => m.Id == track.MotorId);
            double rise = Math.Max(motor?.MotorTemp.RiseSteadyC.Value ?? 0, motor?.EscTemp.RiseSteadyC.Value ?? 0);
            if (mean > 0 && step > CoarseSpeedShare * mean && rise > 0)
            {
                yield return new()
                {
                    Cause = new SpeedStepsCoarse(step, mean),
                    Track = "telemetry",
                    Motor = track.MotorId,
                    Effect = QualityEffect.Widened,
                    Affects = Answers.Temperatures,
                    AddedC = rise * 3 * step / Math.Sqrt(12) / mean,
                };
            }
        }
    }

    private static double Resolution(double[] values)
    {
        double[] distinct = [.. values.Distinct().Order()];
        return distinct.Length < 2 ? 0 : distinct.Zip(distinct.Skip(1), (a, b) => b - a).Min();
    }

    private static TemperatureRise? RiseOf(UnitTrack unit, FlightAnalysis analysis) =>
        analysis.Motors.FirstOrDefault(m => m.Id == unit.MotorId) is { } motor
            ? unit.IsEsc
                ? motor.EscTemp
                : motor.MotorTemp
            : null;
}
