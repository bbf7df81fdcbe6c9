using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>Decides motor by motor and puts the stacks together.</summary>
/// <remarks>
/// Decision: out of tolerance when the tilt less its 95 % uncertainty is above the tolerance, in when the tilt and its uncertainty
/// together are not; otherwise the readings are undecided. A lower motor of a coaxial pair hangs from its mount: the same tilt of the mount
/// needs its shims on the other side. Where pieces are counted, the motor with the largest tilt chooses first.
/// </remarks>
internal sealed class ShimPlanner
{
    private const int MostReadingsAsked = 20;

    private readonly Airframe _airframe;
    private readonly Survey _survey;
    private readonly ShimOptions _options;
    private readonly ShimKit _kit;
    private readonly List<Reason> _cautions = [];

    internal ShimPlanner(Airframe airframe, Survey survey, ShimOptions options)
    {
        Require.Positive(options.ToleranceDeg);
        Require.Positive(options.RockingLimitMm);
        (_airframe, _survey, _options) = (airframe, survey, options);
        _kit = airframe.ShimKit ?? ShimKit.Usual;
    }

    internal ShimPlan Plan()
    {
        MotorShims[] motors = [.. _airframe.Motors.Select(Decide)];
        if (motors.Any(IsToFit))
        {
            Fit(motors);
        }

        HoverForecast forecast = Forecast(motors);
        AddCautions(motors);
        return new()
        {
            Airframe = _airframe,
            Survey = _survey,
            Options = _options,
            Kit = _kit,
            Motors = motors,
            Forecast = forecast,
            Cautions = _cautions,
        };
    }

    private MotorShims Decide(Motor motor)
    {
        MotorTilt? tilt = _survey.Found(motor.Id);
        if (tilt?.MagnitudeDeg is not double deg)
        {
            Reason why = tilt is null ? new NothingReadHere() : new TiltUnknown(tilt.AcrossDeg.Why, tilt.AlongDeg.Why);
            return new()
            {
                Motor = motor,
                Tilt = tilt,
                Action = ShimAction.MeasureAgain,
                Why = why,
                IsRead = tilt is not null,
            };
        }

        double half = tilt.U95Deg ?? 0,
            tolerance = _options.ToleranceDeg;
        (ShimAction action, Reason reason, int? more) =
            deg - half > tolerance ? (ShimAction.Shim, new TiltOutOfTolerance(deg, half, tolerance), null)
            : deg + half <= tolerance ? (ShimAction.Leave, new TiltWithinTolerance(deg, half, tolerance), null)
            : CannotTell(tilt, deg, half);
        return new()
        {
            Motor = motor,
            Tilt = tilt,
            Action = action,
            Why = reason,
            MoreReadings = more,
            TiltAfter = tilt,
        };
    }

    private (ShimAction, Reason, int?) CannotTell(MotorTilt tilt, double deg, double half)
    {
        double margin = Math.Abs(deg - _options.ToleranceDeg);
        int? more = MoreReadings(tilt, margin);
        if (_survey.Gauge is not { RepeatCount: 0 } && more is null && margin < _options.ToleranceDeg / 4)
        {
            return (ShimAction.Leave, new TiltNearTolerance(deg, half, _options.ToleranceDeg), null);
        }

        SettlingStep step =
            _survey.Gauge is { RepeatCount: 0 } ? SettlingStep.ReadAgain
            : more is not null ? SettlingStep.MoreReadings
            : SettlingStep.FinerGauge;
        return (ShimAction.MeasureAgain, new TiltNotSettled(deg, half, _options.ToleranceDeg, step, more), more);
    }

    internal static int? MoreReadings(MotorTilt tilt, double marginDeg)
    {
        UncertaintyBudget[] budgets = [.. new[] { tilt.AcrossBudget, tilt.AlongBudget }.OfType<UncertaintyBudget>()];
        for (int more = 1; budgets.Length > 0 && more <= MostReadingsAsked; more++)
        {
            if (budgets.All(b => b.WithMore(more).Expanded95 <= marginDeg))
            {
                return more;
            }
        }

        return null;
    }

    private bool IsToFit(MotorShims m) => m.Action == ShimAction.Shim && _airframe.BoltsOf(m.Motor) is not null;

