using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>The faults in the telemetry of a flight as it was read, and the flight with what can be repaired.</summary>
/// <remarks>Runs before anything is analysed. It leaves out what was not measured (fillers, spikes, repeats, values that stand still).
/// Hover, clocks, orders and rises are then based on the remaining readings, with the wider intervals that follow from fewer
/// readings.</remarks>
public static class TelemetryQuality
{
    // Motors and ESCs burn above this range, and none of their sensors reads below it.
    private const double MostMedianC = 150,
        LeastMedianC = -45;

    // A unit cannot change by this much between readings a few seconds apart, in addition to its rate.
    private const double MostJumpC = 8,
        MostRateCps = 5,
        LongestPauseS = 5;

    // Units of small multirotors have time constants of 16 s and more in their own air flow, and cool more slowly at standstill (from
    // memory).
    private const double FastestCoolingS = 20;
    private const int LeastDeadReadings = 5;

    // Jumps of at least this many columns, and of this share of all, at one moment: the log continues with another flight.
    private const int LeastJoined = 4;
    private const double JoinedShare = 0.6,
        JoinedWithinS = 2;

    // Standstills of several columns count together: all stand still to the end, or several at the same ceiling. Sound columns change at
    // different times.
    private const double TogetherSteps = 6,
        CeilingSteps = 8;
    private const int TogetherColumns = 2;

    // Largest share in the worst column that is not worth a message: single bad readings are usual on radio links.
    private const double WorthTellingShare = 0.002;
    private const double RepeatsWorthTellingShare = 0.05;

    // A motor that turns slower or faster than these shares of the speed of all others, which agree among themselves, cannot hover.
    private const double LeastSpeedShare = 0.65,
        MostSpeedShare = 1.6,
        OthersWithin = 0.25;

    private const double LeastSpanS = Flights.Temperatures.TemperatureFit.LeastSpanS;

    /// <summary>The flight with its telemetry checked and repaired once; a flight that was checked before is returned unchanged.</summary>
    internal static Flight Checked(Flight flight, Airframe airframe)
    {
        if (flight.TelemetryIsChecked)
        {
            return flight;
        }

        (Flight repaired, IReadOnlyList<QualityIssue> issues) = Of(flight, airframe);
        return repaired with { TelemetryIsChecked = true, Quality = [.. flight.Quality, .. issues] };
    }

    /// <summary>The flight without impossible readings, and the faults that were found.</summary>
    /// <param name="flight">The flight as read.</param>
    /// <param name="airframe">Its aircraft.</param>
    public static (Flight Repaired, IReadOnlyList<QualityIssue> Issues) Of(Flight flight, Airframe airframe)
    {
        ArgumentNullException.ThrowIfNull(flight);
        ArgumentNullException.ThrowIfNull(airframe);
        List<QualityIssue> issues = [];
        List<MotorTrack> motors = [.. flight.Motors];
        Implausible(motors, issues);
        DropReadings(motors, issues);
        LeaveOutRepeats(motors, issues);
        Copies(motors, issues);
        OutOfProportion(motors, issues);
        Jumps(motors, issues);
        Standstills(motors, issues);
        return issues.Count == 0 ? (flight, issues) : (flight with { Motors = motors }, issues);
    }

    private static void Replace(List<MotorTrack> motors, UnitTrack unit)
    {
        for (int m = 0; m < motors.Count; m++)
        {
            motors[m] = UnitTrack.Put(motors[m], unit);
        }
    }

    private static void Implausible(List<MotorTrack> motors, List<QualityIssue> issues)
    {
        UnitTrack[] odd = [.. UnitTrack.Of(motors).Where(IsImplausible)];
        if (odd.Length > 0)
        {
            double least = odd.Min(u => Robust.Quantile(u.TempC.Values, 0.02)),
                most = odd.Max(u => Robust.Quantile(u.TempC.Values, 0.98));
            issues.AddRange(UnitTrack.Issues(odd, names => new TemperaturesImplausible(names, least, most), QualityEffect.Withheld));
        }
    }

    private static bool IsImplausible(UnitTrack unit) => Robust.Median(unit.TempC.Values) is > MostMedianC or < LeastMedianC;

