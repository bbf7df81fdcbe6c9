using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Hovers;

/// <summary>Times at which the rotors carry the load of a hover.</summary>
/// <param name="Source">The quantity from which the load was taken.</param>
/// <param name="Flying">Cells in which the load is that of flight, steady or not.</param>
/// <param name="Steady">Cells close to the usual level, with all motors close to theirs.</param>
/// <param name="Tolerance">Share by which the mean load may differ from its level.</param>
internal sealed record SteadyLoad(HoverSource Source, bool[] Flying, bool[] Steady, double Tolerance)
{
    // Bounds for the tolerances that follow the flight's own scatter: of the mean load, and of each motor.
    private const double LeastMean = 0.04;
    private const double MostMean = 0.15;
    private const double LeastMotor = 0.12;
    private const double MostMotor = 0.4;

    // Vibration scatters far more than load does.
    private const double LeastVibration = 0.6;
    private const double LeastFlyingRoughness = 0.05;

    internal static SteadyLoad Of(HoverGrid grid, double smoothingS, double flyingShare)
    {
        int half = (int)(smoothingS / HoverGrid.CellS / 2);
        List<double[]> loads = [.. grid.Loads.Select(l => Robust.Smoothed(l, half))];
        double[] mean = MeanOf(loads);
        bool[] flying = Airborne(grid.Source, mean, flyingShare);
        double[] inFlight = Robust.Where(mean, flying);
        if (inFlight.Length == 0)
        {
            return new(grid.Source, flying, new bool[grid.Count], MostMean);
        }

        (double level, double scatter) = Robust.MedianAndMad(inFlight);
        double tolerance =
            grid.Source == HoverSource.Vibration
                ? Math.Max(LeastVibration, 4 * scatter / level)
                : Math.Clamp(5 * scatter / level, LeastMean, MostMean);
        bool[] steady = [.. mean.Zip(flying, (v, flies) => flies && Math.Abs(v / level - 1) <= tolerance)];
        if (grid.Source != HoverSource.Vibration)
        {
            KeepWhereEachMotorIsSteady(loads, flying, steady);
        }

        return new(grid.Source, flying, steady, tolerance);
    }

    private static bool[] Airborne(HoverSource source, double[] mean, double flyingShare)
    {
        double[] known = [.. mean.Where(double.IsFinite)];
        if (known.Length == 0)
        {
            return new bool[mean.Length];
        }

        double limit =
            source == HoverSource.Vibration
                ? Math.Max(LeastFlyingRoughness, BetweenGroups(known))
                : Math.Max(Robust.Quantile(known, 0.95) * flyingShare, double.Epsilon);
        return Array.ConvertAll(mean, v => v >= limit);
    }

    /// <summary>A limit between the quiet and the rough part of a record; 0 when it does not divide into two parts.</summary>
    /// <remarks>Two means of the logarithm (Lloyd 1982), separated when their distance clearly exceeds their own scatter.</remarks>
    private static double BetweenGroups(double[] roughness)
    {
        double[] logs = [.. roughness.Where(v => v > 0).Select(v => Math.Log(v))];
        if (logs.Length < 2)
        {
            return 0;
        }

        double low = Robust.Quantile(logs, 0.02),
            high = Robust.Quantile(logs, 0.98),
            middle = (low + high) / 2;
        double[] quiet = [],
            rough = [];
        for (int i = 0; i < 20; i++)
        {
            middle = (low + high) / 2;
            quiet = Array.FindAll(logs, v => v < middle);
            rough = Array.FindAll(logs, v => v >= middle);
            if (quiet.Length == 0 || rough.Length == 0)
            {
                return 0;
            }

            (low, high) = (quiet.Average(), rough.Average());
        }

        double scatter = Robust.MedianAndMad(quiet).ScaledMad + Robust.MedianAndMad(rough).ScaledMad;
        return high - low > Math.Max(Math.Log(2), 2 * scatter) ? Math.Exp(middle) : 0;
    }

    private static void KeepWhereEachMotorIsSteady(IReadOnlyList<double[]> loads, bool[] flying, bool[] steady)
    {
        foreach (double[] load in loads)
        {
            double[] inFlight = Robust.Where(load, flying);
            (double level, double scatter) = inFlight.Length == 0 ? (0, 0) : Robust.MedianAndMad(inFlight);
            if (level <= 0)
            {
                // A motor that stands still, or whose telemetry does, cannot distinguish a hover from anything else.
                continue;
            }

            double tolerance = Math.Clamp(6 * scatter / level, LeastMotor, MostMotor);
            for (int cell = 0; cell < steady.Length; cell++)
            {
                steady[cell] &= double.IsNaN(load[cell]) || Math.Abs(load[cell] / level - 1) <= tolerance;
            }
        }
    }

    /// <summary>Mean over the motors that report in a cell, each relative to its own usual load, so that a missing motor does not shift the
    /// mean.</summary>
    private static double[] MeanOf(List<double[]> loads)
    {
        double[] usual = [.. loads.Select(l => l.Where(v => v > 0).DefaultIfEmpty(double.NaN).Average())];
        double overall = usual.Where(double.IsFinite).DefaultIfEmpty(double.NaN).Average();
        double[] mean = new double[loads[0].Length];
        for (int cell = 0; cell < mean.Length; cell++)
        {
            double sum = 0;
            int heard = 0;
            for (int m = 0; m < loads.Count; m++)
            {
                if (double.IsFinite(loads[m][cell]) && double.IsFinite(usual[m]))
                {
                    sum += loads[m][cell] / usual[m];
                    heard++;
                }
            }

            mean[cell] = heard == 0 ? double.NaN : overall * sum / heard;
        }

        return mean;
    }
}