    private void Fit(MotorShims[] motors)
    {
        int[]? left = _kit.Counts?.ToArray();
        int steps = StackSearch.MostSteps / motors.Count(IsToFit);
        foreach (
            int i in Enumerable.Range(0, motors.Length).Where(i => IsToFit(motors[i])).OrderByDescending(i => motors[i].Tilt!.MagnitudeDeg)
        )
        {
            motors[i] = FitOne(motors[i], _airframe.BoltsOf(motors[i].Motor)!, left, steps);
            Spend(motors[i].Stacks, left);
        }
    }

    private void Spend(ShimStacks? stacks, int[]? left)
    {
        foreach (double piece in stacks is null || left is null ? [] : stacks.Bolts.SelectMany(b => b.StackMm))
        {
            left![Enumerable.Range(0, left.Length).First(k => _kit.ThicknessesMm[k] == piece && left[k] > 0)]--;
        }
    }

    private MotorShims FitOne(MotorShims m, BoltPattern bolts, int[]? left, int steps)
    {
        double mirror = m.Motor.Level == MotorLevel.Lower ? -1 : 1;
        double across = m.Tilt!.AcrossDeg.Value ?? 0,
            along = m.Tilt.AlongDeg.Value ?? 0;
        ShimStacks fitted = new StackSearch(bolts, _kit, left, mirror * across, mirror * along, _options).Best(steps);
        ShimStacks stacks = fitted with
        {
            ResidualAcrossDeg = mirror * fitted.ResidualAcrossDeg,
            ResidualAlongDeg = mirror * fitted.ResidualAlongDeg,
        };
        if (stacks.Pieces == 0)
        {
            return m with { Action = ShimAction.Leave, Why = new NoStackHelps(m.Why) };
        }

        bool isAcross = Math.Abs(stacks.SlopeAcross) >= Math.Abs(stacks.SlopeAlong);
        return m with
        {
            Stacks = stacks,
            Side = isAcross
                ? stacks.SlopeAcross > 0
                    ? LowSide.Right
                    : LowSide.Left
                : stacks.SlopeAlong > 0
                    ? LowSide.Out
                    : LowSide.In,
            ThicknessMm = Thickness(
                stacks,
                isAcross ? Math.Abs(stacks.SlopeAcross) * bolts.AcrossSpanMm : Math.Abs(stacks.SlopeAlong) * bolts.AlongSpanMm
            ),
            TiltAfter = m.Tilt with
            {
                AcrossDeg = Shifted(m.Tilt.AcrossDeg, stacks.ResidualAcrossDeg),
                AlongDeg = Shifted(m.Tilt.AlongDeg, stacks.ResidualAlongDeg),
            },
        };
    }

    /// <summary>The rise over the bolts where two stacks differ by just that, as on a pattern square
    /// to the arm; on a turned one the highest stack.</summary>
    private static double Thickness(ShimStacks stacks, double riseMm)
    {
        bool isStep = stacks.Bolts.Any(a => stacks.Bolts.Any(b => Math.Abs(a.HeightMm - b.HeightMm - riseMm) < 1e-6));
        return Math.Round(isStep ? riseMm : stacks.HighestMm, 4);
    }

    /// <summary>The tilt left, with the uncertainty of the tilt that was read: shims are taken as true to their thickness.</summary>
    private static Estimate Shifted(Estimate tilt, double leftDeg) =>
        tilt.Value is null ? tilt
        : tilt.Ci95 is Interval ci ? Estimate.Around(leftDeg, ci.Width / 2)
        : Estimate.WithoutInterval(leftDeg, tilt.Why ?? new NotMeasured());

    private HoverForecast Forecast(MotorShims[] motors)
    {
        MotorTilt[] after = [.. motors.Select(m => m.TiltAfter).OfType<MotorTilt>()];
        Estimate before = TiltYaw.PredictSplit(_airframe, _survey.AsFound),
            then = TiltYaw.PredictSplit(_airframe, after);
        (Spin? cooler, double? change) = CoolerGroup(before, then);
        return new()
        {
            MomentBeforeNm = TiltYaw.YawMomentNm(_airframe, _survey.AsFound),
            MomentAfterNm = TiltYaw.YawMomentNm(_airframe, after),
            SplitBefore = before,
            SplitAfter = then,
            ThrustLostBefore = TiltYaw.ThrustLost(_survey.AsFound),
            CoolerGroup = cooler,
            CoolerGroupThrustChange = change,
        };
    }

