using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>The mean of the readings at one place and direction, with its sources.</summary>
/// <param name="Deg">Mean, degrees, signed by the low side.</param>
/// <param name="ZeroWeight">Share of the gauge's zero error in the mean: 1 as placed, -1 turned, 0 when read both ways.</param>
/// <param name="Parts">Sources of uncertainty without the zero error.</param>
internal sealed record PlaceMean(double Deg, double ZeroWeight, IReadOnlyList<UncertaintyPart> Parts)
{
    /// <summary>The same mean, whose errors enter several tilts alike, as those of a frame reading taken once do.</summary>
    internal PlaceMean AsShared() =>
        this with
        {
            Parts = [.. Parts.Select(p => p with { SharedError = $"{p.Place} {p.Name} {p.Turned}" })],
        };

    /// <summary>The mean of readings taken at one place; null when there is none.</summary>
    internal static PlaceMean? Of(IReadOnlyList<GaugeReading> readings, GaugeQuality gauge, string place)
    {
        GaugeReading[] straight = [.. readings.Where(r => !r.Turned)],
            turned = [.. readings.Where(r => r.Turned)];
        return (straight.Length, turned.Length) switch
        {
            (0, 0) => null,
            (_, 0) => OneWay(straight, gauge, place),
            (0, _) => OneWay(turned, gauge, place),
            _ => Combine((0.5, OneWay(straight, gauge, place)), (0.5, OneWay(turned, gauge, place))),
        };
    }

    /// <summary>A weighted sum of independent means.</summary>
    internal static PlaceMean Combine(params ReadOnlySpan<(double Weight, PlaceMean Mean)> terms)
    {
        double deg = 0,
            zero = 0;
        var parts = new List<UncertaintyPart>();
        foreach ((double weight, PlaceMean mean) in terms)
        {
            deg += weight * mean.Deg;
            zero += weight * mean.ZeroWeight;
            if (weight != 0)
            {
                parts.AddRange(mean.Parts.Select(p => p with { Sensitivity = weight * p.Sensitivity }));
            }
        }

        return new(deg, Math.Abs(zero) < 1e-12 ? 0 : zero, parts);
    }

    private static PlaceMean OneWay(GaugeReading[] readings, GaugeQuality gauge, string place)
    {
        int n = readings.Length;
        bool turned = readings[0].Turned;
        var parts = new List<UncertaintyPart>
        {
            new("display-steps", gauge.StepsDeg(n), 1, double.PositiveInfinity)
            {
                Place = place,
                Turned = turned,
                Readings = n,
                Floor = gauge.StepLeftDeg,
            },
            new("repeatability", gauge.RepeatabilityDeg / Math.Sqrt(n), 1, gauge.RepeatabilityFreedom)
            {
                Place = place,
                Turned = turned,
                Readings = n,
                FoundWith = "repeatability",
            },
        };

        // A flicker over neighbouring steps is what the step itself covers; a wider one is an uncertainty of its own.
        double wide = readings.Max(r => r.HighDeg - r.LowDeg);
        if (wide > 1.5 * gauge.StepDeg)
        {
            parts.Add(
                new("flicker", UncertaintyBudget.Rectangular(wide / 2) / Math.Sqrt(n), 1, double.PositiveInfinity)
                {
                    Place = place,
                    Turned = turned,
                    Readings = n,
                }
            );
        }

        return new(readings.Average(r => r.SignedDeg), turned ? -1 : 1, parts);
    }
}
