using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>
/// Steady rise of a motor or ESC from telemetry of a flight that may be too short to settle and that may come in whole degrees.
/// </summary>
/// <remarks>
/// First-order heating (Newton's law of cooling), τ dT/dt = T_ambient + R p(t) - T with p the load relative to hover: a grid of τ, linear
/// least squares for the rest, the best τ refined. Derivation and trials are in docs/methods/temperatures.md.
/// </remarks>
public static class TemperatureFit
{
    /// <summary>Logarithm of the prior time constant, 70 s.</summary>
    internal static readonly double LogUsualTau = Math.Log(70);

    /// <summary>Prior standard deviation of the logarithm of τ: two thirds are between 31 and 156 s. It affects only short or flat
    /// records.</summary>
    internal const double UsualTauSpread = 0.8;

    /// <summary>Shortest time span of readings, s.</summary>
    public const double LeastSpanS = 45;

    private const int LeastCells = 20;
    private const int SlowParts = 10;

    /// <summary>Number of different readings needed to show a step of more than one degree.</summary>
    private const int LeastCoarseValues = 3;

    /// <summary>Uncertainty of the first-order model itself: this share of the rise, and <see cref="ModelDoubtC"/>, as standard
    /// deviations.</summary>
    private const double ModelDoubtShare = 0.001;
    private const double ModelDoubtC = 0.02;

    /// <summary>Fits one unit.</summary>
    /// <param name="tempC">Temperature of the motor or ESC, °C, for the whole flight including the time before take-off.</param>
    /// <param name="load">Load relative to the mean over the hover, as <see cref="Load.Of"/> gives it.</param>
    /// <param name="ambientC">Ambient temperature, °C; null when unknown, and then the rise is unknown.</param>
    /// <param name="hover">Hover used, IMU clock.</param>
    /// <returns>The rise above ambient at which the unit would settle at hover load, with a 95 % interval that includes the rounding of the
    /// telemetry (assumed to be to the nearest step) and the uncertainty of τ; or why it is not known.</returns>
    public static TemperatureRise Fit(Series tempC, Series load, double? ambientC, IReadOnlyList<TimeInterval> hover)
    {
        ArgumentNullException.ThrowIfNull(tempC);
        ArgumentNullException.ThrowIfNull(load);
        ArgumentNullException.ThrowIfNull(hover);
        if (WhyNot(tempC, load, ambientC, hover) is { } why)
        {
            return TemperatureRise.Unknown(why);
        }

        HeatingCells cells = HeatingCells.Of(tempC, load, ambientC!.Value);
        return cells.UsedCount < LeastCells
            ? TemperatureRise.Unknown(new TooFewTemperatureReadings())
            : Fit(cells, ambientC.Value, Resolution(tempC.Values), LagDoubtS(tempC, load), hover);
    }

    private static TemperatureRise Fit(
        HeatingCells cells,
        double ambientC,
        double resolutionC,
        double lagSdS,
        IReadOnlyList<TimeInterval> hover
    )
    {
        HeatingModel model = new(cells, lagSdS);
        TwoBodyFit twoBodies = new(cells, lagSdS);
        double leastVariance = Math.Max(1e-6, resolutionC * resolutionC / 60);
        double variance = resolutionC * resolutionC / 12 + leastVariance,
            aboutRise = 20;
        HeatingModel.Solution first = model.Solve(cells.RisesC, variance, aboutRise);
        HeatingFits fits = new(model, first, twoBodies.Solve(cells.RisesC, variance, first));
        for (int pass = 0; pass < 2; pass++)
        {
            variance = Math.Max(leastVariance, fits.SquaresC2 / Math.Max(1, cells.UsedCount - 4));
            aboutRise = fits.LikelierRiseC;
            fits = Refit(cells.RisesC);
        }

        double[] predicted = fits.PredictedC();
        double inflation = Inflation(cells, predicted);
        var rounding = RoundingEffect.Of(Refit, fits, resolutionC, cells.UsedCount, variance, variance * inflation);
        // The effect of rounding on the residuals is counted as rounding, and not again as noise; an eighth is kept as a safety margin.
        double noise = Math.Max(variance / 8, variance - rounding.OfResidualsC2) * inflation;
        double riseC = fits.RiseC(variance * inflation),
            fitVariance = fits.RiseVarianceC2(variance * inflation, noise);
        double modelDoubt = ModelDoubtC + ModelDoubtShare * Math.Abs(riseC);
        // Rounding errors are bounded, and almost uniform: 95 % of them are within 0.95 √3 of their standard deviations (GUM 4.3.7, G.2.3):
        // 2.7 variances.
        double half95 = Math.Sqrt(1.96 * 1.96 * (fitVariance + modelDoubt * modelDoubt) + 2.7 * rounding.OfRiseC2);
        return new TemperatureRise
        {
            RiseSteadyC = Estimate.Around(riseC, half95),
            TauS = fits.TauS,
            OneBodyTauS = fits.One.TauS,
            SlowResidualC = SlowResidual(cells, predicted),
            Reached = Reached(cells, predicted, riseC, hover),
            Fitted = new([.. predicted.Select((_, i) => cells.StartS + (i + 0.5) * cells.CellS)], [.. predicted.Select(p => ambientC + p)]),
        };

        HeatingFits Refit(double[] risesC) =>
            new(model, model.Solve(risesC, variance, aboutRise), twoBodies.From(fits.Two.Best, risesC, variance, aboutRise));
    }

