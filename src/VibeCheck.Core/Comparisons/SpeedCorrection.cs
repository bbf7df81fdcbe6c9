using VibeCheck.Core.Quality;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Comparisons;

/// <summary>Correction of a steady rise to the hover speed of the other side.</summary>
/// <param name="Factor">Factor applied to the rise.</param>
/// <param name="U">Standard uncertainty of the factor.</param>
/// <remarks>
/// A heavier aircraft turns its rotors faster against more torque: losses scale with speed to a power of 3 ± 1 (iron 2, copper 4). Thinner
/// air makes them turn faster against the same torque: losses then increase very little. As far as the ambient temperatures can explain the
/// change of speed (thrust scales with ρn², ρ with 1/T), the cause is unknown, and the power is taken as 2 ± 2. Limits are treated as
/// rectangular (GUM 4.3.7). Where the lines of a flight contradict its reported speeds, there may be no change of speed at all: the 95 %
/// interval extends half beyond it. Speeds logged in coarse steps may all be rounded in the same direction in a hover: each motor's mean is
/// uncertain by the step, rectangular.
/// </remarks>
internal sealed record SpeedCorrection(double Factor, double U)
{
    private const double KelvinAtZero = 273.15;

    // The 95 % interval (1.96 standard uncertainties) extends half beyond no change.
    private const double DoubtedShare = 1.5 / 1.96;

    private const double TurningShare = 0.4;

    internal static SpeedCorrection Of(FlightSet flights, double speedRatio)
    {
        double all = Math.Log(speedRatio),
            air = ByAir(flights);
        double explained = Math.Sign(all) == Math.Sign(air) ? Math.Sign(all) * Math.Min(Math.Abs(all), Math.Abs(air)) : 0,
            mass = all - explained;
        double factor = Math.Exp(-3 * mass - 2 * explained);
        double exponent = factor * Math.Sqrt(mass * mass / 3 + 4 * explained * explained / 3),
            speeds = flights.All.Any(SpeedsAreDoubted) ? DoubtedShare * (factor - 1) : 0,
            steps = 3 * factor * Math.Sqrt(Variance(flights.Before) + Variance(flights.After));
        return new(factor, Math.Sqrt(exponent * exponent + speeds * speeds + steps * steps));
    }

    /// <summary>Variance of the mean speed of a side that the steps of the speeds cause, as a share squared.</summary>
    private static double Variance(IReadOnlyList<AnalysedFlight> side) => side.Sum(f => OfSteps(f.Flight)) / (side.Count * side.Count);

    private static double OfSteps(Flight flight)
    {
        Series[] speeds = [.. flight.Motors.Select(m => m.Rpm).OfType<Series>().Where(s => s.Count > 1)];
        return speeds.Length == 0 ? 0 : speeds.Sum(OfSteps) / (speeds.Length * speeds.Length);
    }

    private static double OfSteps(Series rpm)
    {
        double most = rpm.Values.Max();
        double[] turning = [.. rpm.Values.Where(v => v > TurningShare * most).Distinct().Order()];
        double step = turning.Zip(turning.Skip(1), (a, b) => b - a).DefaultIfEmpty(0).Min();
        return turning.Length == 0 ? 0 : Math.Pow(step / turning.Average(), 2) / 12;
    }

    private static bool SpeedsAreDoubted(AnalysedFlight flight) =>
        flight.Analysis.Quality.Any(i => i.Cause is PhaseBroken or LinesOffSpeeds or LinesDoNotFollow);

    /// <summary>Logarithm of the ratio of speeds that the ambient temperatures alone would cause; 0 where one is not known.</summary>
    private static double ByAir(FlightSet flights)
    {
        double? Mean(IReadOnlyList<AnalysedFlight> side) =>
            side.All(f => f.Analysis.AmbientC.HasValue) ? side.Average(f => f.Analysis.AmbientC!.Value) : null;
        return Mean(flights.Before) is double before && Mean(flights.After) is double after
            ? Math.Log((KelvinAtZero + after) / (KelvinAtZero + before)) / 2
            : 0;
    }
}
