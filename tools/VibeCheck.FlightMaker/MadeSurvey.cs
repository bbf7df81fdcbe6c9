using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;

namespace VibeCheck.FlightMaker;

/// <summary>A simulated survey of an aircraft with known tilts: a tilted frame, a gauge with a zero error, scatter from placing the gauge,
/// and the step of its display.</summary>
public sealed record MadeSurvey
{
    /// <summary>The aircraft.</summary>
    public required Airframe Airframe { get; init; }

    /// <summary>True tilts across the arm, degrees.</summary>
    public required IReadOnlyList<double> TiltAcrossDeg { get; init; }

    /// <summary>The readings that the builder wrote down.</summary>
    public required IReadOnlyList<GaugeReading> Readings { get; init; }

    /// <param name="airframe">The aircraft.</param>
    /// <param name="random">The random generator.</param>
    /// <param name="stepDeg">Resolution of the display, degrees.</param>
    /// <param name="readings">Number of readings at each place.</param>
    /// <param name="tiltDeg">Standard deviation of the tilts, degrees.</param>
    /// <param name="scatterDeg">Standard deviation from placing the gauge, degrees.</param>
    public static MadeSurvey Make(
        Airframe airframe,
        Random random,
        double stepDeg,
        int readings,
        double tiltDeg = 0.25,
        double scatterDeg = 0.03
    )
    {
        double zero = 0.1 * Normal(random),
            leanDeg = 0.5 * random.NextDouble(),
            leanTo = 360 * random.NextDouble();
        var tilts = new List<double>();
        var taken = new List<GaugeReading>();
        foreach (Motor m in airframe.Motors)
        {
            double tilt = tiltDeg * Normal(random),
                frame = leanDeg * Math.Sin((leanTo - m.AzimuthDeg) * Math.PI / 180);
            tilts.Add(tilt);
            for (int i = 0; i < 2 * readings; i++)
            {
                GaugePlace where = i < readings ? GaugePlace.Frame : GaugePlace.Mount;
                double shown = frame + (where == GaugePlace.Mount ? tilt : 0) + zero + scatterDeg * Normal(random);
                double steps = Math.Round(shown / stepDeg);
                double deg = Math.Round(Math.Abs(steps) * stepDeg, 6);
                taken.Add(
                    new()
                    {
                        MotorId = m.Id,
                        When = SurveyTime.AsFound,
                        Where = where,
                        Direction = TiltDirection.Across,
                        LowDeg = deg,
                        HighDeg = deg,
                        LowSide =
                            steps == 0 ? LowSide.Level
                            : steps > 0 ? LowSide.Right
                            : LowSide.Left,
                    }
                );
            }
        }

        return new()
        {
            Airframe = airframe,
            TiltAcrossDeg = tilts,
            Readings = taken,
        };
    }

    private static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