    private static Reason? WhyNot(Series tempC, Series load, double? ambientC, IReadOnlyList<TimeInterval> hover)
    {
        if (tempC.Count == 0)
        {
            return new NoTemperatureReadings();
        }

        if (ambientC is null)
        {
            return new AmbientUnknown();
        }

        if (hover.Count == 0)
        {
            return new NoHoverFound();
        }

        if (load.Count == 0)
        {
            return new LoadUnknown();
        }

        double spanS = tempC.TimeS[^1] - tempC.TimeS[0];
        if (spanS < LeastSpanS)
        {
            return new TemperatureRecordTooShort(spanS, LeastSpanS);
        }

        return tempC.Values.Min() == tempC.Values.Max() ? new TemperatureFrozen(tempC.Values[0]) : null;
    }

    /// <summary>Smallest step between different readings, °C; a sensor that shows every digit gives a very small one. More than 1 only
    /// where several steps show it, because sparse readings skip values.</summary>
    internal static double Resolution(double[] values)
    {
        double[] sorted = [.. values.Distinct().Order()];
        double step = double.PositiveInfinity;
        for (int i = 1; i < sorted.Length; i++)
        {
            step = Math.Min(step, sorted[i] - sorted[i - 1]);
        }

        return step <= 1 || (sorted.Length >= LeastCoarseValues && GoesStepByStep(values, step)) ? step : 1;
    }

    /// <summary>Whether the reading always changes by one step at a time, as a slow quantity does on a coarse scale.</summary>
    private static bool GoesStepByStep(double[] values, double step)
    {
        for (int i = 1; i < values.Length; i++)
        {
            if (Math.Abs(values[i] - values[i - 1]) > 1.01 * step)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>Root mean square of the means of the residuals over one tenth of the record each: rounding and noise average out in
    /// them.</summary>
    private static double SlowResidual(HeatingCells cells, double[] predicted)
    {
        int length = Math.Max(1, predicted.Length / SlowParts),
            parts = 0;
        double squares = 0;
        for (int first = 0; first + length <= predicted.Length; first += length)
        {
            double sum = 0;
            int used = 0;
            for (int i = first; i < first + length; i++)
            {
                sum += cells.Used[i] ? cells.RisesC[i] - predicted[i] : 0;
                used += cells.Used[i] ? 1 : 0;
            }

            squares += used == 0 ? 0 : sum / used * (sum / used);
            parts += used == 0 ? 0 : 1;
        }

        return parts == 0 ? 0 : Math.Sqrt(squares / parts);
    }

    /// <summary>Possible lag between temperature and load, s (standard deviation): the time at which the load changed may be anywhere
    /// within the spacing of the readings (rectangular).</summary>
    private static double LagDoubtS(Series tempC, Series load)
    {
        double spacing = Math.Max(Spacing(tempC), Spacing(load));
        return Math.Sqrt(0.15 * 0.15 + spacing * spacing / 12);
    }

    private static double Spacing(Series series) => series.Count < 2 ? 1 : (series.TimeS[^1] - series.TimeS[0]) / (series.Count - 1);

    /// <summary>Factor by which the residuals contain less information than independent ones, from their lag-one correlation; cells without
    /// a reading count as 0.</summary>
    private static double Inflation(HeatingCells cells, double[] predicted)
    {
        double[] residuals = [.. predicted.Select((p, i) => cells.Used[i] ? cells.RisesC[i] - p : 0)];
        double squares = residuals.Sum(r => r * r);
        double r = squares > 0 ? Math.Clamp(EffectiveSize.Autocorrelation(residuals, squares, 1), 0, 0.95) : 0;
        return EffectiveSize.InflationOfFirstOrder(r);
    }

    private static bool Reached(HeatingCells cells, double[] predicted, double riseC, IReadOnlyList<TimeInterval> hover)
    {
        int last = (int)Math.Floor((hover.Max(s => s.ToS) - cells.StartS) / cells.CellS);
        double end = predicted[Math.Clamp(last, 0, predicted.Length - 1)];
        return Math.Abs(end - riseC) <= 0.1 * Math.Abs(riseC);
    }
}