    private static void DropReadings(List<MotorTrack> motors, List<QualityIssue> issues)
    {
        List<(string Name, double Share)> speeds = [],
            temperatures = [];
        Answers reached = Answers.None;
        for (int m = 0; m < motors.Count; m++)
        {
            MotorTrack motor = motors[m];
            if (motor.Rpm is { Count: > 0 } rpm)
            {
                Series kept = ReadingFilter.Speeds(rpm);
                Note(speeds, motor.MotorId + " rpm", rpm, kept);
                motors[m] = motor with { Rpm = kept };
            }

            foreach (UnitTrack unit in UnitTrack.Of([motor]).Where(u => !IsImplausible(u)))
            {
                Series kept = ReadingFilter.Temperatures(unit.TempC);
                reached |= Note(temperatures, unit.Channel, unit.TempC, kept) ? unit.Answers : Answers.None;
                motors[m] = UnitTrack.Put(motors[m], unit with { TempC = kept });
            }
        }

        Add(speeds, Answers.Speeds | Answers.MotorOrders);
        Add(temperatures, reached);

        static bool Note(List<(string, double)> dropped, string name, Series all, Series kept)
        {
            double share = 1 - (double)kept.Count / all.Count;
            bool worth = share > WorthTellingShare;
            if (worth)
            {
                dropped.Add((name, share));
            }

            return worth;
        }

        void Add(List<(string Name, double Share)> dropped, Answers affects)
        {
            if (dropped.Count > 0)
            {
                issues.Add(
                    Repaired(new ReadingsDropped(string.Join(", ", dropped.Select(d => d.Name)), dropped.Max(d => d.Share)), affects)
                );
            }
        }
    }

    private static void LeaveOutRepeats(List<MotorTrack> motors, List<QualityIssue> issues)
    {
        HeldReports.Result[] results = [.. motors.Select(HeldReports.Of)];
        HeldReports.Result[] repeated = [.. results.Where(r => r.RepeatedShare > RepeatsWorthTellingShare)],
            still = [.. results.Where(r => r.LongestStillS > 0)];
        for (int m = 0; m < motors.Count; m++)
        {
            motors[m] = results[m].Track;
        }

        if (repeated.Length > 0)
        {
            issues.Add(
                Repaired(
                    new ReportsRepeated(Names(repeated), repeated.Max(r => r.RepeatedShare), repeated.Max(r => r.LongestRepeatS)),
                    Answers.All & ~Answers.Vibration
                )
            );
        }

        if (still.Length > 0)
        {
            issues.Add(Repaired(new SpeedsFrozen(Names(still), still.Max(r => r.LongestStillS)), Answers.Speeds | Answers.MotorOrders));
        }

        static string Names(HeldReports.Result[] of) => string.Join(", ", of.Select(r => r.Track.MotorId));
    }

    private static void Copies(List<MotorTrack> motors, List<QualityIssue> issues)
    {
        string[] speeds = [.. CopiedColumns.Speeds(motors)];
        if (speeds.Length > 0)
        {
            // It is unknown to which motor the common speed belongs: all are left out, and the vibration is searched instead.
            for (int m = 0; m < motors.Count; m++)
            {
                motors[m] = speeds.Contains(motors[m].MotorId) ? motors[m] with { Rpm = null } : motors[m];
            }

            issues.Add(Repaired(new SpeedsIdentical(string.Join(", ", speeds)), Answers.Speeds | Answers.MotorOrders));
        }

        UnitTrack[] units = [.. CopiedColumns.Temperatures(UnitTrack.Of(motors))];
        issues.AddRange(UnitTrack.Issues(units, names => new TemperaturesIdentical(names), QualityEffect.Withheld));
    }

    private static void OutOfProportion(List<MotorTrack> motors, List<QualityIssue> issues)
    {
        double[] typical = [.. motors.Select(m => m.Rpm is { Count: > 0 } rpm ? ReadingFilter.Typical(rpm) : double.NaN)];
        for (int m = 0; m < motors.Count; m++)
        {
            double[] others = [.. typical.Where((v, i) => i != m && double.IsFinite(v))];
            double middle = Robust.Median(others),
                ratio = typical[m] / middle;
            if (
                others.Length >= 3
                && ratio is < LeastSpeedShare or > MostSpeedShare
                && Array.TrueForAll(others, v => Math.Abs(v / middle - 1) < OthersWithin)
            )
            {
                motors[m] = motors[m] with { Rpm = null };
                issues.Add(Repaired(new SpeedOutOfProportion(motors[m].MotorId, ratio), Answers.Speeds | Answers.MotorOrders));
            }
        }
    }

