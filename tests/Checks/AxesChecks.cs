using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Checks;

/// <summary>Axes and signs: ISO 1151-1 and IEC 60034-8.</summary>
public sealed class AxesChecks
{
    private static Airframe Quad(MotorLevel level = MotorLevel.Single) =>
        new()
        {
            Name = "quad",
            MassKg = 2,
            TorquePerThrustM = 0.018,
            Motors =
            [
                .. Enumerable
                    .Range(0, 4)
                    .Select(i => new Motor($"M{i}", 45 + 90 * i, 0.3, i % 2 == 0 ? Spin.Clockwise : Spin.CounterClockwise, level, 2, null)),
            ],
        };

    // ISO 1151-1: x forward, y right, z down, right-handed; a positive turn about z takes the nose to the right, clockwise from above.
    // Thrust (along -z) that leans to the right of an arm pushes clockwise: the z component of r × F, written out, is positive.
    [Fact]
    public void A_mount_low_on_its_right_turns_the_nose_to_the_right()
    {
        Airframe quad = Quad();
        MotorTilt[] tilts =
        [
            .. quad.Motors.Select(m => new MotorTilt(m.Id, Estimate.Around(0.3, 0.01), Estimate.Unknown(new NotMeasured()))),
        ];
        double expectedNm = 0;
        foreach (Motor m in quad.Motors)
        {
            double azimuth = m.AzimuthDeg * Math.PI / 180,
                thrustN = 2 * 9.80665 / 4,
                lean = 0.3 * Math.PI / 180;
            double x = m.ArmM * Math.Cos(azimuth),
                y = m.ArmM * Math.Sin(azimuth);
            double fx = thrustN * Math.Sin(lean) * -Math.Sin(azimuth),
                fy = thrustN * Math.Sin(lean) * Math.Cos(azimuth);
            expectedNm += x * fy - y * fx;
        }

        double foundNm = TiltYaw.YawMomentNm(quad, tilts).Value!.Value;
        Assert.True(foundNm > 0);
        Assert.Equal(expectedNm, foundNm, 1e-12);
    }

    // ISO 1151-1 and Newton's third law: a rotor turning clockwise from above turns the airframe the other way, so against a push to the
    // right the clockwise rotors need more torque.
    [Fact]
    public void A_push_to_the_right_is_held_by_the_clockwise_rotors() =>
        Assert.True(ThrustBalance.Solve(Quad(), [0.3, 0.3, 0.3, 0.3]).Balance!.Split > 0);

    // IEC 60034-8 (as quoted by Siemens, entry 60605536) defines the sense of rotation as seen looking at the shaft end: a motor hung
    // upside down that is clockwise by this definition turns counter-clockwise from above. The airframe file asks for the sense from above,
    // so hanging a motor changes nothing.
    [Fact]
    public void Spin_is_seen_from_above_whichever_way_the_motor_hangs() =>
        Assert.Equal(
            ThrustBalance.Solve(Quad(), [0.3, 0.3, 0.3, 0.3]).Balance!.Split,
            ThrustBalance.Solve(Quad(MotorLevel.Lower), [0.3, 0.3, 0.3, 0.3]).Balance!.Split
        );

    // ISO 1151-1: right is to the right of x, seen from above. Looking outwards along an arm that points right (90°), the right side is the
    // tail side.
    [Fact]
    public void The_right_side_of_an_arm_that_points_right_faces_the_tail()
    {
        var airframe = new Airframe { Name = "one", Motors = [new("M1", 90, 0.4, Spin.Clockwise, MotorLevel.Single, 2, null)] };
        GaugeReading Read(string? id, GaugePlace where, TiltDirection direction, LowSide low) =>
            new()
            {
                MotorId = id,
                When = SurveyTime.AsFound,
                Where = where,
                Direction = direction,
                LowDeg = 0.5,
                HighDeg = 0.5,
                LowSide = low,
            };

        // The frame is 0.5° low at the tail (in, seen from the hub to the nose); the mount reads the same on its right, so there is no
        // tilt.
        Survey survey = TiltCombination.Of(
            airframe,
            [
                Read(null, GaugePlace.Frame, TiltDirection.Along, LowSide.In),
                Read("M1", GaugePlace.Mount, TiltDirection.Across, LowSide.Right),
            ]
        );
        Assert.Equal(0, survey.AsFound[0].AcrossDeg.Value!.Value, 1e-9);
    }
}