    /// <summary>
    /// The group that carries more as found, if that is shown and the plan at least halves it. Shims take the same angle out whatever the
    /// truth is, so the change of the split is surer than either split. Thrust scales with speed
    /// squared: a split s puts s on one group, -s on the other.
    /// </summary>
    private static (Spin?, double?) CoolerGroup(Estimate before, Estimate after) =>
        before is { Value: double b, Ci95: Interval ci } && after.Value is double a && !ci.Contains(0) && Math.Abs(a) <= Math.Abs(b) / 2
            ? (b > 0 ? Spin.Clockwise : Spin.CounterClockwise, (1 + Math.Sign(b) * a) / (1 + Math.Abs(b)) - 1)
            : (null, null);

    private void AddCautions(MotorShims[] motors)
    {
        if (_airframe.Motors.All(m => _airframe.BoltsOf(m) is null))
        {
            _cautions.Add(new BoltsNotGiven());
        }
        else if (_airframe.Motors.Any(m => _airframe.BoltsOf(m) is { InOneLine: true }))
        {
            _cautions.Add(new BoltsInOneLine());
        }

        if (_airframe.Motors.Any(m => _airframe.BoltsOf(m) is not null) && _airframe.ShimKit is null)
        {
            _cautions.Add(new ShimKitAssumed(_kit.ThicknessesMm, _options.Inch, _kit.MaxStack));
        }

        if (_airframe.TorquePerThrustM is null)
        {
            _cautions.Add(new TorquePerThrustAssumed(ThrustBalance.UsualTorquePerThrustM, ThrustBalance.UsualTorqueBoundM));
        }

        _cautions.AddRange(
            motors.Where(m => m.Stacks is not null).SelectMany(m => MotorCautions(m).Select(c => new MotorCaution(m.Motor.Id, c)))
        );
        AddOneWayCaution(TiltDirection.Along, t => t.AcrossDeg.IsKnown && !t.AlongDeg.IsKnown);
        AddOneWayCaution(TiltDirection.Across, t => t.AlongDeg.IsKnown && !t.AcrossDeg.IsKnown);
        _cautions.AddRange(_survey.Knocks.Where(k => k.Moved).Select(k => new MountMoved(k)));
        _cautions.AddRange(_survey.Cautions);
    }

    private void AddOneWayCaution(TiltDirection missing, Func<MotorTilt, bool> isOneWay)
    {
        string[] ids = [.. _survey.AsFound.Where(isOneWay).Select(t => t.MotorId)];
        if (ids.Length > 0)
        {
            _cautions.Add(new DirectionNotRead(missing, ids));
        }
    }

    private IEnumerable<Reason> MotorCautions(MotorShims m)
    {
        ShimStacks stacks = m.Stacks!;
        if (stacks.ResidualDeg > _options.ToleranceDeg + ShimOptions.EqualDeg)
        {
            yield return new KitLeavesTilt(stacks.ResidualDeg);
        }

        if (stacks.RockingMm > 0)
        {
            yield return new StacksRock(stacks.RockingMm, _options.Inch);
        }

        foreach (Reason caution in _airframe.Screws is MountScrews screws ? ScrewCautions(stacks.HighestMm, screws) : [])
        {
            yield return caution;
        }
    }

    private IEnumerable<Reason> ScrewCautions(double highestMm, MountScrews screws)
    {
        double bare = screws.EngagementMm(0),
            shimmed = screws.EngagementMm(highestMm),
            wanted = screws.WantedEngagementMm;
        if (shimmed < wanted)
        {
            yield return new ScrewsTooShort(highestMm, shimmed, bare, screws.DiameterMm, wanted, _options.Inch);
        }

        if (screws.ThreadDepthMm is double depth && bare > depth)
        {
            yield return new ScrewsTooLong(bare, depth, _options.Inch);
        }
    }
}