    private static void Jumps(List<MotorTrack> motors, List<QualityIssue> issues)
    {
        List<UnitTrack> jumping = [],
            dead = [];
        List<double> momentsS = [];
        double greatest = 0;
        UnitTrack[] units = [.. UnitTrack.Of(motors).Where(u => !IsImplausible(u))];
        foreach (UnitTrack unit in units)
        {
            (int at, double jumpC) = GreatestJump(unit.TempC);
            if (at < 0)
            {
                continue;
            }

            if (WithoutDead(unit.TempC, at) is { } alive)
            {
                Replace(motors, unit with { TempC = alive });
                dead.Add(unit);
            }
            else
            {
                jumping.Add(unit);
                momentsS.Add(unit.TempC.TimeS[at]);
                greatest = Math.Max(greatest, jumpC);
            }
        }

        issues.AddRange(UnitTrack.Issues(jumping, names => new TemperatureJumps(names, greatest), QualityEffect.Withheld));
        if (jumping.Count >= Math.Max(LeastJoined, JoinedShare * units.Length))
        {
            double momentS = Robust.Median([.. momentsS]);
            int together = momentsS.Count(s => Math.Abs(s - momentS) < JoinedWithinS);
            if (together >= Math.Max(LeastJoined, JoinedShare * units.Length))
            {
                issues.Add(
                    new()
                    {
                        Cause = new FlightsJoined(momentS, together, greatest),
                        Track = "job",
                        Effect = QualityEffect.Withheld,
                        Affects = Answers.All,
                    }
                );
            }
        }

        issues.AddRange(UnitTrack.Issues(dead, names => new ReadingsDropped(names, 1 - LeastKept(dead, motors)), QualityEffect.Repaired));
    }

    private static double LeastKept(List<UnitTrack> before, List<MotorTrack> motors)
    {
        List<UnitTrack> now = UnitTrack.Of(motors);
        return before.Min(b => (double)(now.Find(u => u.Channel == b.Channel)?.TempC.Count ?? 0) / b.TempC.Count);
    }

    /// <summary>Index of the greatest jump that a unit cannot make; -1 for none. Noise of the readings is ignored.</summary>
    private static (int At, double JumpC) GreatestJump(Series tempC)
    {
        double[] v = tempC.Values,
            t = tempC.TimeS;
        double[] steps = new double[Math.Max(0, v.Length - 1)];
        for (int i = 0; i < steps.Length; i++)
        {
            steps[i] = v[i + 1] - v[i];
        }

        double noise = steps.Length == 0 ? 0 : Robust.MedianAndMad(steps).ScaledMad,
            most = 0;
        int at = -1;
        for (int i = 0; i < steps.Length; i++)
        {
            double every = t[i + 1] - t[i],
                size = Math.Abs(steps[i]);
            double allowed = every < LongestPauseS ? MostRateCps * every : Cooling(v[0], v[i], steps[i], every);
            if (size > MostJumpC + allowed + 8 * noise && size > most)
            {
                (at, most) = (i + 1, size);
            }
        }

        return (at, most);
    }

    /// <summary>How far the temperature of a unit may fall during a pause of the log; infinite for a rise.</summary>
    private static double Cooling(double startC, double beforeC, double stepC, double pauseS) =>
        stepC < 0 ? Math.Max(0, beforeC - startC) * (1 - Math.Exp(-pauseS / FastestCoolingS)) : double.PositiveInfinity;

    /// <summary>The readings on the other side of a jump away from readings that never change; null where both sides change.</summary>
    private static Series? WithoutDead(Series tempC, int at)
    {
        double[] v = tempC.Values;
        bool deadAfter = v.Length - at >= LeastDeadReadings && Array.TrueForAll(v[at..], x => x == v[at]);
        bool deadBefore = at >= LeastDeadReadings && Array.TrueForAll(v[..at], x => x == v[0]);
        return deadAfter == deadBefore ? null : ReadingFilter.Kept(tempC, [.. v.Select((_, i) => i < at == deadAfter)]);
    }

