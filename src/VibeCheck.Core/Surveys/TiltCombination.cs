using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>From gauge readings to the tilt of each mount.</summary>
/// <remarks>
/// Tilt = mount reading - frame reading, each signed by its low side. Both include the gauge's zero error, which cancels; it cancels
/// also where the gauge was read both ways round. It remains, weighted, where only one of the two was read turned, or where a frame
/// reading taken once at the hub is turned into the direction of an arm.
/// </remarks>
public sealed class TiltCombination
{
    private readonly Airframe _airframe;
    private readonly IReadOnlyList<GaugeReading> _readings;
    private readonly GaugeQuality _gauge;
    private readonly ILookup<(string?, SurveyTime, GaugePlace, TiltDirection), GaugeReading> _places;
    private readonly List<Reason> _cautions = [];
    private readonly List<MountMovement> _knocks = [];

    private TiltCombination(Airframe airframe, IReadOnlyList<GaugeReading> readings)
    {
        _airframe = airframe;
        _readings = readings;
        _gauge = GaugeAppraisal.Of(readings, airframe.Gauge);
        _places = readings.ToLookup(r => (r.MotorId, r.When, r.Where, r.Direction));
    }

    /// <summary>Works out a survey, whole or half done: what was not read comes out as not known, with the reason.</summary>
    public static Survey Of(Airframe airframe, IReadOnlyList<GaugeReading> readings) => new TiltCombination(airframe, readings).Combine();

    private Survey Combine()
    {
        IReadOnlyList<MotorTilt> found = Tilts(SurveyTime.AsFound),
            left = Tilts(SurveyTime.AsLeft);
        AddFittedCautions(found, left);
        AddGaugeCautions();
        return new(found, left)
        {
            Readings = _readings,
            Gauge = _gauge,
            Cautions = _cautions,
            Knocks = _knocks,
        };
    }

    private MotorTilt[] Tilts(SurveyTime when) =>
        [.. _airframe.Motors.Where(m => _readings.Any(r => r.MotorId == m.Id && r.When == when)).Select(m => TiltOf(m, when))];

    private MotorTilt TiltOf(Motor motor, SurveyTime when)
    {
        (Estimate across, UncertaintyBudget? acrossBudget) = OneDirection(motor, when, TiltDirection.Across);
        (Estimate along, UncertaintyBudget? alongBudget) = OneDirection(motor, when, TiltDirection.Along);
        return new(motor.Id, across, along) { AcrossBudget = acrossBudget, AlongBudget = alongBudget };
    }

    private (Estimate, UncertaintyBudget?) OneDirection(Motor motor, SurveyTime when, TiltDirection direction)
    {
        if (MountMean(motor, when, direction) is not PlaceMean mount)
        {
            return (Estimate.Unknown(new NoMountReading(direction)), null);
        }

        if (FrameMean(motor, when, direction) is not PlaceMean frame)
        {
            bool hubOneWay = _readings.Any(r => r.MotorId is null && r.When == when);
            return (Estimate.Unknown(hubOneWay ? new FrameReadOneWay() : new NoFrameReading(direction)), null);
        }

        PlaceMean tilt = PlaceMean.Combine((1, mount), (-1, frame));
        double deg = tilt.Deg;
        var parts = new List<UncertaintyPart>(tilt.Parts);
        if (tilt.ZeroWeight != 0)
        {
            if (_gauge.ZeroErrorDeg is { Value: double zero, Ci95: Interval ci })
            {
                deg -= tilt.ZeroWeight * zero;
                parts.Add(
                    new("zero-error-by-reversal", ci.Width / 2 / 1.96, tilt.ZeroWeight, double.PositiveInfinity)
                    {
                        SharedError = "zero-error",
                    }
                );
            }
            else
            {
                parts.Add(
                    new("zero-error-kept", UncertaintyBudget.Rectangular(_gauge.AccuracyDeg), tilt.ZeroWeight, double.PositiveInfinity)
                    {
                        SharedError = "zero-error",
                    }
                );
            }
        }

        var budget = new UncertaintyBudget(parts);
        return (Estimate.Around(deg, budget.Expanded95), budget);
    }

    private GaugeReading[] At(string? motor, SurveyTime when, GaugePlace where, TiltDirection direction) =>
        [.. _places[(motor, when, where, direction)]];

    /// <summary>All mount readings, unless a knock moved the mount: then those after it, because they show its present tilt.</summary>
    private PlaceMean? MountMean(Motor motor, SurveyTime when, TiltDirection direction)
    {
        GaugeReading[] all = At(motor.Id, when, GaugePlace.Mount, direction);
        GaugeReading[] before = [.. all.Where(r => r.Knock == Knock.Before)],
            after = [.. all.Where(r => r.Knock == Knock.After)];
        if (before.Length == 0 || after.Length == 0)
        {
            return PlaceMean.Of(all, _gauge, "mount");
        }

        PlaceMean was = PlaceMean.Of(before, _gauge, "before")!,
            isNow = PlaceMean.Of(after, _gauge, "after")!;
        PlaceMean move = PlaceMean.Combine((1, isNow), (-1, was));
        var moved = new MountMovement(
            motor.Id,
            direction,
            Estimate.Around(move.Deg, new UncertaintyBudget(move.Parts).Expanded95),
            _gauge.StepDeg,
            MoveOccasion.Knock
        );
        _knocks.Add(moved);
        return moved.Moved ? PlaceMean.Of(after, _gauge, "mount") : PlaceMean.Of(all, _gauge, "mount");
    }