    private static void Standstills(List<MotorTrack> motors, List<QualityIssue> issues)
    {
        List<UnitTrack> units = [.. UnitTrack.Of(motors).Where(u => !IsImplausible(u))];
        StandingTemperature[] all =
        [
            .. units.SelectMany(u =>
                StandingTemperature.Find(u, motors.Find(m => m.MotorId == u.MotorId)!, [.. units.Where(o => o.IsEsc == u.IsEsc && o != u)])
            ),
        ];
        StandingTemperature[] faults = [.. all.Where(s => s.IsSure || Together(s, all, units.Count(u => u.IsEsc == s.Unit.IsEsc)))];
        foreach (StandingTemperature fault in faults)
        {
            UnitTrack now = UnitTrack.Of(motors).First(u => u.Channel == fault.Unit.Channel);
            Series rest = fault.Without();
            Replace(motors, now with { TempC = now.TempC.Count == fault.Unit.TempC.Count ? rest : Both(now.TempC, rest) });
        }

        Tell(faults.Where(f => f.IsFloor), (names, first) => new TemperaturesFloored(names, first.AtC));
        Tell(
            faults.Where(f => !f.IsFloor && IsCeiling(f, faults, units.Count(u => u.IsEsc == f.Unit.IsEsc))),
            (names, first) => new TemperaturesCapped(names, first.AtC)
        );
        Tell(
            faults.Where(f => !f.IsFloor && !IsCeiling(f, faults, units.Count(u => u.IsEsc == f.Unit.IsEsc))),
            (names, first) => new TemperaturesFrozen(names, first.FromS)
        );

        void Tell(IEnumerable<StandingTemperature> of, Func<string, StandingTemperature, Reason> cause)
        {
            foreach (IGrouping<bool, StandingTemperature> known in of.GroupBy(f => Span(f.Unit.Channel, motors) >= LeastSpanS))
            {
                StandingTemperature first = known.MinBy(f => f.FromS)!;
                issues.AddRange(
                    UnitTrack.Issues(
                        [.. known.Select(f => f.Unit)],
                        names => cause(names, first),
                        known.Key ? QualityEffect.Repaired : QualityEffect.Withheld
                    )
                );
            }
        }
    }

    private static double Span(string channel, List<MotorTrack> motors) =>
        UnitTrack.Of(motors).Find(u => u.Channel == channel)?.TempC is { Count: > 0 } s ? s.TimeS[^1] - s.TimeS[0] : 0;

    /// <summary>The readings that both series keep.</summary>
    private static Series Both(Series a, Series b)
    {
        HashSet<double> times = [.. b.TimeS];
        return ReadingFilter.Kept(a, Array.ConvertAll(a.TimeS, times.Contains));
    }

    private static bool Together(StandingTemperature one, StandingTemperature[] all, int ofKind)
    {
        if (one.IsFloor)
        {
            return false;
        }

        StandingTemperature[] frozen = [.. all.Where(s => !s.IsFloor && s.LastsToEnd && s.Unit.IsEsc == one.Unit.IsEsc)];
        StandingTemperature[] capped = [.. all.Where(s => !s.IsFloor && s.Unit.IsEsc == one.Unit.IsEsc && s.AtC == one.AtC)];
        double lastS = frozen.Length == 0 ? 0 : frozen.Max(s => s.FromS);
        return (
                one.LastsToEnd
                && frozen.Length == ofKind
                && frozen.Length >= TogetherColumns
                && frozen.Sum(s => s.MissingStepsAfter(lastS)) >= TogetherSteps
            ) || (capped.Length >= TogetherColumns && capped.Sum(s => s.MissingStepsOnAverage) >= CeilingSteps);
    }

    /// <summary>Whether it falls again later, or others of its kind stop at the same reading at another time. Where all stop at different
    /// readings, telemetry froze.</summary>
    private static bool IsCeiling(StandingTemperature one, StandingTemperature[] faults, int ofKind)
    {
        if (!one.LastsToEnd)
        {
            return true;
        }

        StandingTemperature[] kind = [.. faults.Where(f => !f.IsFloor && f.LastsToEnd && f.Unit.IsEsc == one.Unit.IsEsc)];
        bool allStopAnywhere = kind.Length == ofKind && kind.Any(f => f.AtC != one.AtC);
        return !allStopAnywhere && kind.Any(f => f != one && f.AtC == one.AtC && Math.Abs(f.FromS - one.FromS) > 0.5);
    }

    private static QualityIssue Repaired(Reason cause, Answers affects) =>
        new()
        {
            Cause = cause,
            Track = "telemetry",
            Effect = QualityEffect.Repaired,
            Affects = affects,
        };
}