    private PlaceMean? FrameMean(Motor motor, SurveyTime when, TiltDirection direction)
    {
        if ((OwnFrame(motor, when, direction) ?? HubFrame(motor, when, direction)) is PlaceMean mean)
        {
            return mean;
        }

        if (when != SurveyTime.AsLeft)
        {
            return null;
        }

        PlaceMean? earlier = OwnFrame(motor, SurveyTime.AsFound, direction) ?? HubFrame(motor, SurveyTime.AsFound, direction);
        if (earlier is not null)
        {
            _cautions.Add(new FrameAsFoundUsed(motor.Id, direction));
        }

        return earlier;
    }

    private PlaceMean? OwnFrame(Motor motor, SurveyTime when, TiltDirection direction) =>
        PlaceMean.Of(At(motor.Id, when, GaugePlace.Frame, direction), _gauge, "frame");

    /// <summary>A frame reading taken once, turned into the arm's direction; as an arm of
    /// azimuth 0 sees it, out is towards the nose.</summary>
    private PlaceMean? HubFrame(Motor motor, SurveyTime when, TiltDirection direction)
    {
        PlaceMean? right = PlaceMean.Of(At(null, when, GaugePlace.Frame, TiltDirection.Across), _gauge, "frame-right-to-left")?.AsShared();
        PlaceMean? nose = PlaceMean.Of(At(null, when, GaugePlace.Frame, TiltDirection.Along), _gauge, "frame-nose-to-tail")?.AsShared();
        (double sin, double cos) = Math.SinCos(double.DegreesToRadians(motor.AzimuthDeg));
        (double ofRight, double ofNose) = direction == TiltDirection.Across ? (cos, -sin) : (sin, cos);
        ofRight = Math.Abs(ofRight) < 1e-9 ? 0 : ofRight;
        ofNose = Math.Abs(ofNose) < 1e-9 ? 0 : ofNose;
        return (right, nose) switch
        {
            (PlaceMean r, PlaceMean n) => PlaceMean.Combine((ofRight, r), (ofNose, n)),
            (PlaceMean r, null) when ofNose == 0 => PlaceMean.Combine((ofRight, r)),
            (null, PlaceMean n) when ofRight == 0 => PlaceMean.Combine((ofNose, n)),
            _ => null,
        };
    }

    /// <summary>Shims that do not do what they should: under other bolts than noted, another thickness, or a mount that moved.</summary>
    private void AddFittedCautions(IReadOnlyList<MotorTilt> found, IReadOnlyList<MotorTilt> left)
    {
        foreach (FittedShims fitted in new Survey(found, left) { Readings = _readings }.Fitted)
        {
            MotorTilt? before = found.FirstOrDefault(t => t.MotorId == fitted.MotorId),
                after = left.FirstOrDefault(t => t.MotorId == fitted.MotorId);
            if (before is null || after is null || _airframe.Find(fitted.MotorId) is not Motor motor)
            {
                continue;
            }

            (double? across, double? along) = fitted.Leaves(before, motor.Level);
            AddFittedCaution(fitted, TiltDirection.Across, across, before.AcrossDeg, after.AcrossDeg);
            AddFittedCaution(fitted, TiltDirection.Along, along, before.AlongDeg, after.AlongDeg);
        }
    }

    private void AddFittedCaution(FittedShims fitted, TiltDirection direction, double? expectedDeg, Estimate before, Estimate after)
    {
        if (
            expectedDeg is double expected
            && after.Value is double got
            && before.Ci95 is Interval was
            && after.Ci95 is Interval isNow
            && Math.Abs(got - expected) > Math.Sqrt(was.Width * was.Width + isNow.Width * isNow.Width) / 2
            && Math.Abs(got - expected) > _gauge.StepDeg
        )
        {
            _cautions.Add(new ShimsDoNotExplainTilt(fitted.MotorId, fitted.Text, direction, expected, got));
        }
    }

    private void AddGaugeCautions()
    {
        if (_readings.Count > 0 && _gauge.ScatterDeg is null)
        {
            _cautions.Add(new NothingReadTwice(_gauge.RepeatabilityDeg, _gauge.RepeatabilityGiven));
        }

        if (_readings.Any(r => r.MotorId is null) && !_gauge.ZeroErrorDeg.IsKnown && !_gauge.AccuracyGiven)
        {
            _cautions.Add(new FrameReadOnceAtHub(_gauge.AccuracyDeg));
        }

        if (_gauge.ZeroErrorDeg is { Value: double zero, Ci95: Interval ci } && Math.Abs(zero) - ci.Width / 2 > _gauge.AccuracyDeg)
        {
            _cautions.Add(new ZeroErrorTooLarge(zero, _gauge.AccuracyDeg));
        }
    }
}
